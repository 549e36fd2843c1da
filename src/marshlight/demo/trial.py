"""The demonstration's trial: which of Otterbeck's scraps gives more gas; invented throughout."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from marshlight.answers.trial_solids import keep_solids, materials_in
from marshlight.decide.trial import layout
from marshlight.demo.stories import LIVE, TRIAL, TRIAL_NAME, TRIAL_WATER_L
from marshlight.matter.mixing import Part
from marshlight.notebook.bridge import feedstock_of
from marshlight.notebook.models import Lot, Person, Run, Trial
from marshlight.notebook.setting_up import set_up

_LAYOUT_SEED, _CRUCIBLE_SEED = 15, 16
_TEAMS = ("pupil group A", "pupil group B", "pupil group C")


def set_up_trial(keeper: Person) -> Trial:
    """Set up the trial itself."""
    given = {
        "name": TRIAL_NAME,
        "ratio": "3.5",
        "temperature": "37 degC",
        "inoculum_ph": "7.6",
        "inoculum_alkalinity": "6 g/L",
        "scale": "0.02 g",
        "class_mode": "yes",
        "notes": "Invented for the demonstration.",
    }
    made: Any = set_up("trial", given, by=keeper)
    return made  # type: ignore[no-any-return]


def burn_crucibles(trial: Trial, by: Person) -> None:
    """Write down TS and VS of three invented crucibles of the inoculum and each material."""
    rng = np.random.default_rng(_CRUCIBLE_SEED)
    lots = {label.partition(" ")[0]: name or LIVE for label, name, _ in TRIAL}
    typed = {}
    for material in materials_in(trial):
        of = feedstock_of(Lot.objects.get(name=lots.get(material, LIVE)))
        for name, key in (("ts", "TS"), ("vs", "VS")):
            seen = of.value(key) * (1.0 + rng.normal(0.0, 0.006, 3))
            typed[f"{name}-{material}"] = "  ".join(f"{min(v, 1.0) * 100:.4g}" for v in seen)
    keep_solids(trial, typed, by=by)


def enlist(trial: Trial, run: Run, *, label: str, parts: Sequence[Part], by: Person) -> None:
    """Make a run a bottle of the trial, with what was weighed into it."""
    role, _, number = label.partition(" ")
    weighed = {part.feedstock.name: part for part in parts}
    inoculum, *rest = weighed.values()
    sizes = {"inoculum": f"{inoculum.mass_kg:.6g} kg", "inoculum_vs": _vs(inoculum)}
    sizes["notes"] = f"Water {TRIAL_WATER_L * 1e3:.1f} g."
    if rest:
        sizes |= {"substrate": f"{rest[0].mass_kg:.6g} kg", "substrate_vs": _vs(rest[0])}
        sizes |= {"material": role, "lot": _lot_of(label)}
    place = {p.label: p for p in _places()}[label]
    set_up(
        "trialbottle",
        {
            "name": label, "trial": str(trial.pk), "run": str(run.pk),
            "role": {"blank": "blank", "cellulose": "control"}.get(role, "sample"),
            "block": str(place.block), "position": str(place.position),
            "team": _TEAMS[int(number) - 1], **sizes,
        },
        by=by,
    )  # fmt: skip


def _vs(part: Part) -> str:
    return f"{part.feedstock.value('TS') * part.feedstock.value('VS') * 100:.6g} %"


def _lot_of(label: str) -> str:
    name = next(lot for named, lot, _ in TRIAL if named == label)
    return str(Lot.objects.get(name=name or LIVE).pk)


def _places() -> Any:
    kinds = [(name, name) for name in dict.fromkeys(t[0].partition(" ")[0] for t in TRIAL)]
    return layout(kinds, 3, 3, rng=np.random.default_rng(_LAYOUT_SEED))
