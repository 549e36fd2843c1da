"""What the keeper wrote down of an invented digester: counted gas, strips, flames, temperatures."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from benchmarks.synthetic.digesters import Floats, Setup
from benchmarks.synthetic.faults import Case
from benchmarks.synthetic.life import Life, value_on
from benchmarks.synthetic.truth import Truth

from marshlight.decide.watch.calibration.log import Counted, Read, RunLog
from marshlight.matter.gas import dry_normal_factor
from marshlight.process.model import Event, SetTemperature, Vent

# A flame as `measure.flame` has it: half of the burners light at 0.35 methane and hold at 0.50.
_LIGHTS_AT, _HOLDS_AT, _FLAME_SCALE = 0.35, 0.50, 0.04
_ACIDS = ("acetate_ion", "propionate_ion", "butyrate_ion", "valerate_ion")
# Share of acid ions that a titration down to pH 4.3 counts as alkalinity.
_ACIDS_TITRATED = 0.74
_CACO3 = 50.043
# The log follows the slurry in steps no smaller than this, as the notebook does [K].
_STEP_K = 0.5
# What the library's range of methane potentials leaves open, 95 % [1].
FOOD = (0.67, 1.5)


def write_log(case: Case, rng: np.random.Generator) -> RunLog:
    """Write the log of a whole run; ``until`` gives it as it stood on a day.

    Parameters
    ----------
    case : Case
        Digester, truth and life.
    rng : numpy.random.Generator
        Draws reading errors: as large as the log says, biases left unsaid.
    """
    setup, truth, life = case.setup, case.truth, case.life
    kit, looks = truth.instruments, setup.looks
    slurry = _slurry(setup, truth, rng)
    celsius, changes = _temperatures(setup, slurry)
    ph_off = np.array([kit.ph_bias + value_on(kit.ph_bias_later, d) for d in looks.ph])
    ph = _read(looks.ph, life.at(life.run["pH"], looks.ph) + ph_off, kit.ph_u, rng, kit.ph_step)
    methane = life.at(life.run.share("methane"), looks.methane) + kit.methane_bias
    oxygen = life.at(life.run.share("oxygen"), looks.methane)
    vents: Sequence[Event] = [Vent(float(d)) for d in looks.gas] if looks.emptied else []
    events = sorted((*setup.events, *changes, *vents), key=lambda event: event.day)
    capacity = setup.digester.holder.capacity_m3
    return RunLog(
        digester=replace(setup.digester, temperature_c=celsius),
        charge=setup.charge,
        today=setup.length_d,
        events=tuple(events),
        lively=setup.lively,
        food=FOOD,
        gas=_counted(setup, truth, life, rng),
        ph=ph,
        flame=tuple((float(d), _flame(life, float(d), rng)) for d in looks.flame),
        methane=_read(looks.methane, methane, kit.methane_u, rng),
        oxygen=_read(looks.methane, oxygen, 0.005, rng),
        **_titrated(setup, truth, life, rng),
        slurry_c=slurry,
        set_point_c=setup.digester.temperature_c,
        room_c=setup.room_c,
        holder_capacity_m3=capacity or None,
        in_trial=setup.kind == "batch bottle",
    )


def _counted(setup: Setup, truth: Truth, life: Life, rng: np.random.Generator) -> Counted:
    """Count gas between visits; what a full holder let go is only known to be more."""
    kit, days = truth.instruments, setup.looks.gas
    start = np.concatenate([[0.0], days[:-1]])
    came = np.diff(life.at(life.gas_m3, np.concatenate([[0.0], days])))
    scale = kit.gas_scale * np.array([value_on(kit.gas_scale_later, d, 1.0) for d in days])
    shown = came * scale
    u = kit.gas_u * max(float(np.median(np.abs(came))), 1e-3 * setup.digester.vessel_m3)
    full = np.zeros(days.shape, dtype=bool)
    if setup.looks.emptied:
        shown = shown + rng.normal(0.0, u, days.size)
        most = setup.digester.holder.capacity_m3 * dry_normal_factor(
            setup.room_c, setup.digester.atmosphere_kpa
        )
        full = shown >= most
        return Counted(start, days, np.minimum(shown, most), np.full(days.size, u), full)
    # A register: the reading that ends one interval begins the next.
    error = rng.normal(0.0, u, days.size)
    u_first = np.where(np.arange(days.size) == 0, u, np.sqrt(2.0) * u)
    linked = np.arange(days.size) > 0
    return Counted(start, days, shown + np.diff(error, prepend=0.0), u_first, full, linked)


def _read(
    days: Floats, truth: Floats, u: float | Floats, rng: np.random.Generator, step: float = 0.0
) -> Read | None:
    if not days.size:
        return None
    spread = np.broadcast_to(np.asarray(u, dtype=np.float64), days.shape)
    shown = truth + rng.normal(0.0, 1.0, days.size) * spread
    if step > 0.0:
        shown = np.round(shown / step) * step
    return Read(days, shown, spread.copy(), step)


def _titrated(
    setup: Setup, truth: Truth, life: Life, rng: np.random.Generator
) -> dict[str, Read | None]:
    days, run, u = setup.looks.titration, life.run, truth.instruments.titration_u
    ions = np.sum([run[name] for name in _ACIDS], axis=0)
    alkalinity = run["bicarbonate"] + 2.0 * run["carbonate"] + run["ammonia"]
    whole = _CACO3 * (alkalinity + _ACIDS_TITRATED * ions)
    found: dict[str, Read | None] = {}
    for name, curve, least in (
        ("acids", run.acids_kg_m3, 0.1),
        ("alkalinity", whole, 0.1),
        ("ammonia", run.ammonia_nitrogen_kg_m3, 0.05),
    ):
        value = life.at(curve, days)
        found[name] = _read(days, value, np.hypot(u * value, least), rng)
    return found


def _flame(life: Life, day: float, rng: np.random.Generator) -> str:
    share = float(life.at(life.run.share("methane"), np.array([day]))[0])
    if rng.random() > 1.0 / (1.0 + np.exp(-(share - _LIGHTS_AT) / _FLAME_SCALE)):
        return "none"
    holds = rng.random() < 1.0 / (1.0 + np.exp(-(share - _HOLDS_AT) / _FLAME_SCALE))
    return "holds" if holds else "dies"


def _slurry(setup: Setup, truth: Truth, rng: np.random.Generator) -> Read | None:
    """Read the slurry as warm as it really is, but for the thermometer's own fault."""
    kit, days = truth.instruments, setup.looks.temperature
    set_to = sorted(
        (e for e in truth.hidden if isinstance(e, SetTemperature)), key=lambda event: event.day
    )
    usual = setup.digester.temperature_c + truth.warmth_k
    held = [[usual, *(e.celsius for e in set_to if e.day <= d)][-1] for d in days]
    off = [kit.temperature_bias + value_on(kit.temperature_bias_later, d) for d in days]
    return _read(days, np.array(held) + np.array(off), kit.temperature_u, rng)


def _temperatures(setup: Setup, slurry: Read | None) -> tuple[float, list[SetTemperature]]:
    """Give the temperature at the start and its changes, as the notebook would read the log."""
    if slurry is None:
        return setup.digester.temperature_c, []
    kept = [SetTemperature(0.0, float(slurry.value[0]))]
    for day, celsius in zip(slurry.day[1:], slurry.value[1:], strict=True):
        if abs(celsius - kept[-1].celsius) > _STEP_K:
            kept.append(SetTemperature(float(day), float(celsius)))
    return kept[0].celsius, kept[1:]
