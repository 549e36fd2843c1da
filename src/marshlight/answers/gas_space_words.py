"""Sections of the gas-space answer: what is inside, what opening does, how much must pass."""

from collections.abc import Sequence
from dataclasses import dataclass

from marshlight.answers.told import Figure, Section, figure
from marshlight.decide.safety import (
    LEAST_OXYGEN,
    TOO_LITTLE,
    TUBE,
    WIDEST,
    GasPath,
    Mixture,
    let_air_in,
    purge,
)
from marshlight.units import show, show_range

_ORDER = ("explosive", "uncertain", "too rich", "too little gas", "too much carbon dioxide")
_LIMITS = (
    "coward_jones_1952 european_limits iec_60079_20_1_memory inert_nose_memory"
    " flame_temperature_envelope"
)


def worst(words: Sequence[str]) -> str:
    """Choose the word that demands most care.

    Examples
    --------
    >>> worst(["too rich", "uncertain"])
    'uncertain'
    """
    return min(words, key=_ORDER.index)


def inside_section(paths: Sequence[GasPath], labels: Sequence[str], *, by_days: bool) -> Section:
    """Say what is inside now, and when it was or will be explosive.

    Parameters
    ----------
    paths : sequence of GasPath
        Poor, likely and rich gas, or one.
    labels : sequence of str
        What each stands for.
    by_days : bool
        Whether days are known.
    """
    methane = [100 * path.last.methane for path in paths]
    oxygen = [100 * path.last.oxygen for path in paths]
    now = worst([path.last.word for path in paths])
    figures = [
        figure(
            "it is",
            now,
            "the gravest of the paths",
            equation="methane between the two lines of the triangle",
            by=_LIMITS,
        ),
        figure(
            "methane", _span(methane), equation="x = x₀ e^-τ + y (1 - e^-τ)", by="well_mixed_purge"
        ),
        figure(
            "oxygen",
            _span(oxygen),
            f"methane needs {100 * LEAST_OXYGEN:.1f} % to burn; air let in brings it at once",
            equation="0.2095 × air",
            by="well_mixed_purge astm_e2079",
        ),
        *(_way(path, label, by_days) for path, label in zip(paths, labels, strict=True)),
    ]
    return Section("Inside, and on the way there", tuple(figures))


def _span(values: Sequence[float]) -> str:
    low, high = f"{min(values):.0f}", f"{max(values):.0f}"
    return f"{low} %" if low == high else f"{low} to {high} %"


def _way(path: GasPath, label: str, by_days: bool) -> Figure:
    spans = path.spans
    if not spans and path.last.word == TOO_LITTLE:
        text = "not explosive yet: that lies ahead"
    elif not spans:
        text = "no explosive mixture met by these figures, which may be wrong"
    else:
        first, last = spans[0], spans[-1]
        end = (
            "on"
            if not last.over
            else (f"to day {last.to_day:.1f}" if by_days else f"to {last.to_turnover:.2f}")
        )
        begin = f"day {first.from_day:.1f}" if by_days else f"{first.from_turnover:.2f}"
        kind = "explosive" if any(s.word == "explosive" for s in spans) else "uncertain"
        unit = "" if by_days else " times the gas space"
        text = f"{kind} from {begin} {end}{unit}"
    return figure(
        f"with {label}",
        text,
        "within the widest limits",
        equation="x = x₀ e^-τ + y (1 - e^-τ) against the limits",
        by=f"well_mixed_purge {_LIMITS}",
    )


@dataclass(frozen=True)
class Caught:
    """What a holder holds by each path, all caught since it was last emptied [d], None: never."""

    held: tuple[Mixture, ...]
    emptied_day: float | None


def holder_section(caught: Caught) -> Section:
    """Say what the gas holder holds, and that it can be explosive too.

    Parameters
    ----------
    caught : Caught
        From ``holder_mixture`` on each path.
    """
    word = worst([mixture.word for mixture in caught.held])
    since = "the start" if caught.emptied_day is None else f"day {caught.emptied_day:.1f}"
    shares = {
        "methane": [100 * m.methane for m in caught.held],
        "carbon dioxide": [100 * m.co2 for m in caught.held],
        "air": [100 * m.air for m in caught.held],
    }
    mean = "mean of what left the gas space, over the gas passed"
    figures = [
        figure(
            "it is",
            word,
            "the gravest of the paths",
            equation="methane between the two lines of the triangle",
            by=_LIMITS,
        ),
        *(
            figure(name, _span(values), equation=mean, by="well_mixed_purge")
            for name, values in shares.items()
        ),
    ]
    return Section(
        "In the gas holder",
        tuple(figures),
        before=(f"Everything caught since {since}, mixed.",),
        after=(
            "Gas used in between took some of the older gas along: then what is in it lies between"
            " this and the gas space. Carbon dioxide that water takes up, and air through a bag's"
            " wall, are not reckoned. The first fill holds the vessel's air: let it out outdoors.",
        ),
    )


def opening_section(
    paths: Sequence[GasPath], labels: Sequence[str], space_m3: float, system: str
) -> Section:
    """Say what opening the lid does to each mixture.

    Parameters
    ----------
    paths : sequence of GasPath
        The last point of each is opened.
    labels : sequence of str
        What each stands for.
    space_m3 : float
        Gas space [m3].
    system : str
        "metric" or "us".
    """
    figures = []
    for path, label in zip(paths, labels, strict=True):
        opened = let_air_in(path.last)
        note = ""
        if opened.crosses:
            first = (opened.from_air - path.last.air) * space_m3
            note = (
                "mixed evenly, once"
                f" {show(max(first, 0.0), 'volume', system=system, digits=2)} of air have come in;"
                " at the opening itself, at once"
            )
        figures.append(
            figure(
                f"with {label}",
                f"explosive from {100 * opened.from_air:.0f} to {100 * opened.to_air:.0f} % air"
                if opened.crosses
                else "not explosive by these figures, which may be wrong",
                note,
                equation="straight to the corner of air",
                by=_LIMITS,
            )
        )
    return Section(
        "If the lid is opened",
        tuple(figures),
        before=(
            "Air mixes in from the top, unevenly: part of the space is explosive within moments,"
            " and the last of it long after.",
        ),
        warning="Never with a flame, switch, phone or engine near; outdoors only; stand upwind.",
    )


def first_section(span: tuple[float, float], space_m3: float, system: str) -> Section:
    """Say how much gas must pass before the mixture is too rich.

    Parameters
    ----------
    span : tuple of float
        Methane share of the gas made, low and high [-].
    space_m3 : float
        Gas space [m3].
    system : str
        "metric" or "us".
    """
    ends = [purge(share, boundary=WIDEST) for share in dict.fromkeys((*span, sum(span) / 2))]
    enters = [p.enters for p in ends if p.enters is not None]
    leaves = [p.leaves for p in ends if p.leaves is not None]
    figures = []
    if enters:
        figures.append(
            figure(
                "explosive or may be, from",
                show_range(min(enters) * space_m3, max(leaves) * space_m3, "volume", system=system),
                f"{min(enters):.2f} to {max(leaves):.2f} times the gas space, well mixed",
                equation="τ = -ln(1 - g)",
                by=f"well_mixed_purge {_LIMITS}",
            )
        )
    turns = ends[0].oxygen
    figures.append(
        figure(
            "oxygen below what methane needs after",
            show(turns * space_m3, "volume", system=system, digits=2),
            f"{turns:.2f} times the gas space; corners that mix badly take longer",
            equation="τ = ln(20.95/10.7)",
            by="well_mixed_purge astm_e2079",
        )
    )
    after = (
        "Vent at least the first days' gas outdoors, some way past these volumes, before anything"
        " is lit anywhere; test a small sample away from the vessel.",
    )
    return Section("How much gas must pass first", tuple(figures), after=after)


def boundary_section() -> Section:
    """Say where the limits come from, and how they differ."""
    figures = (
        figure(
            "explosive",
            f"{100 * TUBE.lean:.1f} to {100 * TUBE.rich:.1f} % methane in air, nothing past"
            f" {100 * TUBE.nose_co2:.0f} % carbon dioxide",
            "narrow: from small tubes",
            equation="5.0 + 1.5/24 CO₂ and 15.0 - 8.5/24 CO₂",
            by=" ".join(TUBE.sources),
        ),
        figure(
            "uncertain",
            f"out to {100 * WIDEST.lean:.1f} and {100 * WIDEST.rich:.1f} %, and"
            f" {100 * WIDEST.nose_co2:.0f} % carbon dioxide",
            "wide: the widest that any source or model gives",
            equation="two straight lines from the limits in air to the nose",
            by=" ".join(WIDEST.sources),
        ),
    )
    return Section("Where the limits come from", figures)
