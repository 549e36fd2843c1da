"""What the keeper wrote down of an invented digester: counted gas, strips, flames, temperatures."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from benchmarks.synthetic.digesters import Floats, Setup
from benchmarks.synthetic.faults import Case
from benchmarks.synthetic.life import Life, value_on
from benchmarks.synthetic.truth import Instruments, Truth

from marshlight.decide.watch.calibration.log import Counted, Read, RunLog
from marshlight.decide.watch.calibration.reading import ACIDS_TITRATED
from marshlight.matter.gas import dry_normal_factor
from marshlight.process.model import Event, SetTemperature, Vent

# A flame as `measure.flame` has it: half of the burners light at 0.35 methane and hold at 0.50.
_LIGHTS_AT, _HOLDS_AT, _FLAME_SCALE = 0.35, 0.50, 0.04
_ACIDS = ("acetate_ion", "propionate_ion", "butyrate_ion", "valerate_ion")
_CACO3 = 50.043
# The log follows the slurry in steps no smaller than this, as the notebook does [K].
_STEP_K = 0.5
# What the library's range of methane potentials leaves open, 95 % [1].
FOOD = (0.67, 1.5)


# Span over which a reading that is plainly wrong may fall, to either side.
_SLIP_SPAN = {
    "ph": 2.5,
    "methane": 0.5,
    "oxygen": 0.1,
    "acids": 10.0,
    "alkalinity": 15.0,
    "ammonia": 5.0,
}


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
    kit, looks, run = truth.instruments, setup.looks, case.life.run
    read = _Reader(kit, rng)
    slurry = _slurry(setup, truth, read)
    celsius, changes = _temperatures(setup, slurry)
    ph_off = np.array([kit.ph_bias + value_on(kit.ph_bias_later, d) for d in looks.ph])
    vents: Sequence[Event] = [Vent(float(d)) for d in looks.gas] if looks.emptied else []
    events = sorted((*setup.events, *changes, *vents), key=lambda event: event.day)
    shares = {name: life.at(run.share(name), looks.methane) for name in ("methane", "oxygen")}

    return RunLog(
        digester=replace(setup.digester, temperature_c=celsius),
        charge=setup.charge,
        today=setup.length_d,
        events=tuple(events),
        lively=setup.lively,
        food=FOOD,
        gas=_counted(setup, truth, life, rng),
        ph=read("ph", looks.ph, life.at(run["pH"], looks.ph) + ph_off, kit.ph_u),
        flame=tuple((float(d), _flame(life, float(d), rng)) for d in looks.flame),
        methane=read("methane", looks.methane, shares["methane"] + kit.methane_bias, kit.methane_u),
        oxygen=read("oxygen", looks.methane, shares["oxygen"], 0.005),
        **_titrated(looks.titration, life, read),
        slurry_c=slurry,
        set_point_c=setup.digester.temperature_c,
        room_c=setup.room_c,
        holder_capacity_m3=setup.digester.holder.capacity_m3 or None,
        in_trial=setup.kind == "batch bottle",
    )


def _counted(setup: Setup, truth: Truth, life: Life, rng: np.random.Generator) -> Counted:
    """Count gas between visits; what a full holder let go is only known to be more."""
    kit, days = truth.instruments, setup.looks.gas
    start = np.concatenate([[0.0], days[:-1]])
    real = np.concatenate([[0.0], days + kit.late_d * rng.standard_normal(days.size)])
    came = np.diff(life.at(life.gas_m3, real))
    scale = kit.gas_scale * np.array([value_on(kit.gas_scale_later, d, 1.0) for d in days])
    shown = came * scale
    usual = max(float(np.median(np.abs(came))), 1e-3 * setup.digester.vessel_m3)
    u = kit.gas_u * usual
    error = rng.normal(0.0, u, days.size)
    slipped = rng.random(days.size) < kit.slips
    error += np.where(slipped, max(10.0 * u, usual) * rng.standard_normal(days.size), 0.0)
    if setup.looks.emptied:
        shown = shown + error
        most = setup.digester.holder.capacity_m3 * dry_normal_factor(
            setup.room_c, setup.digester.atmosphere_kpa
        )
        full = shown >= most
        return Counted(start, days, np.minimum(shown, most), np.full(days.size, u), full)
    # A register: the reading that ends one interval begins the next.
    linked = np.arange(days.size) > 0
    u_both = np.where(linked, np.sqrt(2.0) * u, u)
    shown = shown + np.diff(error, prepend=0.0)
    return Counted(start, days, shown, u_both, np.zeros(days.size, dtype=bool), linked)


@dataclass(frozen=True)
class _Reader:
    """Reads what is so with the errors of a kit of instruments."""

    kit: Instruments
    rng: np.random.Generator

    def __call__(self, name: str, days: Floats, truth: Floats, u: float | Floats) -> Read | None:
        if not days.size:
            return None
        said = np.broadcast_to(np.asarray(u, dtype=np.float64), days.shape).copy()
        plain, relative = self.kit.unsaid.get(name, (0.0, 0.0))
        spread = np.sqrt(said**2 + plain**2 + (relative * truth) ** 2)
        shown = truth + self.rng.standard_normal(days.size) * spread
        span = _SLIP_SPAN.get(name, 0.0)
        slipped = self.rng.random(days.size) < self.kit.slips
        shown = np.where(slipped, truth + self.rng.uniform(-span, span, days.size), shown)
        step = self.kit.ph_step if name == "ph" else 0.0
        return Read(days, np.round(shown / step) * step if step > 0.0 else shown, said, step)


def _titrated(days: Floats, life: Life, read: _Reader) -> dict[str, Read | None]:
    run, u = life.run, read.kit.titration_u
    ions = np.sum([run[name] for name in _ACIDS], axis=0)
    alkalinity = run["bicarbonate"] + 2.0 * run["carbonate"] + run["ammonia"]
    whole = _CACO3 * (alkalinity + ACIDS_TITRATED * ions)
    found: dict[str, Read | None] = {}
    for name, curve, least in (
        ("acids", run.acids_kg_m3, 0.1),
        ("alkalinity", whole, 0.1),
        ("ammonia", run.ammonia_nitrogen_kg_m3, 0.05),
    ):
        value = life.at(curve, days)
        found[name] = read(name, days, value, np.hypot(u * value, least))
    return found


def _flame(life: Life, day: float, rng: np.random.Generator) -> str:
    share = float(life.at(life.run.share("methane"), np.array([day]))[0])
    if rng.random() > 1.0 / (1.0 + np.exp(-(share - _LIGHTS_AT) / _FLAME_SCALE)):
        return "none"
    holds = rng.random() < 1.0 / (1.0 + np.exp(-(share - _HOLDS_AT) / _FLAME_SCALE))
    return "holds" if holds else "dies"


def _slurry(setup: Setup, truth: Truth, read: _Reader) -> Read | None:
    """Read the slurry as warm as it really is, but for the thermometer's own fault."""
    kit, days = truth.instruments, setup.looks.temperature
    set_to = sorted(
        (e for e in truth.hidden if isinstance(e, SetTemperature)), key=lambda event: event.day
    )
    usual = setup.digester.temperature_c + truth.warmth_k
    held = [[usual, *(e.celsius for e in set_to if e.day <= d)][-1] for d in days]
    off = [kit.temperature_bias + value_on(kit.temperature_bias_later, d) for d in days]
    return read("slurry_c", days, np.array(held) + np.array(off), kit.temperature_u)


def _temperatures(setup: Setup, slurry: Read | None) -> tuple[float, list[SetTemperature]]:
    """Give the temperature at the start and its changes, as the notebook would read the log."""
    if slurry is None:
        return setup.digester.temperature_c, []
    kept = [SetTemperature(0.0, float(slurry.value[0]))]
    for day, celsius in zip(slurry.day[1:], slurry.value[1:], strict=True):
        if abs(celsius - kept[-1].celsius) > _STEP_K:
            kept.append(SetTemperature(float(day), float(celsius)))
    return kept[0].celsius, kept[1:]
