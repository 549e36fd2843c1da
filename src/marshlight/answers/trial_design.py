"""The form that designs a trial, its answer, and making the runs and bottles it asks for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from django.db import transaction

from marshlight import units
from marshlight.answers.series import Table
from marshlight.answers.trial_past import PastScatter, past_scatter
from marshlight.decide.trial import Design, Material, Plan, design_trial
from marshlight.errors import InputError, MarshlightError, raise_all
from marshlight.estimate import Estimate
from marshlight.matter.feedstock import Feedstock
from marshlight.matter.gas import dry_normal_factor
from marshlight.notebook.bridge import feedstock_of
from marshlight.notebook.models import Holder, Lot, Person, Trial
from marshlight.notebook.setting_up import found, set_up

# Form fields: name, words, unit shown, what it starts with, quantity, limits.
FIELDS = (
    ("bottle", "bottle, brim-full", "L", "1", "volume", (1e-5, 0.1)),
    ("headspace", "of it gas space", "%", "40", "fraction", (0.1, 0.9)),
    ("ratio", "inoculum to substrate, by VS", "", "3", "dimensionless", (0.1, 10.0)),
    ("scatter", "scatter of a bottle to expect", "%", "5", "fraction", (0.001, 0.5)),
)
COUNTS = (
    ("replicates", "bottles of each kind", "3", (2, 20)),
    ("blocks", "blocks (shelves, baths, days)", "1", (1, 20)),
    ("seed", "number that the random order comes from", "1", (0, 999_999)),
)
MOST_SAMPLES = 6
# Dry normal gas of one volume in a holder at room temperature and ordinary air pressure.
_AS_IT_STANDS = float(dry_normal_factor(25.0, 101.325))
CONTROL_KEYS = ("cellulose",)


@dataclass(frozen=True)
class DesignField:
    """One field of the form."""

    name: str
    words: str
    unit: str
    value: str
    slip: str = ""
    hint: str = ""


@dataclass(frozen=True)
class DesignForm:
    """The form as it stands: fields, what is at hand, what is chosen."""

    name: str
    fields: tuple[DesignField, ...]
    lots: tuple[tuple[str, str], ...]
    inoculum: str
    control: str
    chosen: tuple[str, ...]
    slips: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class DesignAnswer:
    """What the design says: a sentence, what goes in, where it stands, what it can show."""

    sentence: str
    power: str
    holder: str
    fillings: Table
    layout: Table
    warnings: tuple[str, ...]
    design: Design


def design_form(given: Mapping[str, str], chosen: tuple[str, ...] = ()) -> DesignForm:
    """Build the form from what was typed, or as it starts."""
    lots = [(lot, _material_or_none(lot)) for lot in Lot.objects.in_use().order_by("name")]
    live = sorted((lot for lot, m in lots if _activity(m) > 0.0), key=_liveliness)
    cellulose = [lot for lot, m in lots if m is not None and m.key in CONTROL_KEYS]
    past = past_scatter()
    fields = [_field(n, w, u, given.get(n, ""), past=past) for n, w, u, _, _, _ in FIELDS]
    fields += [DesignField(n, w, "", given.get(n, v)) for n, w, v, _ in COUNTS]
    return DesignForm(
        given.get("name", ""),
        tuple(fields),
        tuple((str(lot.pk), lot.name) for lot, m in lots if m is not None),
        given.get("inoculum", str(live[0].pk) if live else ""),
        given.get("control", str(cellulose[0].pk) if cellulose else ""),
        chosen,
    )


def _field(
    name: str, words: str, unit: str, typed: str, *, past: PastScatter | None
) -> DesignField:
    start = next(v for n, _, _, v, _, _ in FIELDS if n == name)
    if name != "scatter" or past is None:
        return DesignField(name, words, unit, typed or start)
    known = f"{max(past.to_plan_with * 100, 0.1):.2g}"
    trials = "your trial" if past.trials == 1 else f"your {past.trials} trials"
    hint = (
        f"Bottles of {trials} scattered by {past.relative * 100:.2g} % ({past.df} degrees of "
        f"freedom); the true scatter is above {known} % one time in five."
    )
    return DesignField(name, words, unit, typed or known, hint=hint)


def _activity(material: Feedstock | None) -> float:
    known = material.get("methanogenic_activity") if material is not None else None
    return known.value if known is not None else 0.0


def _liveliness(lot: Lot) -> float:
    return -_activity(_material_or_none(lot))


def _material_or_none(lot: Lot) -> Feedstock | None:
    try:
        return feedstock_of(lot)
    except MarshlightError:
        return None


def read_plan(given: Mapping[str, str], chosen: tuple[str, ...]) -> tuple[Plan, int]:
    """Read the form as a plan and the seed of its layout.

    Raises
    ------
    InputErrors
        Naming every field that can't be used.
    """
    problems: list[InputError] = []
    numbers: dict[str, float] = {}
    for name, _, unit, start, quantity, (low, high) in FIELDS:
        try:
            numbers[name] = units.parse(
                given.get(name, "").strip() or start,
                quantity,
                field=name,
                unit=unit or None,
                minimum=low,
                maximum=high,
            )
        except InputError as error:
            problems.append(InputError(name, error.value, error.allowed, error.remedy))
    for name, words, start, (least, most) in COUNTS:
        text = given.get(name, "").strip() or start
        if not text.isdigit() or not least <= int(text) <= most:
            problems.append(
                InputError(name, text, f"{words}: {least} to {most}", "Give a whole number")
            )
        else:
            numbers[name] = int(text)
    materials, inoculum = _materials(given, chosen, problems)
    raise_all(problems)
    assert inoculum is not None
    potential = inoculum.value("methane_potential") * _vs(inoculum)
    plan = Plan(
        materials,
        numbers["bottle"],
        numbers["headspace"],
        _vs(inoculum),
        Estimate(potential, 0.3 * potential),
        ratio=numbers["ratio"],
        replicates=int(numbers["replicates"]),
        blocks=int(numbers["blocks"]),
        scatter=numbers["scatter"],
    )
    return plan, int(numbers["seed"])


def _vs(material: Feedstock) -> float:
    return material.value("TS") * material.value("VS")


def _materials(
    given: Mapping[str, str], chosen: tuple[str, ...], problems: list[InputError]
) -> tuple[tuple[Material, ...], Feedstock | None]:
    inoculum = None
    try:
        inoculum = feedstock_of(found("lot", given.get("inoculum", "")))
    except MarshlightError:
        problems.append(
            InputError("inoculum", "", "a lot of live slurry", "Choose what seeds the bottles")
        )
    made = []
    picked = [(key, "sample") for key in chosen[:MOST_SAMPLES]]
    if given.get("control"):
        picked.insert(0, (given["control"], "control"))
    for key, role in picked:
        try:
            made.append(_material(found("lot", key), role))
        except MarshlightError as error:
            problems.append(InputError("samples", key, str(error), "Choose another lot"))
    if not chosen:
        problems.append(InputError("samples", "", "one lot or more", "Choose what to compare"))
    return tuple(made), inoculum


def _material(lot: Lot, role: str) -> Material:
    material = feedstock_of(lot)
    known = material.get("methane_potential")
    if known is None:
        raise InputError(lot.name, "", "a lot with a known potential", "State one in its set-up")
    rate = material.get("rate")
    return Material(
        lot.name, _vs(material), known.estimate, rate.value if rate else 0.15, role=role
    )


def design_answer(plan: Plan, seed: int) -> DesignAnswer:
    """Work a plan out and put it in words."""
    made = design_trial(plan, rng=np.random.default_rng(seed))
    bottles = len(made.places)
    need = "" if made.bottles_for_tenth is None else (
        f" To show a tenth it would take {made.bottles_for_tenth} bottles of each."
    )  # fmt: skip
    return DesignAnswer(
        f"{bottles} bottles for about {made.days:.0f} days, "
        f"{made.inoculum_needed_kg:.2f} kg of inoculum.",
        f"With bottles that scatter by {plan.scatter * 100:.0f} %, differences of "
        f"{made.smallest_relative * 100:.0f} % show four times out of five; smaller ones mostly "
        f"stay hidden.{need}",
        f"Each bottle keeps {made.headspace_m3 * 1e3:.2g} L of gas space. Where gas is caught "
        f"outside it, a holder that is emptied daily must take "
        f"{_most(made, 'most_in_a_day_m3')} L, one that never is {_most(made, 'biogas_m3')} L.",
        Table("What goes into each bottle", _HEAD, tuple(_filling(f) for f in made.fillings)),
        Table(
            f"Where each stands, drawn at random from the number {seed}",
            ("block", "place", "label"),
            tuple((str(p.block), str(p.position), p.label) for p in made.places),
        ),
        made.warnings,
        made,
    )


def _most(made: Design, what: str) -> str:
    """Most gas of any bottle as it stands in a holder, moist at 25 °C [L]."""
    return f"{max(getattr(f, what) for f in made.fillings) / _AS_IT_STANDS * 1e3:.2g}"


_HEAD = (
    "kind", "material, g", "VS, g", "inoculum, g", "water, g", "methane, NL",
    "gas of the first day, L", "gas in all, L", "days", "come by then",
    "smallest difference shown, NmL/g VS",
)  # fmt: skip


def _filling(f: Any) -> tuple[str, ...]:
    blank = f.role == "blank"
    return (
        f.name,
        "–" if blank else f"{f.substrate_kg * 1e3:.2f}",
        "–" if blank else f"{f.substrate_vs_kg * 1e3:.2f}",
        f"{f.inoculum_kg * 1e3:.1f}",
        f"{f.water_kg * 1e3:.1f}",
        f"{f.methane_m3[0] * 1e3:.2f} to {f.methane_m3[1] * 1e3:.2f}",
        f"{f.most_in_a_day_m3 / _AS_IT_STANDS * 1e3:.2f}",
        f"{f.biogas_m3 / _AS_IT_STANDS * 1e3:.2f}",
        "as the last" if blank else f"{f.days:.0f}",
        "–" if blank else f"{f.recovered * 100:.0f} %",
        "–" if blank else f"{f.smallest_seen * 1e3:.0f}",
    )


def start_trial(given: Mapping[str, str], chosen: tuple[str, ...], *, by: Person | None) -> Trial:
    """Set a designed trial up: the trial, and for each bottle a vessel, a planned run, a row.

    Raises
    ------
    InputError
        If the trial has no name, or a field can't be used.
    """
    name = given.get("name", "").strip()
    if not name:
        raise InputError("name", "", "a name", "Name the trial")
    if Trial.objects.in_use().filter(name__iexact=name).exists():
        raise InputError("name", name, "a name no trial has yet", "Choose another name")
    plan, seed = read_plan(given, chosen)
    made = design_trial(plan, rng=np.random.default_rng(seed))
    keys = {found("lot", key).name: key for key in (*chosen, given.get("control", "")) if key}
    fillings = {f.name: f for f in made.fillings}
    with transaction.atomic():
        trial: Any = set_up("trial", {"name": name, "ratio": f"{plan.ratio:g}"}, by=by)
        holder = _gas_space(trial, made.headspace_m3, by)
        for place in made.places:
            _make_bottle(
                trial, place, fillings[place.name], holder=holder, plan=plan, by=by, keys=keys
            )
    return trial  # type: ignore[no-any-return]


def _gas_space(trial: Trial, headspace_m3: float, by: Person | None) -> Any:
    given = {
        "name": f"Gas space, {trial.name}",
        "kind": Holder.Kind.SEALED.value,
        "headspace": f"{headspace_m3 * 1e6:.6g} mL",
    }
    return set_up("holder", given, by=by)


def _make_bottle(
    trial: Trial, place: Any, filling: Any, *, holder: Any, plan: Plan, by: Person | None, keys: Any
) -> None:
    bottle = f"{trial.name}, {place.label}"
    vessel: Any = set_up(
        "vessel", {"name": bottle, "volume": f"{plan.bottle_m3 * 1e3:.6g} L"}, by=by
    )
    run: Any = set_up(
        "run", {"name": bottle, "vessel": str(vessel.pk), "holder": str(holder.pk)}, by=by
    )
    sizes = {
        "notes": f"Water {filling.water_kg * 1e3:.1f} g.",
        "inoculum": f"{filling.inoculum_kg:.9g} kg",
        "inoculum_vs": f"{plan.inoculum_vs * 100:.6g} %",
    }
    if place.role != "blank":
        share = filling.substrate_vs_kg / filling.substrate_kg
        sizes |= {
            "material": place.name,
            "lot": keys[place.name],
            "substrate": f"{filling.substrate_kg:.9g} kg",
            "substrate_vs": f"{share * 100:.6g} %",
        }
    row = {
        "name": place.label, "trial": str(trial.pk), "run": str(run.pk), "role": place.role,
        "block": str(place.block), "position": str(place.position),
    }  # fmt: skip
    set_up("trialbottle", row | sizes, by=by)
