"""What a keeper may do from a day on, as events: feeding, drawing off and refilling, dosing."""

from collections.abc import Iterable

from marshlight.errors import require
from marshlight.process.model import Dose, DrawOff, Event, Feed, Liquid

# Slurry is drawn off rather than filled above this share of the vessel: our choice.
FULLEST = 0.95
# Nothing here takes out more than this of the slurry: the microbes are in what stays; our choice.
MOST_DRAWN = 0.9


def overflow(day: float, liquid: Liquid, level_m3: float, vessel_m3: float) -> list[Event]:
    """Draw off what a feed would lift above the fullest that a vessel is run."""
    over = level_m3 + liquid.volume_m3 - FULLEST * vessel_m3
    return [DrawOff(day, min(over, MOST_DRAWN * level_m3))] if over > 0.0 else []


def feeding(
    liquid: Liquid, days: Iterable[float], *, level_m3: float, vessel_m3: float
) -> tuple[Event, ...]:
    """Feed the same on each of some days, drawing off beforehand what would not fit.

    Parameters
    ----------
    liquid : Liquid
        What goes in each time.
    days : iterable of float
        When [d], in order.
    level_m3, vessel_m3 : float
        Slurry now and the whole inside of the vessel [m3].

    Returns
    -------
    tuple of Event
        Draw-offs and feeds.

    Examples
    --------
    >>> [type(e).__name__ for e in feeding(Liquid(0.001), [1.0, 2.0], level_m3=0.0175,
    ...                                    vessel_m3=0.02)]
    ['Feed', 'DrawOff', 'Feed']
    """
    events = list[Event]()
    for day in days:
        out = overflow(day, liquid, level_m3, vessel_m3)
        level_m3 += liquid.volume_m3 - sum(e.volume_m3 for e in out if isinstance(e, DrawOff))
        events += [*out, Feed(day, liquid)]
    return tuple(events)


def refilling(
    day: float, share: float, fresh: Liquid, *, level_m3: float, to_m3: float | None = None
) -> tuple[Event, ...]:
    """Draw off a share of the slurry and fill up with something fresh.

    Parameters
    ----------
    day : float
        When [d].
    share : float
        Of the slurry, above 0 to 0.9.
    fresh : Liquid
        What is filled in, of any volume above 0; it is scaled.
    level_m3 : float
        Slurry before [m3].
    to_m3 : float, optional
        Slurry after [m3]; left out: as before.

    Returns
    -------
    tuple of Event
        The draw-off, then the fresh.

    Raises
    ------
    InputError
        When the share is out of its limits or the fresh has no volume.

    Examples
    --------
    >>> out, fresh = refilling(3.0, 0.5, Liquid(1.0), level_m3=0.016)
    >>> out.volume_m3, fresh.liquid.volume_m3
    (0.008, 0.008)
    """
    require(
        0.0 < share <= MOST_DRAWN,
        field="share drawn off",
        value=share,
        allowed=f"above 0 to {MOST_DRAWN:g}",
        remedy="Leave a tenth at least: it holds the microbes",
    )
    require(
        fresh.volume_m3 > 0.0,
        field="refill",
        value=fresh.volume_m3,
        allowed="a volume above 0",
        remedy="Say what is filled in",
    )
    drawn = share * level_m3
    added = (level_m3 if to_m3 is None else to_m3) - (level_m3 - drawn)
    events: tuple[Event, ...] = (DrawOff(day, drawn),)
    if added > 0.0:
        events += (Feed(day, fresh.scaled(added / fresh.volume_m3)),)
    return events


def dosing(kind: str, mass_kg: float, first_day: float, *, portions: int = 1) -> tuple[Event, ...]:
    """Dose in even portions a day apart."""
    return tuple(Dose(first_day + i, kind, mass_kg / portions) for i in range(portions))
