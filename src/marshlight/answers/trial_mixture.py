"""Saying which material of a trial is a mixture of which others."""

from collections.abc import Mapping

from marshlight import units
from marshlight.answers.trial_result import bottles_of
from marshlight.errors import require
from marshlight.notebook.models import Person, Trial


def materials_of(trial: Trial) -> tuple[str, ...]:
    """List the materials that a trial's samples hold."""
    return tuple(dict.fromkeys(r.material for r in bottles_of(trial) if r.role == "sample"))


def keep_mixture(trial: Trial, given: Mapping[str, str], *, by: Person | None) -> str:
    """Keep that a material is a mixture of two others, by their shares of its VS.

    Parameters
    ----------
    trial : Trial
        The trial.
    given : mapping
        ``mixture``, ``part`` and ``other`` name materials; ``share`` is the first part's.
    by : Person or None
        Who says so.

    Returns
    -------
    str
        What was kept, in words.

    Raises
    ------
    InputError
        If a material is not in the trial, or the three are not different.
    """
    names = tuple(given.get(key, "") for key in ("mixture", "part", "other"))
    known = materials_of(trial)
    require(
        set(names) <= set(known) and len(set(names)) == 3,
        field="mixture",
        value=", ".join(names),
        allowed=f"three different materials of {', '.join(known)}",
        remedy="Say which is the mixture and which are its parts",
    )
    share = units.parse(
        given.get("share", ""), "fraction", field="share", unit="%", minimum=0.01, maximum=0.99
    )
    trial.mixtures = {**trial.mixtures, names[0]: {names[1]: share, names[2]: 1.0 - share}}
    trial.save(by=by, why=f"{names[0]} is a mixture")
    return f"{names[0]} is compared with {share * 100:.0f} % {names[1]}, the rest {names[2]}."
