"""The compiled process model, opened once and called with plain arrays.

Only this module knows the library's layout in memory. It checks every size before a call, since
the library itself trusts what it is given.
"""

import ctypes
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.util import find_spec
from typing import Any

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import FitError, MarshlightError

Reals = NDArray[np.float64]
Integers = NDArray[np.int32]

MODELS = ("benchmark", "small")
SCALAR, TANGENT, LANES = 0, 1, 2
LIQUID, GAS = 1, 2

FAILURES = {
    1: "the step became too small to go on",
    2: "it took more steps than allowed",
    3: "a number was no longer finite",
    4: "no acid-base equilibrium was found",
    5: "more liquid was drawn off than the vessel held",
    6: "more gas was taken than the gas space held",
}


class KernelMissing(MarshlightError):
    """The compiled process model is not part of this installation."""


class _Program(ctypes.Structure):
    _fields_ = (
        ("start", ctypes.c_double),
        ("n_segments", ctypes.c_long),
        ("segment_end", ctypes.c_void_p),
        ("n_overrides", ctypes.c_long),
        ("override_setting", ctypes.c_void_p),
        ("override_value", ctypes.c_void_p),
        ("n_operations", ctypes.c_long),
        ("op_segment", ctypes.c_void_p),
        ("op_kind", ctypes.c_void_p),
        ("op_amount", ctypes.c_void_p),
        ("op_vector", ctypes.c_void_p),
        ("n_out", ctypes.c_long),
        ("t_out", ctypes.c_void_p),
        ("n_watched", ctypes.c_long),
        ("watched", ctypes.c_void_p),
        ("rtol", ctypes.c_double),
        ("first_step", ctypes.c_double),
        ("max_step", ctypes.c_double),
        ("max_steps", ctypes.c_long),
    )


class _Request(ctypes.Structure):
    _fields_ = (
        ("program", _Program),
        ("settings", ctypes.c_void_p),
        ("states", ctypes.c_void_p),
        ("vectors", ctypes.c_void_p),
        ("settings_stride", ctypes.c_long),
        ("states_stride", ctypes.c_long),
        ("vectors_stride", ctypes.c_long),
        ("out", ctypes.c_void_p),
        ("end", ctypes.c_void_p),
        ("counts", ctypes.c_void_p),
        ("model", ctypes.c_long),
        ("form", ctypes.c_long),
        ("n_members", ctypes.c_long),
        ("status", ctypes.c_void_p),
    )


@cache
def library() -> ctypes.CDLL:
    """Open the compiled library.

    Raises
    ------
    KernelMissing
        When this installation was built without a C compiler.
    """
    found = find_spec("marshlight.process.model._kernel")
    if found is None or found.origin is None:
        raise KernelMissing(
            "The process model was not compiled when marshlight was installed. Install a wheel, "
            "or install a C compiler (gcc) and install marshlight again."
        )
    opened = ctypes.CDLL(found.origin)
    opened.marshlight_name.restype = ctypes.c_char_p
    opened.marshlight_contents.restype = None
    opened.marshlight_run.restype = None
    opened.marshlight_begin.restype = None
    opened.marshlight_room.restype = ctypes.c_long
    return opened


@dataclass(frozen=True)
class Layout:
    """Names and places of a model's states, settings, observables and conserved elements."""

    model: int
    states: tuple[str, ...]
    settings: tuple[str, ...]
    observables: tuple[str, ...]
    elements: tuple[str, ...]
    kinds: tuple[int, ...]
    state_at: Mapping[str, int]
    setting_at: Mapping[str, int]
    watched_at: Mapping[str, int]

    @property
    def liquid(self) -> tuple[str, ...]:
        """Name the states that are dissolved or suspended in the liquid."""
        return tuple(s for s, kind in zip(self.states, self.kinds, strict=True) if kind == LIQUID)

    @property
    def gases(self) -> tuple[str, ...]:
        """Name the gases of the gas space."""
        return tuple(
            s.removeprefix("gas_")
            for s, kind in zip(self.states, self.kinds, strict=True)
            if kind == GAS
        )


@cache
def layout(model: str) -> Layout:
    """Ask the library what a model keeps track of."""
    number = MODELS.index(model)
    states, settings, observables, elements = (_names(number, which) for which in range(4))
    return Layout(
        number,
        states,
        settings,
        observables,
        elements,
        tuple(library().marshlight_state_kind(number, i) for i in range(len(states))),
        {name: i for i, name in enumerate(states)},
        {name: i for i, name in enumerate(settings)},
        {name: i for i, name in enumerate(states + observables)},
    )


def _names(model: int, which: int) -> tuple[str, ...]:
    found: list[str] = []
    while (raw := library().marshlight_name(model, which, len(found))) is not None:
        found.append(raw.decode())
    return tuple(found)


@cache
def uses_lanes() -> bool:
    """Tell whether this processor runs four members of an ensemble side by side."""
    return bool(library().marshlight_has_fast())


def contents(model: str, settings: Reals) -> Reals:
    """Tabulate what one unit of each state holds, shape (element, state)."""
    place = layout(model)
    held = np.zeros((len(place.elements), len(place.states)))
    given = np.ascontiguousarray(settings, dtype=np.float64)
    if given.shape != (len(place.settings),):
        raise ValueError(f"settings of shape {given.shape}, expected ({len(place.settings)},)")
    library().marshlight_contents(
        place.model, given.ctypes.data_as(ctypes.c_void_p), held.ctypes.data_as(ctypes.c_void_p)
    )
    return held


@dataclass(frozen=True)
class Program:
    """What happens in a run: fixed settings by segment, operations, what to report when.

    ``override_value`` has shape (segment, override); operations are in order of their segment.
    """

    model: str
    start: float
    segment_end: Reals
    override_setting: Integers
    override_value: Reals
    op_segment: Integers
    op_kind: Integers
    op_amount: Reals
    op_vector: Integers
    t_out: Reals
    watched: Integers
    rtol: float = 1e-4
    first_step: float = 1e-4
    max_step: float = 1e6
    max_steps: int = 200_000

    @cached_property
    def _in_c(self) -> _Program:
        """Lay the program out for the library, checked, once for all its calls."""
        _check_program(self, layout(self.model))
        return _as_c(self)

    def __getstate__(self) -> dict[str, Any]:
        """Travel without the layout in memory: addresses mean nothing elsewhere."""
        return {name: value for name, value in self.__dict__.items() if name != "_in_c"}


@dataclass(frozen=True)
class Outcome:
    """What came of the members of a call: ``out`` has shape (member, time, watched)."""

    out: NDArray[Any]
    end: NDArray[Any]
    counts: NDArray[np.int64]
    status: Integers

    def require_success(self, segment_start: Reals | None = None) -> None:
        """Fail clearly if any member did.

        Raises
        ------
        FitError
            Naming the member, the reason and the day on which its last segment began.
        """
        bad = np.flatnonzero(self.status)
        if not bad.size:
            return
        member = int(bad[0])
        reason = FAILURES.get(int(self.status[member]), "an unknown reason")
        when = ""
        if segment_start is not None:
            at = min(int(self.counts[member, 2]), len(segment_start) - 1)
            when = f" after day {segment_start[at]:g}"
        who = f"Run {member + 1} of {len(self.status)} of the process model"
        raise FitError(
            f"{who} stopped{when}: {reason}. Check the amounts, volumes and events given, or "
            "ask for a looser tolerance."
        )


def run(
    program: Program,
    settings: NDArray[Any],
    states: NDArray[Any],
    vectors: NDArray[Any],
    *,
    form: int,
) -> Outcome:
    """Integrate every member; the interpreter is free for other threads meanwhile.

    ``settings`` and ``states`` have shape (member or 1, ...), ``vectors`` (member or 1, vector,
    state); with ``form`` TANGENT all three are complex.
    """
    place = layout(program.model)
    kind = np.complex128 if form == TANGENT else np.float64
    arrays = [np.ascontiguousarray(a, dtype=kind) for a in (settings, states, vectors)]
    members = max(len(a) for a in arrays)
    program_in_c = program._in_c
    _check_members(program, place, arrays, members)
    shape = (members, len(program.t_out), len(program.watched))
    out = np.zeros(shape, dtype=kind)
    end = np.zeros((members, len(place.states)), dtype=kind)
    counts = np.zeros((members, 3), dtype=np.int64)
    status = np.zeros(members, dtype=np.int32)
    strides = [int(np.prod(a.shape[1:])) if len(a) > 1 else 0 for a in arrays]
    request = _Request(
        program_in_c,
        *(_pointer(a) for a in arrays),
        *strides,
        _pointer(out),
        _pointer(end),
        _pointer(counts),
        place.model,
        form,
        members,
        _pointer(status),
    )
    library().marshlight_run(ctypes.byref(request))
    return Outcome(out, end, counts, status)


def _pointer(array: NDArray[Any]) -> int:
    # The quicker way of the two; it wants memory that may be written.
    memory: Any = array
    if array.size and array.flags.writeable:
        return ctypes.addressof(ctypes.c_char.from_buffer(memory))
    return array.ctypes.data


def _as_c(p: Program) -> _Program:
    return _Program(
        p.start,
        len(p.segment_end),
        _pointer(p.segment_end),
        len(p.override_setting),
        _pointer(p.override_setting),
        _pointer(p.override_value),
        len(p.op_segment),
        _pointer(p.op_segment),
        _pointer(p.op_kind),
        _pointer(p.op_amount),
        _pointer(p.op_vector),
        len(p.t_out),
        _pointer(p.t_out),
        len(p.watched),
        _pointer(p.watched),
        p.rtol,
        p.first_step,
        p.max_step,
        p.max_steps,
    )


def _check_program(program: Program, place: Layout) -> None:
    """Refuse a program that would make the library read beyond an array."""
    n_segments, n_ops = len(program.segment_end), len(program.op_segment)
    fine = n_segments > 0
    fine = fine and program.override_value.shape == (n_segments, len(program.override_setting))
    fine = (
        fine and len(program.op_kind) == len(program.op_amount) == len(program.op_vector) == n_ops
    )
    limits: tuple[tuple[Integers, int], ...] = (
        (program.override_setting, len(place.settings)),
        (program.op_segment, n_segments),
        (program.watched, len(place.states) + len(place.observables)),
    )
    fine = fine and all(bool(((a >= 0) & (a < limit)).all()) for a, limit in limits)
    whole: list[NDArray[Any]] = [program.op_kind, program.op_vector, *(a for a, _ in limits)]
    real = (program.segment_end, program.override_value, program.op_amount, program.t_out)
    fine = fine and all(a.dtype == np.int32 and a.flags.c_contiguous for a in whole)
    fine = fine and all(a.dtype == np.float64 and a.flags.c_contiguous for a in real)
    _refuse_unless(fine)


def _check_members(
    program: Program, place: Layout, arrays: Sequence[NDArray[Any]], members: int
) -> None:
    """Refuse members' arrays of the wrong shape, or a vector that is not there."""
    settings, states, vectors = arrays
    fine = settings.shape[1:] == (len(place.settings),) and states.shape[1:] == (len(place.states),)
    fine = fine and vectors.ndim == 3 and vectors.shape[2] == len(place.states)
    fine = fine and all(len(a) in (1, members) for a in arrays)
    if fine and len(program.op_vector):
        fine = 0 <= int(program.op_vector.min()) <= int(program.op_vector.max())
        fine = fine and int(program.op_vector.max()) < max(vectors.shape[1], 1)
        fine = fine and (vectors.shape[1] > 0 or not bool((program.op_kind == 0).any()))
    _refuse_unless(fine)


def _refuse_unless(fine: bool) -> None:
    if not fine:
        raise ValueError("the parts of a run do not fit together")
