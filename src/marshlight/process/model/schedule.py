"""Turn settings that change and things that happen into the segments a run is made of."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from marshlight.process.model.kernel import Program, Reals, layout

ADD, TAKE_LIQUID, TAKE_GAS, VENT, OPEN = range(5)


@dataclass
class Schedule:
    """Collects what happens on which day, then cuts the run there."""

    model: str
    start: float
    end: float
    changes: list[tuple[float, str, float]] = field(default_factory=list)
    operations: list[tuple[float, int, float, int]] = field(default_factory=list)
    vectors: list[Reals] = field(default_factory=list)

    def set(self, day: float, setting: str, value: float) -> None:
        """Change a setting from a day on."""
        self.changes.append((day, setting, value))

    def do(self, day: float, kind: int, amount: float, vector: Reals | None = None) -> None:
        """Do something at a day; things of one day happen in the order they were given."""
        place = 0
        if vector is not None:
            place = len(self.vectors)
            self.vectors.append(vector)
        self.operations.append((day, kind, amount, place))

    @property
    def liquid(self) -> tuple[str, ...]:
        """Name the liquid's components."""
        return layout(self.model).liquid

    def state_at(self, name: str) -> int:
        """Find a state's place."""
        return layout(self.model).state_at[name]

    def days(self) -> list[float]:
        """List the starts of the segments."""
        inside = {change[0] for change in self.changes} | {op[0] for op in self.operations}
        return sorted({self.start, *(d for d in inside if self.start <= d <= self.end)})

    def vector_array(self) -> Reals:
        """Stack what is added, shape (1, vector, state)."""
        states = len(layout(self.model).states)
        return np.array(self.vectors).reshape(1, -1, states)

    def program(
        self,
        base: Reals,
        t_out: Sequence[float] | Reals,
        watched: Iterable[str],
        *,
        rtol: float,
        max_step: float = 1e6,
    ) -> Program:
        """Write the program; ``base`` holds the settings as they are before the first change."""
        place = layout(self.model)
        starts = self.days()
        segment = {day: i for i, day in enumerate(starts)}
        names = sorted({name for _, name, _ in self.changes})
        values = np.empty((len(starts), len(names)))
        columns = {name: i for i, name in enumerate(names)}
        current = np.array([base[place.setting_at[n]] for n in names], dtype=np.float64)
        pending = sorted(self.changes, key=lambda c: c[0])
        for row, day in enumerate(starts):
            while pending and pending[0][0] <= day:
                _, name, value = pending.pop(0)
                current[columns[name]] = value
            values[row] = current
        done = sorted(self.operations, key=lambda o: o[0])
        return Program(
            model=self.model,
            start=self.start,
            segment_end=np.array([*starts[1:], self.end]),
            override_setting=np.array([place.setting_at[n] for n in names], dtype=np.int32),
            override_value=values,
            op_segment=np.array([segment[d] for d, *_ in done], dtype=np.int32),
            op_kind=np.array([k for _, k, *_ in done], dtype=np.int32),
            op_amount=np.array([a for *_, a, _ in done], dtype=np.float64),
            op_vector=np.array([v for *_, v in done], dtype=np.int32),
            t_out=np.asarray(t_out, dtype=np.float64),
            watched=np.array([place.watched_at[n] for n in watched], dtype=np.int32),
            rtol=rtol,
            max_step=max_step,
        )
