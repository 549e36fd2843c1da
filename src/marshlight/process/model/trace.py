"""What a run reports: named curves over its days."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.errors import InputError
from marshlight.process.model.kernel import Reals


@dataclass(frozen=True)
class Trace:
    """Named arrays over ``day``; ``steps`` and ``rejected`` tell what the run cost."""

    day: Reals
    values: Mapping[str, Reals]
    steps: int
    rejected: int

    def __getitem__(self, name: str) -> Reals:
        """Give one curve.

        Raises
        ------
        InputError
            When it was not watched.
        """
        try:
            return self.values[name]
        except KeyError:
            raise InputError(
                "curve", name, ", ".join(self.values), "Name one of these, or watch it"
            ) from None
