"""The process model's kernel against other ways to solve the same equations."""

import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from functools import cache, partial
from os import times
from time import perf_counter, process_time
from typing import Any

import numpy as np
from benchmarks import published_ode
from benchmarks.harness import BenchRow
from scipy.integrate import solve_ivp
from sksundae.cvode import CVODE

from marshlight.matter.library import find
from marshlight.process.model import (
    SMALL_DIGESTER,
    Digester,
    DrawOff,
    Feed,
    Holder,
    ensemble,
    inoculum,
    liquid_from_feedstock,
    published_settings,
    run_published_plant,
    sensitivities,
    simulate,
    water,
)
from marshlight.process.model.definition import BENCHMARK, assemble, emit_python
from marshlight.process.model.equations import Equations
from marshlight.process.model.kernel import LANES, SCALAR, Program, layout, run
from marshlight.process.model.schedule import Schedule
from marshlight.process.model.simulate import prepare

PLACE = layout("benchmark")
LIQUID = [i for i, kind in enumerate(PLACE.kinds) if kind == 1]
ALGEBRAIC = PLACE.state_at["ln_proton"]
DAYS = (0.0, 200.0)
MEMBERS = 1000
# Tolerances from tight to loose.
LADDER = (1e-4, 2e-4, 5e-4, 1e-3, 2e-3, 5e-3, 1e-2)


@cache
def start() -> np.ndarray:
    """Give a state 30 % off the steady state."""
    trace = run_published_plant([0.0, 3000.0], watch=("states",), rtol=1e-8)
    states = np.array([float(curve[-1]) for curve in trace.values.values()])
    states[LIQUID] *= 1.3
    return states


@cache
def plain_python() -> Callable[[float, np.ndarray], np.ndarray]:
    """Make the right-hand side in plain Python: no compiled language, pH by Newton inside."""
    scope: dict[str, Any] = {}
    exec(compile(emit_python(assemble(BENCHMARK)), "<benchmark>", "exec"), scope)
    derived = [0.0] * scope["N_DERIVED"]
    scope["derive"](published_settings().tolist(), derived)
    guess = [-17.0]
    g, dg = [0.0], [0.0]

    def slopes(_day: float, states: np.ndarray) -> np.ndarray:
        y, out = states.tolist(), [0.0] * len(states)
        y[ALGEBRAIC] = guess[0]
        for _ in range(20):
            scope["algebra"](y, derived, g, dg)
            step = max(-1.0, min(1.0, g[0] / dg[0]))
            y[ALGEBRAIC] -= step
            if abs(step) < 1e-10:
                break
        guess[0] = y[ALGEBRAIC]
        scope["slopes"](y, derived, out)
        out[ALGEBRAIC] = 0.0
        return np.array(out)

    return slopes


@cache
def plant(rtol: float) -> tuple[Program, np.ndarray]:
    """Write down the benchmark plant's run, which the others get ready-made too."""
    settings = published_settings()
    schedule = Schedule("benchmark", *DAYS)
    return schedule.program(settings, DAYS, PLACE.states, rtol=rtol), settings


def kernel(rtol: float = 1e-3) -> np.ndarray:
    """Run the benchmark plant with the kernel."""
    program, settings = plant(rtol)
    nothing = np.zeros((1, 0, len(PLACE.states)))
    outcome = run(program, settings[None], start()[None], nothing, form=SCALAR)
    return np.asarray(outcome.out[0, -1])


def kernel_many(rtol: float) -> np.ndarray:
    """Run it a hundred times in one call, as an ensemble does on one core, without lanes."""
    program, settings = plant(rtol)
    nothing = np.zeros((1, 0, len(PLACE.states)))
    outcome = run(program, np.tile(settings, (100, 1)), start()[None], nothing, form=SCALAR)
    return np.asarray(outcome.out[-1, -1])


def scipy_bdf(rtol: float) -> np.ndarray:
    """Run the kernel's own form, pH found at each call, with SciPy's BDF on plain Python."""
    found = solve_ivp(
        plain_python(), DAYS, start(), method="BDF", rtol=rtol, atol=absolute(rtol), t_eval=DAYS
    )
    return np.asarray(found.y[:, -1])


@cache
def ode_form() -> tuple[Callable[[float, np.ndarray], np.ndarray], np.ndarray]:
    """Make the published form's right-hand side and its start, the ions in equilibrium."""
    program, settings = plant(1e-3)
    nothing = np.zeros((1, 0, len(PLACE.states)))
    settled = run(program, settings[None], start()[None], nothing, form=SCALAR).out[0, 0]
    return published_ode.slopes(), published_ode.from_kernel(settled)


def scipy_bdf_ode(rtol: float) -> np.ndarray:
    """Run the published form, 35 ordinary differential equations, with SciPy's BDF."""
    slopes, first = ode_form()
    atol = np.full(35, rtol * 1e-2)
    atol[[7, 32]] *= 1e-4
    atol[26:32] *= 1e-2
    found = solve_ivp(slopes, DAYS, first, method="BDF", rtol=rtol, atol=atol, t_eval=DAYS)
    if not found.success:
        return np.full(len(LIQUID), np.nan)
    return np.asarray(found.y[: len(LIQUID), -1] * 3400.0)


def cvode(rtol: float) -> np.ndarray:
    """Run it with CVODE on the kernel's own compiled equations."""
    equations = Equations("benchmark", published_settings())

    def slopes(_day: float, y: np.ndarray, out: np.ndarray) -> None:
        equations.slopes(y, out)

    solver = CVODE(slopes, rtol=rtol, atol=absolute(rtol), max_num_steps=100_000)
    return np.asarray(solver.solve(DAYS, start()).y[-1])


def absolute(rtol: float) -> np.ndarray:
    """Give absolute tolerances as small for the small states as the kernel's own."""
    found = np.full(len(PLACE.states), rtol * 1e-2 * 3400.0)
    found[PLACE.state_at["hydrogen"]] *= 1e-4
    return found


def seconds(
    action: Callable[[], object], *, repeats: int, clock: Callable[[], float] = process_time
) -> float:
    """Time the fastest of some calls, in processor time: whatever else runs here does not count."""
    return in_turns({"": action}, repeats=repeats, clock=clock)[""]


def in_turns(
    actions: Mapping[str, Callable[[], object]],
    *,
    repeats: int,
    clock: Callable[[], float] = process_time,
) -> dict[str, float]:
    """Time the fastest call of each, taking turns, so that a busy machine slows all of them."""
    best = dict.fromkeys(actions, float("inf"))
    for _ in range(repeats):
        for name, action in actions.items():
            begun = clock()
            action()
            best[name] = min(best[name], clock() - begun)
    return best


def error(got: np.ndarray) -> float:
    """Largest relative error of a liquid state at the end; infinite where there is no result."""
    exact = kernel(1e-10)[LIQUID]
    worst = float(np.max(np.abs(got[LIQUID] / exact - 1.0)[exact > 0.0]))
    return worst if np.isfinite(worst) else float("inf")


def loosest(solver: Callable[[float], np.ndarray], allowed: float = 1e-4) -> tuple[float, float]:
    """Find the loosest tolerance of the ladder that keeps an error, as every tighter one does."""
    found = (0.0, float("inf"))
    for rtol in LADDER:
        off = error(solver(rtol))
        if off > allowed:
            break
        found = (rtol, off)
    return found


SOLVERS = {
    "kernel": kernel,
    "kernel, a run of a hundred in one call": kernel_many,
    "SciPy BDF, published form of 35 equations, plain Python": scipy_bdf_ode,
    "SciPy BDF, the kernel's form, plain Python": scipy_bdf,
    "CVODE, compiled equations called through Python": cvode,
}
TARGETS = {"SciPy": "at most 1/300", "CVODE,": "at most 1/8"}


def single_runs() -> Iterator[BenchRow]:
    """Compare one run of the benchmark plant, each at its loosest tolerance that keeps 1e-4."""
    tolerance = {}
    for name, solver in SOLVERS.items():
        tolerance[name], off = loosest(solver)
        yield BenchRow(f"{name}, rtol {tolerance[name]:g}: largest error", off, "1", target="1e-4")
    actions = {name: partial(solver, tolerance[name]) for name, solver in SOLVERS.items()}
    spent = {name: 1e3 * least for name, least in in_turns(actions, repeats=25).items()}
    ours = min(1e3 * seconds(actions["kernel"], repeats=400), spent["kernel"])
    many = spent["kernel, a run of a hundred in one call"] / 100.0
    for name in list(SOLVERS)[2:]:
        theirs, target = spent[name], TARGETS[name.split()[0]]
        whole = f"200 d, one call from Python, against {name}"
        yield BenchRow(whole, ours, "ms", theirs, ours / theirs, target)
        inside = f"200 d, a run of a hundred in one call, against {name}"
        yield BenchRow(inside, many, "ms", theirs, many / theirs, target)


def fed_batch() -> dict[str, Any]:
    """Sixty days of a bench digester, drawn off and fed every day."""
    goat = find("goat manure")
    charge = inoculum("digested cattle manure", 0.004) + water(0.002)
    portion = liquid_from_feedstock(goat, 0.01)
    events = [
        event
        for day in range(1, 60)
        for event in (DrawOff(float(day), portion.volume_m3), Feed(float(day), portion))
    ]
    return {
        "digester": Digester(0.012, Holder("floating", capacity_m3=0.5, gauge_kpa=0.2), 37.0),
        "charge": charge + liquid_from_feedstock(goat, 0.3),
        "days": np.arange(61.0),
        "events": events,
    }


def fed_rows() -> Iterator[BenchRow]:
    """Time the fed batch: one run, lanes, an ensemble on one and two cores, derivatives."""
    case = fed_batch()
    watch = ("pH", "out_methane", "gas_methane", "acetate")
    ready = prepare(**case, watch=watch, rtol=1e-4)
    exact = simulate(**case, rtol=1e-10)
    rough = simulate(**case, rtol=1e-4)
    off = np.max(np.abs(rough.methane_m3[1:] / exact.methane_m3[1:] - 1.0))
    yield BenchRow("60 d fed daily: largest error of methane", float(off), "1", target="below 1e-4")

    def once(members: int, form: int) -> None:
        settings = np.tile(ready.settings, (members, 1))
        run(ready.program, settings, ready.start[None], ready.vectors, form=form)

    alone = seconds(lambda: once(1, SCALAR), repeats=40) * 1e3
    yield BenchRow("60 d fed daily, one run", alone, "ms", target="under 6 ms")
    lanes = seconds(lambda: once(32, LANES), repeats=10) * 1e3 / 32
    yield BenchRow(
        "60 d fed daily, a run in an ensemble's lanes",
        lanes,
        "ms",
        alone,
        lanes / alone,
        "under 2.5 ms a run and core",
    )
    draws = SMALL_DIGESTER.draw(np.random.default_rng(1), MEMBERS)

    def all_members(threads: int) -> None:
        ensemble(**case, draws=draws, watch=watch, threads=threads)

    per_run = seconds(lambda: all_members(1), repeats=3) / MEMBERS * 1e3
    yield BenchRow("1,000 members, processor time a run", per_run, "ms", target="under 2.5 ms")
    shared = seconds(lambda: all_members(2), repeats=3) / MEMBERS * 1e3
    yield BenchRow(
        "1,000 members on two threads, processor time a run",
        shared,
        "ms",
        per_run,
        shared / per_run,
        "at most 1.11: nothing lost to waiting or locks",
    )
    one = seconds(lambda: all_members(1), repeats=3, clock=perf_counter)
    two = seconds(lambda: all_members(2), repeats=3, clock=perf_counter)
    yield BenchRow(
        "1,000 members, elapsed time on two threads against one",
        two,
        "s",
        one,
        two / one,
        "at most 0.556 on two free cores: efficiency 0.9",
    )
    names = tuple(draws)[:10]
    derived = seconds(lambda: sensitivities(**case, wanted=names, watch=watch), repeats=3)
    yield BenchRow("60 d fed daily, derivatives by 10 parameters", derived * 1e3, "ms")


def import_row() -> BenchRow:
    """Time a fresh interpreter importing the model, less one that imports nothing."""

    def children() -> float:
        spent = times()
        return spent.children_user + spent.children_system

    def fresh(code: str) -> float:
        command = [sys.executable, "-c", code]
        return seconds(lambda: subprocess.run(command, check=True), repeats=5, clock=children)

    bare = fresh("pass")
    whole = fresh("import marshlight.process.model")
    return BenchRow("import of the process model", whole - bare, "s", target="under 0.4 s")


def rows() -> Iterator[BenchRow]:
    """Yield every row."""
    yield from single_runs()
    yield from fed_rows()
    yield import_row()
