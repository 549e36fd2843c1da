"""Times at the edge: what people and loggers write, in the site's own clock."""

from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from marshlight.errors import InputError


def site_zone(name: str) -> tzinfo:
    """Find a time zone by its name.

    Parameters
    ----------
    name
        From the IANA list, such as ``Europe/Paris``, or ``UTC``.

    Returns
    -------
    tzinfo
        The zone.

    Raises
    ------
    InputError
        If there is no such zone.
    """
    try:
        return ZoneInfo(name or "UTC")
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise InputError(
            "time zone", name, "a name such as Europe/Paris or UTC", "Choose one from the list"
        ) from error


def placed(clock: datetime, zone: tzinfo, *, field: str = "time") -> datetime:
    """Place a clock reading in time.

    Parameters
    ----------
    clock
        Without a zone it is what the site's clock showed.
    zone
        The site's zone.
    field
        For the error.

    Returns
    -------
    datetime
        In UTC.  Of the two moments when clocks go back, the first.

    Raises
    ------
    InputError
        If the site's clock never showed this (clocks went forward over it).
    """
    if clock.tzinfo is not None:
        return clock.astimezone(UTC)
    moment = clock.replace(tzinfo=zone).astimezone(UTC)
    if moment.astimezone(zone).replace(tzinfo=None) != clock:
        raise InputError(
            field,
            clock.isoformat(sep=" "),
            "a time that the site's clock showed",
            "Clocks went forward over it; if the logger keeps one time all year, give its zone",
        )
    return moment


def shown_twice(clock: datetime, zone: tzinfo) -> bool:
    """Whether the site's clock showed this time twice (clocks went back).

    Parameters
    ----------
    clock
        Without a zone.
    zone
        The site's zone.

    Returns
    -------
    bool
        True when the moment is ambiguous.
    """
    first = clock.replace(tzinfo=zone, fold=0).utcoffset()
    second = clock.replace(tzinfo=zone, fold=1).utcoffset()
    return (first or timedelta()) > (second or timedelta())


def moment(given: datetime | str, zone: tzinfo, *, field: str = "time") -> datetime:
    """Read one time as a form or a command gives it.

    Parameters
    ----------
    given
        A datetime, or ISO 8601 text such as ``2026-05-01 07:30``.
    zone
        The site's zone, for times without one.
    field
        For the error.

    Returns
    -------
    datetime
        In UTC.

    Raises
    ------
    InputError
        If it is not a time.
    """
    if isinstance(given, str):
        try:
            given = datetime.fromisoformat(given.strip())
        except ValueError as error:
            raise InputError(
                field, given, "a date and time such as 2026-05-01 07:30", "Write it this way"
            ) from error
    return placed(given, zone, field=field)
