"""Many digesters at once: parameter draws on every core, with progress, cancel and summaries."""

from collections import deque
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import FitError, MarshlightError, require
from marshlight.process.model.digester import Digester
from marshlight.process.model.events import Event
from marshlight.process.model.kernel import LANES, Outcome, Program, Reals, layout, run
from marshlight.process.model.liquid import MODEL, Liquid
from marshlight.process.model.parameters import SMALL_DIGESTER, ParameterSet
from marshlight.process.model.result import DigesterRun
from marshlight.process.model.simulate import Prepared, prepare

# Members are handed out in chunks of this size whatever the number of threads, so that the same
# members run side by side and the results do not depend on the machine's cores.
CHUNK = 32
# What goes elsewhere goes in parcels of whole chunks, about this many steps of single members each:
# 0.2 to 0.4 s of work at the 1.5 us a step that was measured, so that the way costs little.
STEPS_A_PARCEL = 200_000
# Parcels under way elsewhere: enough for a few dozen workers, and little to hold here.
PARCELS_AHEAD = 128
# More failures than this and the ensemble says nothing about the digester.
TOLERATED_FAILURES = 0.05

Summary = Callable[[Reals], Reals]


class EnsembleCancelled(MarshlightError):
    """The ensemble was cancelled before every member had run."""


@dataclass(frozen=True)
class Ensemble:
    """What the members gave.

    ``values`` has shape (member, time, name), or what the summary made of it, member first.
    ``members`` are the numbers of those that ran through; ``failed`` of those that did not;
    ``start`` is the state right after the charge, live cells as the charge says.
    """

    day: Reals
    names: tuple[str, ...]
    values: Reals
    members: tuple[int, ...]
    failed: tuple[int, ...]
    start: Reals

    def curve(self, name: str) -> Reals:
        """Give one curve of all members, shape (member, time)."""
        return np.asarray(self.values[:, :, self.names.index(name)], dtype=np.float64)

    def runs(self) -> DigesterRun:
        """Give the members as one run whose curves have shape (member, time).

        Whatever is reckoned from curves that were watched is then at hand: shares, volumes, acids.
        """
        values = {name: self.curve(name) for name in self.names}
        return DigesterRun(self.day, values, 0, 0, np.zeros(0), self.start, np.zeros(0))

    def quantiles(self, name: str, levels: Sequence[float]) -> Reals:
        """Give quantiles of a curve over the members, shape (level, time)."""
        return np.asarray(np.quantile(self.curve(name), levels, axis=0), dtype=np.float64)


def ensemble(
    digester: Digester,
    charge: Liquid,
    *,
    days: Sequence[float] | Reals,
    draws: Mapping[str, Reals],
    watch: Sequence[str],
    events: Sequence[Event] = (),
    parameters: ParameterSet = SMALL_DIGESTER,
    cells: Reals | None = None,
    summary: Summary | None = None,
    rtol: float = 1e-4,
    threads: int = 2,
    executor: Executor | None = None,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Ensemble:
    """Run one digester's life with many parameter draws.

    Parameters
    ----------
    digester, charge, days, events, parameters
        As for ``simulate``.
    draws : mapping of arrays
        A value for each member, by parameter; ``ParameterSet.draw`` makes them. All of one length.
    watch : sequence of str
        Curves to keep, by name of a state or observable.
    cells : array, optional
        For each member, how lively the charge's cells are relative to what the charge says, more
        than 0.
    summary : callable, optional
        Turns the curves of some members (member, time, name) into what is kept of them, member
        first; memory then does not grow with the curves.
    rtol : float
        Relative tolerance, 1e-12 to 1e-2; 1e-4 keeps every curve that matters to about 1e-3.
    threads : int
        Threads on this machine, 1 or more.
    executor : concurrent.futures.Executor, optional
        Where to run instead, for example that of a cluster's client; work goes there in parcels
        of some tenths of a second. Results are the same.
    progress : callable, optional
        Called with members done and members in all.
    cancelled : callable, optional
        Asked now and then; true stops.

    Returns
    -------
    Ensemble
        Curves or summaries of the members that ran through.

    Raises
    ------
    InputError
        When the draws do not fit the model or each other.
    EnsembleCancelled
        When it was cancelled.
    FitError
        When more than a twentieth of the members failed.
    """
    ready = prepare(
        digester,
        charge,
        days=days,
        events=events,
        parameters=parameters,
        watch=watch,
        rtol=rtol,
    )
    members = _count(draws, cells)
    parts: list[tuple[Reals, NDArray[np.bool_]]] = []
    pieces = [slice(i, min(i + CHUNK, members)) for i in range(0, members, CHUNK)]
    done = 0
    # Settings cost a kilobyte a member: spread over a chunk's only when its turn comes.
    jobs = (_job(ready, digester, draws=draws, cells=cells, piece=p) for p in pieces)
    with (
        _place_to_run(executor, threads) as place,
        closing(_in_order(place, jobs, threads if executor is None else None)) as outcomes,
    ):
        for outcome in outcomes:
            if cancelled is not None and cancelled():
                raise EnsembleCancelled(f"Cancelled after {done} of {members} members.")
            fine = outcome.status == 0
            kept = outcome.out[fine]
            parts.append((kept if summary is None else summary(kept), fine))
            done += len(outcome.status)
            if progress is not None:
                progress(done, members)
    return _joined(ready, parts)


def _count(draws: Mapping[str, Reals], cells: Reals | None) -> int:
    """Check that draws fit the model and each other, and count the members."""
    place = layout(MODEL).setting_at
    for name, values in draws.items():
        require(
            name in place and bool(np.isfinite(values).all()),
            field="draws",
            value=name,
            allowed="finite values of a parameter of the model",
            remedy="Look at the parameter set",
        )
    require(
        cells is None or bool((np.asarray(cells) > 0.0).all()),
        field="cells",
        value=cells,
        allowed="numbers above 0",
        remedy="Give one for each member",
    )
    lengths = {len(values) for values in draws.values()}
    if cells is not None:
        lengths.add(len(cells))
    require(
        len(lengths) == 1,
        field="draws",
        value=sorted(lengths),
        allowed="as many values of every parameter, one at least",
        remedy="Draw all parameters for the same members",
    )
    return lengths.pop()


Job = tuple[Program, Reals, Reals, Reals]


def _job(
    ready: Prepared,
    digester: Digester,
    *,
    draws: Mapping[str, Reals],
    cells: Reals | None,
    piece: slice,
) -> Job:
    """Put the draws of some members into settings and states."""
    place = layout(MODEL)
    members = piece.stop - piece.start
    settings = np.tile(ready.settings, (members, 1))
    # These two are the digester's as much as the set's: the draw carries on the product.
    scale = {"kLa": digester.gas_release, "access": digester.access}
    for name, values in draws.items():
        drawn = np.asarray(values[piece], dtype=np.float64)
        settings[:, place.setting_at[name]] = drawn * scale.get(name, 1.0)
    states = ready.start[None]
    if cells is not None:
        live = [place.state_at[name] for name in place.liquid if name.startswith("x_")]
        states = np.tile(ready.start, (members, 1))
        states[:, live] *= np.asarray(cells[piece], dtype=np.float64)[:, None]
    return ready.program, settings, states, ready.vectors


def _run_chunk(program: Program, settings: Reals, states: Reals, vectors: Reals) -> Outcome:
    """Run one chunk; at the module's top so that it can travel to another process."""
    return run(program, settings, states, vectors, form=LANES)


@contextmanager
def _place_to_run(executor: Executor | None, threads: int) -> Iterator[Executor]:
    if executor is not None:
        yield executor
        return
    pool = ThreadPoolExecutor(max_workers=max(1, threads))
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _run_parcel(jobs: list[Job]) -> list[Outcome]:
    """Run some chunks one after another; at the module's top for the same reason."""
    return [_run_chunk(*job) for job in jobs]


def _in_order(
    place: Executor, jobs: Iterator[Job], threads: int | None
) -> Generator[Outcome, None, None]:
    """Keep some work under way and yield the outcomes in order; cancel what is left when closed.

    On threads of this machine a chunk goes out at a time. Elsewhere (None) the first chunk's steps
    tell how many make a parcel.
    """
    size, ahead = 1, PARCELS_AHEAD if threads is None else 4 * threads
    waiting: deque[Future[list[Outcome]]] = deque()
    try:
        if threads is None:
            for outcome in place.submit(_run_parcel, list(islice(jobs, 1))).result():
                size = 1 + STEPS_A_PARCEL // (1 + int(outcome.counts[:, :2].sum()))
                yield outcome
        while parcel := list(islice(jobs, size)):
            waiting.append(place.submit(_run_parcel, parcel))
            if len(waiting) >= ahead:
                yield from waiting.popleft().result()
        while waiting:
            yield from waiting.popleft().result()
    finally:
        for future in waiting:
            future.cancel()


def _joined(ready: Prepared, parts: list[tuple[Reals, NDArray[np.bool_]]]) -> Ensemble:
    fine = np.concatenate([f for _, f in parts])
    failed = tuple(int(i) for i in np.flatnonzero(~fine))
    if len(failed) > TOLERATED_FAILURES * len(fine):
        raise FitError(
            f"{len(failed)} of {len(fine)} members of the ensemble could not be run through. "
            "Check the draws and events, or ask for a looser tolerance."
        )
    values = np.concatenate([np.asarray(v, dtype=np.float64) for v, _ in parts])
    members = tuple(int(i) for i in np.flatnonzero(fine))
    return Ensemble(ready.program.t_out, ready.names, values, members, failed, ready.start)
