"""Elemental formulas: read from text or from an elemental analysis, weighed, nothing more."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from types import MappingProxyType

from marshlight.errors import InputError, require

# Abridged conventional atomic weights [kg/kmol], source iupac_2021_masses.
ATOMIC_MASS: Mapping[str, float] = MappingProxyType(
    {"C": 12.011, "H": 1.008, "O": 15.999, "N": 14.007, "S": 32.06}
)

_TOKEN = re.compile(r"([A-Z][a-z]?)|(\()|(\))|(\d+(?:\.\d+)?)")
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")


@dataclass(frozen=True)
class Formula:
    """Kilomoles of each element in a kilomole of the substance; fractions are welcome."""

    C: float
    H: float
    O: float  # noqa: E741 - the element's symbol
    N: float = 0.0
    S: float = 0.0

    def __post_init__(self) -> None:
        """Refuse counts that no substance can have.

        Raises
        ------
        InputError
            When a count is negative or not finite, or nothing is there.
        """
        counts = tuple(self.counts.values())
        require(
            all(isfinite(n) and n >= 0.0 for n in counts) and sum(counts) > 0.0,
            field="formula",
            value=counts,
            allowed="numbers of C, H, O, N and S atoms, none negative, not all zero",
            remedy="Check the numbers behind the element symbols",
        )

    @property
    def counts(self) -> Mapping[str, float]:
        """Give the count of each element by symbol."""
        return {"C": self.C, "H": self.H, "O": self.O, "N": self.N, "S": self.S}

    @property
    def molar_mass(self) -> float:
        """Give the molar mass [kg/kmol], the same number as g/mol."""
        return sum(ATOMIC_MASS[element] * n for element, n in self.counts.items())

    def mass_fraction(self, element: str) -> float:
        """Give the share of the mass that is one element [kg/kg], 0 to 1."""
        return self.counts[element] * ATOMIC_MASS[element] / self.molar_mass


def formula(text: str) -> Formula:
    """Read a chemical formula of carbon, hydrogen, oxygen, nitrogen and sulphur.

    Parameters
    ----------
    text : str
        For example ``C6H10O5``, ``CH3(CH2)14COOH`` or ``CH1.8O0.5N0.2``. Groups in brackets,
        fractions, subscript digits and repeated elements are understood.

    Returns
    -------
    Formula
        Kilomoles of each element in a kilomole [kmol/kmol].

    Raises
    ------
    InputError
        When the text is not a formula, or holds an element other than C, H, O, N and S.

    References
    ----------
    Atomic weights: source ``iupac_2021_masses``.

    Examples
    --------
    >>> formula("CH3COOH") == formula("C2H4O2")
    True
    >>> round(formula("C6H10O5").molar_mass, 2)
    162.14
    """
    plain = text.translate(_SUBSCRIPTS).replace(" ", "")
    stack: list[dict[str, float]] = [{}]
    last: dict[str, float] = {}
    position = 0
    while position < len(plain):
        token = _TOKEN.match(plain, position)
        if token is None:
            raise _unreadable(text)
        position = token.end()
        element, opens, closes, number = token.groups()
        if number is not None:
            if not last:
                raise _unreadable(text)
            _add(stack[-1], last, float(number) - 1.0)
            last = {}
        elif opens:
            stack.append({})
            last = {}
        elif closes:
            if len(stack) == 1:
                raise _unreadable(text)
            last = stack.pop()
            _add(stack[-1], last, 1.0)
        else:
            last = {_known(element, text): 1.0}
            _add(stack[-1], last, 1.0)
    if len(stack) != 1 or not stack[0]:
        raise _unreadable(text)
    counts = {element: stack[0].get(element, 0.0) for element in ATOMIC_MASS}
    return Formula(**counts)


def formula_from_mass_fractions(
    *,
    carbon: float,
    hydrogen: float,
    oxygen: float,
    nitrogen: float = 0.0,
    sulphur: float = 0.0,
) -> Formula:
    """Turn an elemental analysis by mass into a formula for one kilogram of what was analysed.

    Parameters
    ----------
    carbon, hydrogen, oxygen, nitrogen, sulphur : float
        Shares of the organic (ash-free) mass [kg/kg], 0 to 1, all on one basis.

    Returns
    -------
    Formula
        Kilomoles of each element in a kilogram [kmol/kg]. A sum short of 1 (ash left in, oxygen
        not by difference) does not matter to ratios or to yields per kilogram of organic matter.

    Raises
    ------
    InputError
        When a share is outside 0 to 1 or they sum to more than 1.02.

    Examples
    --------
    >>> glucose = formula_from_mass_fractions(carbon=0.40, hydrogen=0.0671, oxygen=0.5329)
    >>> round(glucose.H / glucose.C, 2), round(glucose.O / glucose.C, 2)
    (2.0, 1.0)
    """
    shares = {"C": carbon, "H": hydrogen, "O": oxygen, "N": nitrogen, "S": sulphur}
    require(
        all(isfinite(x) and 0.0 <= x <= 1.0 for x in shares.values())
        and sum(shares.values()) <= 1.02,
        field="elemental analysis",
        value=shares,
        allowed="shares of the mass from 0 to 1 that sum to 1 at the most",
        remedy="Give all elements as shares of the same ash-free dry mass",
    )
    return Formula(**{element: x / ATOMIC_MASS[element] for element, x in shares.items()})


def _add(into: dict[str, float], group: Mapping[str, float], times: float) -> None:
    for element, n in group.items():
        into[element] = into.get(element, 0.0) + n * times


def _known(element: str, text: str) -> str:
    if element not in ATOMIC_MASS:
        raise InputError(
            "formula",
            text,
            "the elements C, H, O, N and S",
            f"Leave out {element}: it makes no gas here",
        )
    return element


def _unreadable(text: str) -> InputError:
    return InputError(
        "formula",
        text,
        "element symbols with numbers, such as C6H10O5 or CH3(CH2)14COOH",
        "Write the formula with capital element symbols and closed brackets",
    )
