"""The planner's sentences: numbers to the digits they deserve, plain words first."""

from math import inf, isfinite

from marshlight.decide.plan.limits import Aim, Limit
from marshlight.units import number, show

AMOUNT = "amount:"
# What missing a wish means, where the number alone would worry or mislead.
_CONSEQUENCE = {
    ("carbon_nitrogen", "below"): " Nitrogen does harm as ammonia, which has its own limit.",
    ("carbon_nitrogen", "above"): " The microbes may run short of nitrogen and work slowly.",
    ("acid", "above"): " It may sour: watch the pH daily, and feed nothing more until it burns.",
    ("fill", "below"): " More air is left inside: let gas out for longer before you try a flame.",
}


def shown(limit: Limit, value: float, *, system: str = "metric") -> str:
    """Show a value of a limit in its everyday unit.

    Examples
    --------
    >>> shown(Limit("solids", "solids (TS)", "", "fraction"), 0.0934)
    '9.3 %'
    """
    if not isfinite(value):
        return "more than enough" if value > 0 else "none"
    if limit.unit == "fraction":
        return f"{number(value * 100, 2)} %"
    if limit.unit == "concentration":
        return f"{number(value, 2)} g/L"
    if limit.unit == "dimensionless":
        return number(value, 2)
    return show(value, limit.unit, system=system, digits=3)


def allowed(limit: Limit, *, system: str = "metric") -> str:
    """Say what a limit allows.

    Examples
    --------
    >>> allowed(Limit("carbon_nitrogen", "C:N", "", "dimensionless", 15.0, 30.0))
    '15 to 30'
    """
    low, high = (shown(limit, end, system=system) for end in (limit.low, limit.high))
    if limit.low == limit.high:
        return f"exactly {low}"
    if limit.low > -inf and limit.high < inf:
        return f"{low} to {high}"
    if limit.high < inf:
        return f"{high} at the most"
    return f"{low} at the least"


def limit_sentence(limit: Limit, value: float, state: str, *, system: str = "metric") -> str:
    """Say where a mix stands against a limit."""
    name = limit.name[0].upper() + limit.name[1:]
    start = f"{name}: {shown(limit, value, system=system)}, allowed {allowed(limit, system=system)}"
    if state == "binds":
        return f"{start}; this holds the mix back."
    if state == "missed":
        end = "above" if value > limit.high else "below"
        return f"{start}; this lies {end} it.{_CONSEQUENCE.get((limit.key, end), '')}"
    return f"{start}."


def side_name(limit: Limit, side: str, *, system: str = "metric") -> str:
    """Name one end of a limit, for a list of limits that clash.

    Examples
    --------
    >>> side_name(Limit("solids", "solids (TS)", "", "fraction", 0.03, 0.10), "high")
    'solids (TS) 10 % at the most'
    """
    if limit.low == limit.high:
        return f"{limit.name} {allowed(limit, system=system)}"
    end, words = (limit.high, "at the most") if side == "high" else (limit.low, "at the least")
    return f"{limit.name} {shown(limit, end, system=system)} {words}"


def relaxation_sentence(
    limit: Limit, before: float, after: float, *, share: float, aim: Aim, system: str = "metric"
) -> str:
    """Say what moving an end of a limit would give."""
    more = f"{number(share * 100, 2)} % more {aim.words}"
    if limit.key.startswith(AMOUNT):
        change = after - before
        word = "more" if change > 0 else "less"
        material = limit.name.removeprefix("amount of ")
        amount = show(abs(change), "mass", system=system, digits=2)
        return f"{amount} {word} of {material} would give {more}."
    return (
        f"Letting {limit.name} go to {shown(limit, after, system=system)} instead of "
        f"{shown(limit, before, system=system)} would give {more}."
    )


def listed(words: list[str]) -> str:
    """Join words as one says them.

    Examples
    --------
    >>> listed(["bread", "whey", "water"])
    'bread, whey and water'
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def day_range(low: float, high: float) -> str:
    """Write a range of days.

    Examples
    --------
    >>> day_range(3.2, 8.8), day_range(2.0, float("inf"))
    ('day 3 to 9', 'day 2 or much later')
    """
    if not isfinite(low):
        return "not within half a year"
    first = max(1, round(low))
    if not isfinite(high):
        return f"day {first} or much later"
    last = max(first, round(high))
    return f"day {first}" if first == last else f"day {first} to {last}"
