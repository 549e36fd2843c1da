"""Parameter sets as data: every value with its unit, meaning and source."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType
from typing import Any

import numpy as np

from marshlight.errors import InputError, require
from marshlight.packaged import read_toml
from marshlight.process.model.kernel import Reals, layout


@dataclass(frozen=True)
class Parameter:
    """One value; ``low`` and ``high`` are its 95 % spread, equal to it where it is not drawn."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    meaning: str
    source: str

    @property
    def is_uncertain(self) -> bool:
        """Tell whether a draw may change it."""
        return self.high > self.low


@dataclass(frozen=True)
class ParameterSet:
    """A named, read-only set of parameters of one of the models, ``benchmark`` or ``small``."""

    model: str
    title: str
    parameters: Mapping[str, Parameter]

    def __getitem__(self, name: str) -> float:
        """Give a value."""
        return self._known(name).value

    def _known(self, name: str) -> Parameter:
        try:
            return self.parameters[name]
        except KeyError:
            raise InputError(
                "parameter", name, "a parameter of the set", "Look its name up in the set"
            ) from None

    def with_values(self, **values: float) -> "ParameterSet":
        """Put other values in place, for example those of a calibration.

        Raises
        ------
        InputError
            When a name is unknown or a value is not a finite number.

        Examples
        --------
        >>> from marshlight.process.model import SMALL_DIGESTER
        >>> SMALL_DIGESTER.with_values(k_hyd_fi=0.05)["k_hyd_fi"]
        0.05
        """
        changed = dict(self.parameters)
        for name, value in values.items():
            held = self._known(name)
            require(
                bool(np.isfinite(value)),
                field=name,
                value=value,
                allowed=f"a finite number in {held.unit}",
                remedy="Give a number",
            )
            changed[name] = replace(held, value=float(value), low=float(value), high=float(value))
        return replace(self, parameters=MappingProxyType(changed))

    def draw(self, rng: np.random.Generator, members: int) -> dict[str, Reals]:
        """Draw every uncertain parameter: log-normal, or normal where zero lies in the spread.

        Parameters
        ----------
        rng : numpy.random.Generator
            The state to draw from.
        members : int
            How many draws.

        Returns
        -------
        dict of arrays
            A value for each member, by name, kept within three half-spreads of the best value.

        Notes
        -----
        Parameters are drawn independently: what is known of their dependence is not used.
        """
        found: dict[str, Reals] = {}
        for name, held in self.parameters.items():
            if not held.is_uncertain:
                continue
            found[name] = draw_between(held.value, held.low, held.high, rng=rng, members=members)
        return found

    def settings(self, extra: Mapping[str, float] | None = None) -> Reals:
        """Fill the model's vector of settings; what is neither given nor known is zero."""
        given = dict(extra or {})
        return np.array(
            [
                given.get(name, self.parameters[name].value if name in self.parameters else 0.0)
                for name in layout(self.model).settings
            ]
        )

    @property
    def sources(self) -> tuple[str, ...]:
        """List the keys of the sources used, each once."""
        return tuple(dict.fromkeys(p.source for p in self.parameters.values()))


def draw_between(
    value: float, low: float, high: float, *, rng: np.random.Generator, members: int
) -> Reals:
    """Draw a positive value: log-normal, each side with its own half of the 95 % spread.

    Parameters
    ----------
    value, low, high : float
        Best value and the ends of its spread, all above 0.
    rng : numpy.random.Generator
        The state to draw from.
    members : int
        How many draws.

    Returns
    -------
    array
        Within three half-spreads of the best value.

    Examples
    --------
    >>> drawn = draw_between(2.0, 1.0, 8.0, rng=np.random.default_rng(1), members=1000)
    >>> bool(1.9 < np.median(drawn) < 2.1)
    True
    """
    step = np.clip(rng.standard_normal(members), -3.0, 3.0) / 2.0
    # Two-piece, so that both ends of a lopsided spread keep their probability.
    return np.asarray(value * np.where(step > 0.0, (high / value) ** step, (value / low) ** step))


@cache
def parameter_set(name: str) -> ParameterSet:
    """Read a packaged set, ``benchmark`` or ``small``."""
    raw = read_toml(f"process_model/{name}.toml")
    found: dict[str, Parameter] = {}
    if "base" in raw:
        found.update(parameter_set(raw["base"]).parameters)
    for key, row in raw["parameters"].items():
        found[key] = _parameter(key, row, raw["source"])
    return ParameterSet(name, raw["title"], MappingProxyType(found))


def _parameter(name: str, row: Mapping[str, Any], source: str) -> Parameter:
    value = float(row["value"])
    low, high = float(row.get("low", value)), float(row.get("high", value))
    return Parameter(name, value, low, high, row["unit"], row["meaning"], row.get("source", source))


BENCHMARK = parameter_set("benchmark")
SMALL_DIGESTER = parameter_set("small")
