"""The sentence on top: it claims what the intervals show, and nothing more."""

from collections.abc import Sequence

from marshlight.decide.trial.comparing import Contrast
from marshlight.decide.trial.criteria import Criterion
from marshlight.decide.trial.flags import Flag


def verdict_sentence(contrasts: Sequence[Contrast], *, smallest_seen: float | None = None) -> str:
    """Say which material gave more, as far as the intervals go.

    Parameters
    ----------
    contrasts : sequence of Contrast
        All pairs of samples, in m3/kg VS.
    smallest_seen : float, optional
        Smallest difference this design shows with 80 % power [m3/kg VS].

    Returns
    -------
    str
        One or more sentences; a difference is claimed only where its interval leaves out zero.
    """
    if not contrasts:
        return "There is one material only, so nothing is compared."
    clear = [c for c in contrasts if c.separated]
    unclear = [c for c in contrasts if not c.separated]
    said = [_clear(c) for c in clear]
    if unclear and clear:
        pairs = ", nor between ".join(f"{c.a} and {c.b}" for c in unclear)
        said.append(f"No difference can be claimed between {pairs}.")
    elif unclear:
        names = list(dict.fromkeys(name for c in unclear for name in (c.a, c.b)))
        said.append(f"No difference can be claimed between {_listed(names)}.")
    if unclear and smallest_seen is not None:
        said.append(
            f"This trial shows differences of about {smallest_seen * 1e3:.0f} NmL/g VS or more "
            "four times out of five; smaller ones may be there."
        )
    return " ".join(said)


def _clear(contrast: Contrast) -> str:
    more, less, low, high = contrast.a, contrast.b, contrast.low, contrast.high
    if contrast.difference < 0.0:
        more, less, low, high = less, more, -high, -low
    name = more[:1].upper() + more[1:]
    return f"{name} gave more methane than {less}: by {low * 1e3:.0f} to {high * 1e3:.0f} NmL/g VS."


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def standing_sentence(criteria: Sequence[Criterion], found: Sequence[Flag]) -> str:
    """Say how far the verdict can be leaned on.

    Parameters
    ----------
    criteria : sequence of Criterion
        The list.
    found : sequence of Flag
        Bottles to look at.

    Returns
    -------
    str
        Unmet and unknown requirements, and flagged bottles, in words.
    """
    required = [c for c in criteria if c.required]
    unmet = [c.words for c in required if c.met is False]
    unknown = [c.words for c in required if c.met is None]
    parts = []
    if unmet:
        parts.append(f"Only provisional. Not met: {'; '.join(unmet)}.")
    elif unknown:
        parts.append(
            f"Every requirement that can be judged is met; not known: {'; '.join(unknown)}."
        )
    else:
        parts.append("Every published requirement is met.")
    if found:
        bottles = _listed(list(dict.fromkeys(label for f in found for label in f.labels)))
        parts.append(f"Look at {bottles}: results with and without are both shown.")
    return " ".join(parts)
