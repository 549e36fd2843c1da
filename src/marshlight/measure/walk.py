"""The walk along a log: where the sum runs on, where it starts anew, where gas went unseen."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus import Counter, Holder, MassLoss
from marshlight.measure.contents import Contents
from marshlight.measure.readings import HolderEvent
from marshlight.measure.rows import Rows
from marshlight.measure.surroundings import BoolArray

# Reading and event count as one visit if no more than half an hour apart.
VISIT_D = 0.02

_BREAKS = ("started", "emptied", "used", "reset", "vented", "seal_opened")
_BREAKS_SUM = ("started", "reset", "seal_opened")


@dataclass(frozen=True)
class LedgerNote:
    """Something about the log that its reader must know.

    Parameters
    ----------
    day : float
        When [d].
    text : str
        What, in a plain sentence.
    kind : str
        One of "unseen", "fell", "full", "leak", "contradiction", "rolled_over",
        "filled_in", "before_start", "no_start", "seal_opened", "overfull".
    """

    day: float
    text: str
    kind: str


@dataclass(frozen=True)
class Walk:
    """How n rows hang together.

    ``segment`` numbers the stretches over which contents may be subtracted; ``start``
    and ``end`` give each stretch's first and last row; ``unseen`` marks rows before
    which gas may have gone unseen; ``opened`` the rows before which the gas space
    stood open.
    """

    segment: NDArray[np.int64]
    start: NDArray[np.int64]
    end: NDArray[np.int64]
    unseen: BoolArray
    opened: BoolArray
    notes: tuple[LedgerNote, ...]


@dataclass
class _Walker:
    holder: Holder
    rows: Rows
    unseen: BoolArray
    opened: BoolArray
    start: list[int] = field(default_factory=list)
    end: list[int] = field(default_factory=list)
    notes: list[LedgerNote] = field(default_factory=list)
    last: int = -1
    open: bool = False
    leaking: bool = False

    def begin(self, row: int) -> None:
        self.start.append(row)
        self.open = True

    def finish(self) -> None:
        if self.open:
            self.end.append(self.last)
        self.open = False

    def note(self, day: float, text: str, kind: str) -> None:
        self.notes.append(LedgerNote(float(day), text, kind))

    def mark(self, row: int, day: float, text: str, kind: str) -> None:
        """Mark the row after an event; an event after the last row has only its note."""
        if row < self.unseen.size:
            self.unseen[row] = True
        self.note(day, text, kind)


def fall_that_is_no_noise(count: int) -> float:
    """Return how far apart two of some noisy readings must lie to be no noise.

    Parameters
    ----------
    count : int
        Readings among which the two are the extremes, 2 or more.

    Returns
    -------
    float
        Difference over its standard uncertainty, passed by chance once in a hundred [-].

    Notes
    -----
    ``sqrt(4.0 + 3.85 ln n)`` follows the 1 % point of the range of n normal readings,
    divided by the square root of two, within 2.5 % for 2 to 1000 readings.

    References
    ----------
    studentized_range.

    Examples
    --------
    >>> round(fall_that_is_no_noise(10), 2)
    3.59
    """
    return math.sqrt(4.0 + 3.85 * math.log(count))


def walk(holder: Holder, rows: Rows, contents: Contents) -> Walk:
    """Walk along the rows and decide what may be subtracted from what.

    Parameters
    ----------
    holder : Holder
        The apparatus.
    rows : Rows
        Columns in order of time.
    contents : Contents
        Gas accounted for at each row.

    Returns
    -------
    Walk
        Stretches, marks and notes.

    Notes
    -----
    A fall with no event is noise while it stays below ``fall_that_is_no_noise`` of its
    standard uncertainty, counted from the highest content of the stretch. Noise stays
    in the sum with its sign. A larger fall starts a new stretch, and what lay between
    is unseen. Counts (a meter's) may not fall and are not tested.
    """
    size = rows.day.size
    walker = _Walker(holder, rows, contents.unseen.copy(), np.zeros(size, dtype=np.bool_))
    events_at: dict[int, list[tuple[int, HolderEvent]]] = {}
    for index, (event, row) in enumerate(zip(rows.events, rows.event_at, strict=True)):
        events_at.setdefault(row, []).append((index, event))
    known = set(rows.state_of.tolist())
    segment = np.zeros(size, dtype=np.int64)
    amount, variance = contents.amount_m3.tolist(), contents.variance.tolist()
    days, states = rows.day.tolist(), (rows.state_of >= 0).tolist()
    tested = not isinstance(holder, Counter)
    top, top_variance, count = -math.inf, 0.0, 0
    for row in range(size):
        for index, event in events_at.get(row, ()):
            _apply(walker, event, row, index in known)
        if row in contents.why:
            kind, text = contents.why[row]
            walker.note(days[row], text, kind)
        if walker.leaking:
            walker.unseen[row] = True
        if states[row] and walker.open:
            walker.finish()
        elif tested and walker.open and amount[row] < top:
            doubt = fall_that_is_no_noise(count + 1)
            if amount[row] < top - doubt * math.sqrt(variance[row] + top_variance):
                walker.finish()
                text = "The holder fell without an event: gas lost or used, unseen."
                walker.mark(row, days[row], text, "fell")
        if not walker.open:
            walker.begin(row)
            top, count = -math.inf, 0
        if amount[row] > top:
            top, top_variance = amount[row], variance[row]
        count += 1
        segment[row] = len(walker.start) - 1
        walker.last = row
    for _, event in events_at.get(size, ()):
        _apply(walker, event, size, True)
    walker.finish()
    return Walk(
        segment,
        np.array(walker.start, dtype=np.int64),
        np.array(walker.end, dtype=np.int64),
        walker.unseen,
        walker.opened,
        tuple(walker.notes),
    )


def _apply(walker: _Walker, event: HolderEvent, row: int, after_known: bool) -> None:
    adds_up = isinstance(walker.holder, (Counter, MassLoss))
    breaks = event.kind in (_BREAKS_SUM if adds_up else _BREAKS)
    if isinstance(walker.holder, MassLoss) and event.kind == "slurry_changed":
        breaks = True
    if event.kind == "seal_opened" and row < walker.opened.size:
        walker.opened[row] = True
    if breaks and event.metered_m3 is None:
        _break(walker, event, row, after_known)
    elif event.kind == "overflowed":
        text = "The holder overflowed: gas escaped unmeasured."
        if walker.last >= 0 and walker.rows.day[walker.last] >= event.day - 1e-9:
            row = walker.last
        walker.mark(row, event.day, text, "full")
    elif event.kind == "leak_noted":
        walker.leaking = True
        walker.mark(row, event.day, "A leak was noted: gas escapes unmeasured.", "leak")
    elif event.kind == "leak_mended":
        if walker.leaking:
            walker.mark(row, event.day, "The leak was closed.", "leak")
        walker.leaking = False


def _break(walker: _Walker, event: HolderEvent, row: int, after_known: bool) -> None:
    had_one = walker.last >= 0
    gap = event.day - walker.rows.day[walker.last] if had_one else 0.0
    walker.finish()
    if event.kind == "started":
        return
    word = event.kind.replace("_", " ")
    if had_one and gap > VISIT_D:
        text = (
            f"Last read {24.0 * gap:.1f} h before it was {word}: gas made in between is unseen;"
            " read the holder just before next time."
        )
        walker.mark(row, event.day, text, "unseen")
    if event.kind == "seal_opened":
        text = "The gas space was opened: gas left in it is unseen, and air came in."
        walker.mark(row, event.day, text, "seal_opened")
    elif not after_known:
        text = f"The level after it was {word} is unknown: counted on from the next reading."
        walker.mark(row, event.day, text, "unseen")
