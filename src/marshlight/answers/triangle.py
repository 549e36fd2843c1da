"""The triangle of methane, carbon dioxide and air as numbers: boundaries, paths, points, words."""

from collections.abc import Sequence
from dataclasses import dataclass

from marshlight.answers.series import Table, thin
from marshlight.decide.safety import TOO_LITTLE, TUBE, WIDEST, Boundary, GasPath, Mixture

MOST_DRAWN = 160
_TABLE_ROWS = 14
Corners = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Track:
    """One path: points as carbon dioxide and methane [-], with the label of its end."""

    label: str
    points: Corners


@dataclass(frozen=True)
class Spot:
    """One point with its words."""

    label: str
    co2: float
    methane: float


@dataclass(frozen=True)
class TrianglePicture:
    """What the drawing shows; ``sentence`` and ``table`` say the same in words.

    Corners are carbon dioxide and methane shares, the rest air [-].
    """

    explosive: Corners
    doubtful: Corners
    tracks: tuple[Track, ...]
    spots: tuple[Spot, ...]
    sentence: str
    table: Table


def corners(boundary: Boundary) -> Corners:
    """Give the corners of a flammable region."""
    return (
        (0.0, boundary.lean),
        (0.0, boundary.rich),
        (boundary.nose_co2, boundary.nose_methane),
    )


def triangle(
    paths: Sequence[GasPath],
    labels: Sequence[str],
    *,
    now: Mixture | None,
    start_words: str,
    now_words: str = "now",
    more: Sequence[Spot] = (),
) -> TrianglePicture:
    """Gather what the triangle shows.

    Parameters
    ----------
    paths : sequence of GasPath
        From the same start.
    labels : sequence of str
        What each stands for.
    now : Mixture, optional
        The point of today.
    start_words, now_words : str
        What the start and that point are.
    more : sequence of Spot
        Further points, such as what the holder holds.

    Returns
    -------
    TrianglePicture
        With its text alternative.
    """
    tracks = tuple(Track(label, _points(path)) for path, label in zip(paths, labels, strict=True))
    start = Mixture(float(paths[0].methane[0]), float(paths[0].co2[0]))
    spots = [Spot(start_words, start.co2, start.methane)]
    if now is not None:
        spots.append(Spot(now_words, now.co2, now.methane))
    spots += more
    return TrianglePicture(
        corners(TUBE),
        corners(WIDEST),
        tracks,
        tuple(spots),
        _sentence(paths, labels, now, now_words) + _more_words(more),
        _table(paths[len(paths) // 2]),
    )


def _points(path: GasPath) -> Corners:
    kept = thin(path.methane.size, MOST_DRAWN)
    return tuple((float(path.co2[i]), float(path.methane[i])) for i in kept)


def _more_words(more: Sequence[Spot]) -> str:
    return "".join(
        f" {spot.label.capitalize()}: methane {100 * spot.methane:.0f} %, carbon dioxide"
        f" {100 * spot.co2:.0f} %, air {100 * (1.0 - spot.methane - spot.co2):.0f} %."
        for spot in more
    )


def _sentence(
    paths: Sequence[GasPath], labels: Sequence[str], now: Mixture | None, now_words: str
) -> str:
    ways = []
    for path, label in zip(paths, labels, strict=True):
        words = list(dict.fromkeys(span.word for span in path.spans))
        if not words and path.last.word == TOO_LITTLE:
            through = "has not reached the explosive region yet"
        elif not words:
            through = "misses the explosive region by these figures, which may be wrong"
        elif "explosive" in words:
            through = "passes through the explosive region"
        else:
            through = "passes where sources disagree"
        ways.append(f"the path for {label} {through}")
    text = f"From air, {'; '.join(ways)}."
    if now is None:
        return text
    return (
        f"{text} {now_words.capitalize()}: methane {100 * now.methane:.0f} %,"
        f" carbon dioxide {100 * now.co2:.0f} %, air {100 * now.air:.0f} %, {now.word}."
    )


def _table(path: GasPath) -> Table:
    """Give the likely path as a table, dense where it can explode."""
    words = path.words
    change = [i for i in range(1, words.size) if words[i] != words[i - 1]]
    kept = sorted({*change, *thin(words.size, _TABLE_ROWS)})
    rows = tuple(
        (
            f"{path.turnover[i]:.2f}",
            f"{100 * path.methane[i]:.1f} %",
            f"{100 * path.co2[i]:.1f} %",
            f"{100 * path.oxygen[i]:.1f} %",
            str(words[i]),
        )
        for i in kept
    )
    head = ("gas made, times the gas space", "methane", "carbon dioxide", "oxygen", "what it is")
    return Table("The likely path in figures", head, rows)
