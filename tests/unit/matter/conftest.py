"""Feedstocks made for tests: numbers chosen for easy sums, not taken from anywhere."""

from collections.abc import Callable

import pytest

from marshlight.matter import Feedstock, Property

Make = Callable[..., Feedstock]


@pytest.fixture
def make() -> Make:
    """Build a feedstock from numbers, or (value, low, high)."""

    def build(key: str, **numbers: float | tuple[float, float, float]) -> Feedstock:
        def held(given: float | tuple[float, float, float]) -> Property:
            value, low, high = given if isinstance(given, tuple) else (given, given, given)
            return Property(value, low, high, "blended")

        return Feedstock(key, key, "own", {name: held(x) for name, x in numbers.items()})

    return build
