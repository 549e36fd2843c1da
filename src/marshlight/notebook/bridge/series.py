"""Readings as arrays, and events as plain facts."""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Series:
    """Readings of one kind in order of time: days since the start, values in base units."""

    day: FloatArray
    value: FloatArray

    @property
    def last(self) -> tuple[float, float] | None:
        """Day and value of the newest reading."""
        if not self.day.size:
            return None
        return float(self.day[-1]), float(self.value[-1])


@dataclass(frozen=True)
class LoggedEvent:
    """Something done to the run."""

    id: uuid.UUID
    day: float
    at: datetime
    kind: str
    value: float | None
    detail: Mapping[str, Any]
    note: str


@dataclass(frozen=True)
class DetailedReading:
    """A reading that says more than one number: flame, titration, analyser, lab ..."""

    day: float
    kind: str
    value: float | None
    detail: Mapping[str, Any]
