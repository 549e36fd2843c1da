"""Saying which material of a trial is a mixture of which others."""

from collections.abc import Mapping

from marshlight import units
from marshlight.answers.trial_result import bottles_of
from marshlight.errors import InputError, raise_all, require
from marshlight.notebook.models import Person, Trial

# Shares typed to a tenth of a per cent may miss the whole by a little.
_ROUNDING = 0.005


def materials_of(trial: Trial) -> tuple[str, ...]:
    """List the materials that a trial's samples hold."""
    return tuple(dict.fromkeys(r.material for r in bottles_of(trial) if r.role == "sample"))


def keep_mixture(trial: Trial, given: Mapping[str, str], *, by: Person | None) -> str:
    """Keep that a material is a mixture of others, by their shares of its VS.

    Parameters
    ----------
    trial : Trial
        The trial.
    given : mapping
        ``mixture`` names a material; ``share-NAME`` gives the share of each part in per cent,
        empty where it is none.
    by : Person or None
        Who says so.

    Returns
    -------
    str
        What was kept, in words.

    Raises
    ------
    InputErrors
        If the material is not in the trial, a share can't be read, there are fewer than two
        parts, or they don't add up to 100 %.
    """
    known = materials_of(trial)
    name = given.get("mixture", "")
    require(
        name in known,
        field="mixture",
        value=name,
        allowed=", ".join(known),
        remedy="Say which material is the mixture",
    )
    parts = _parts(known, name, given)
    total = sum(parts.values())
    require(
        len(parts) >= 2 and abs(total - 1.0) <= _ROUNDING,
        field="shares of the parts",
        value=f"{total * 100:.6g} %",
        allowed="two or more parts that add up to 100 %",
        remedy="Give each part's share of the mixture's VS",
    )
    parts = {part: share / total for part, share in parts.items()}
    trial.mixtures = {**trial.mixtures, name: parts}
    trial.save(by=by, why=f"{name} is a mixture")
    listed = ", ".join(f"{share * 100:.3g} % {part}" for part, share in parts.items())
    return f"{name} is compared with {listed}."


def _parts(known: tuple[str, ...], mixture: str, given: Mapping[str, str]) -> dict[str, float]:
    problems: list[InputError] = []
    parts = {}
    for part in known:
        text = given.get(f"share-{part}", "").strip()
        if not text:
            continue
        if part == mixture:
            problems.append(
                InputError("share", part, "other materials only", "Leave the mixture itself empty")
            )
            continue
        try:
            parts[part] = units.parse(
                text, "fraction", field=f"share of {part}", unit="%", minimum=0.001, maximum=0.999
            )
        except InputError as error:
            problems.append(error)
    raise_all(problems)
    return parts
