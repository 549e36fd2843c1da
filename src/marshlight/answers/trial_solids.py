"""TS and VS of a trial's materials, each crucible as it was measured."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from marshlight import units
from marshlight.decide.trial import MeasuredSolids, VsContent, vs_content
from marshlight.errors import InputError, raise_all
from marshlight.notebook.models import Person, Trial, TrialBottle

INOCULUM = "inoculum"
_BETWEEN = re.compile(r"[;\s]+")
_MOST = 12


@dataclass(frozen=True)
class SolidsLine:
    """One material in the form: what was typed or kept, and what it comes to."""

    name: str
    ts: str
    vs: str
    found: str


def materials_in(trial: Trial) -> tuple[str, ...]:
    """List what TS and VS are wanted of: the inoculum, then each material."""
    rows = TrialBottle.objects.in_use().filter(trial=trial).exclude(role="blank")
    names = dict.fromkeys(rows.order_by("block", "position").values_list("material", flat=True))
    return (INOCULUM, *names)


def solids_of(trial: Trial) -> dict[str, VsContent]:
    """Give VS over fresh mass of each material whose crucibles were written down."""
    found = {}
    for name, kept in trial.solids.items():
        measured = MeasuredSolids(tuple(kept.get("ts", ())), tuple(kept.get("vs", ())))
        if measured.n:
            found[name] = vs_content(measured)
    return found


def solids_counts(trial: Trial) -> dict[str, int]:
    """Say how often TS and VS of each were measured; empty where no crucible was written down."""
    known = solids_of(trial)
    return {n: known[n].n if n in known else 0 for n in materials_in(trial)} if known else {}


def solids_form(trial: Trial, typed: Mapping[str, str] | None = None) -> tuple[SolidsLine, ...]:
    """Lay out the form: a line for the inoculum and for each material.

    Parameters
    ----------
    trial : Trial
        The trial.
    typed : mapping, optional
        What was typed and not kept.
    """
    known = solids_of(trial)
    lines = []
    for name in materials_in(trial):
        kept = trial.solids.get(name, {})
        said = known.get(name)
        lines.append(
            SolidsLine(
                name,
                (typed or {}).get(f"ts-{name}", _listed(kept.get("ts", ()))),
                (typed or {}).get(f"vs-{name}", _listed(kept.get("vs", ()))),
                "" if said is None else _said(said),
            )
        )
    return tuple(lines)


def _listed(values: tuple[float, ...]) -> str:
    return "  ".join(f"{v * 100:.6g}" for v in values)


def _said(found: VsContent) -> str:
    more = f" ± {found.sd * 100:.2g} (sd of {found.n})" if found.n > 1 else ", measured once"
    return f"VS {found.mean * 100:.3g} % of fresh{more}"


def keep_solids(trial: Trial, given: Mapping[str, str], *, by: Person | None) -> str:
    """Keep the crucibles of every material that was filled in.

    Parameters
    ----------
    trial : Trial
        The trial.
    given : mapping
        ``ts-NAME`` and ``vs-NAME``, each a few numbers in per cent with spaces between. Both
        empty: nothing is known of that material any more.
    by : Person or None
        Who measured.

    Returns
    -------
    str
        What was kept, in words.

    Raises
    ------
    InputErrors
        Naming every field that can't be used.
    """
    problems: list[InputError] = []
    kept: dict[str, dict[str, list[float]]] = {}
    for name in materials_in(trial):
        ts = _numbers(given.get(f"ts-{name}", ""), f"TS of {name}", problems)
        vs = _numbers(given.get(f"vs-{name}", ""), f"VS of {name}", problems)
        if bool(ts) != bool(vs):
            problems.append(
                InputError(f"solids of {name}", "", "both TS and VS", "Give both, or neither")
            )
        if ts and vs:
            kept[name] = {"ts": ts, "vs": vs}
    raise_all(problems)
    trial.solids = kept
    trial.save(by=by, why="TS and VS measured")
    counts = ", ".join(f"{n} {len(v['ts'])}" for n, v in kept.items())
    return f"TS and VS are kept, times measured: {counts}." if counts else "No TS and VS are kept."


def _numbers(text: str, field: str, problems: list[InputError]) -> list[float]:
    parts = [p for p in _BETWEEN.split(text.strip()) if p]
    if len(parts) > _MOST:
        problems.append(InputError(field, text, f"up to {_MOST} numbers", "Leave some out"))
        return []
    found = []
    for part in parts:
        try:
            found.append(
                units.parse(part, "fraction", field=field, unit="%", minimum=1e-4, maximum=1.0)
            )
        except InputError as error:
            problems.append(error)
    return found
