"""The demonstration's trial: which of Otterbeck's scraps gives more gas; invented throughout."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from marshlight.decide.trial import layout
from marshlight.demo.stories import LIVE, TRIAL, TRIAL_NAME, TRIAL_WATER_L
from marshlight.matter.mixing import Part
from marshlight.notebook.models import Lot, Person, Run, Trial
from marshlight.notebook.setting_up import set_up

_LAYOUT_SEED = 15
_TEAMS = ("pupil group A", "pupil group B", "pupil group C")


def set_up_trial(keeper: Person) -> Trial:
    """Set up the trial itself."""
    given = {
        "name": TRIAL_NAME,
        "ratio": "3.5",
        "temperature": "37 degC",
        "inoculum_ph": "7.6",
        "inoculum_alkalinity": "6 g/L",
        "solids_measured": "3",
        "class_mode": "yes",
        "notes": "Invented for the demonstration.",
    }
    made: Any = set_up("trial", given, by=keeper)
    return made  # type: ignore[no-any-return]


def enlist(trial: Trial, run: Run, *, label: str, parts: Sequence[Part], by: Person) -> None:
    """Make a run a bottle of the trial, with what was weighed into it."""
    role, _, number = label.partition(" ")
    weighed = {part.feedstock.name: part for part in parts}
    inoculum, *rest = weighed.values()
    sizes = {"inoculum": f"{inoculum.mass_kg:.6g} kg", "inoculum_vs": _vs(inoculum)}
    sizes["notes"] = f"Water {TRIAL_WATER_L * 1e3:.1f} g."
    if rest:
        sizes |= {"substrate": f"{rest[0].mass_kg:.6g} kg", "substrate_vs": _vs(rest[0])}
        sizes |= {"substrate_vs_u": "0.5 %", "material": role, "lot": _lot_of(label)}
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
