"""Outside checks as data: one row holds the published value, its source and our own answer."""

import importlib
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
STATUSES = (
    "published",
    "computed with reference library",
    "common practice, no source",
    "from memory",
)


@dataclass(frozen=True)
class Check:
    """One comparison with the outside.

    ``published`` and ``ours`` are in the source's printed unit; ``tolerance`` is absolute unless
    ``relative``. ``ours`` is computed when asked, so that listing the rows costs nothing.
    """

    subject: str
    source: str
    published: float
    ours: Callable[[], float] | float
    tolerance: float
    relative: bool = False
    status: str = "published"

    def __post_init__(self) -> None:
        """Refuse a row that could not be told apart from an invention."""
        if self.status not in STATUSES:
            raise ValueError(f"{self.subject}: status {self.status!r} is not one of {STATUSES}")
        if not self.source.strip():
            raise ValueError(f"{self.subject}: a check names its source")

    def outcome(self) -> tuple[float, bool]:
        """Compute our value and whether it lies within the tolerance."""
        ours = float(self.ours() if callable(self.ours) else self.ours)
        allowed = self.tolerance * abs(self.published) if self.relative else self.tolerance
        passed = math.isfinite(ours) and abs(ours - self.published) <= allowed * (1 + 1e-12)
        return ours, bool(passed)


def all_checks() -> Iterator[tuple[str, Check]]:
    """Yield every row of every ``check_*.py`` beside this file, with its file's stem."""
    for path in sorted(HERE.glob("check_*.py")):
        module = importlib.import_module(f"published.{path.stem}")
        for check in module.CHECKS:
            yield path.stem.removeprefix("check_"), check
