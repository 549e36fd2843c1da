"""Times and places in words, the same for pages and terminal."""

from datetime import datetime, timedelta

from marshlight.notebook.moments import site_zone

SECONDS_A_DAY = 86400.0


def ago(at: datetime, now: datetime) -> str:
    """Say how long ago something was.

    Examples
    --------
    >>> from datetime import UTC
    >>> noon = datetime(2026, 5, 1, 12, tzinfo=UTC)
    >>> ago(noon - timedelta(minutes=40), noon), ago(noon - timedelta(days=3), noon)
    ('40 minutes ago', '3 days ago')
    """
    past = now - at
    if past < timedelta(0):
        return "in the future" if past < -timedelta(minutes=5) else "just now"
    steps = (
        (timedelta(minutes=2), "just now", 1),
        (timedelta(hours=2), "{} minutes ago", 60),
        (timedelta(days=2), "{} hours ago", 3600),
        (timedelta(days=60), "{} days ago", 86400),
        (timedelta(days=730), "{} months ago", 30.44 * 86400),
    )
    for limit, words, seconds in steps:
        if past < limit:
            return words.format(int(past.total_seconds() / seconds))
    return f"{past.days // 365} years ago"


def clock(at: datetime, zone_name: str) -> str:
    """Write a moment as the site's clock shows it.

    Examples
    --------
    >>> from datetime import UTC
    >>> clock(datetime(2026, 5, 1, 6, 30, tzinfo=UTC), "Europe/Paris")
    '1 May 2026, 08:30'
    """
    local = at.astimezone(site_zone(zone_name))
    return f"{local.day} {local:%B %Y, %H:%M}"


def form_time(at: datetime, zone_name: str) -> str:
    """Write a moment as a date-and-time field of a form holds it."""
    return at.astimezone(site_zone(zone_name)).strftime("%Y-%m-%dT%H:%M")


def days_since(start: datetime, at: datetime) -> float:
    """Give the days from the run's start to a moment [d]."""
    return (at - start).total_seconds() / SECONDS_A_DAY


def capital(text: str) -> str:
    """Begin with a capital, except where that would change what it means.

    Examples
    --------
    >>> capital("holder level"), capital("pH")
    ('Holder level', 'pH')
    """
    return text if text[1:2].isupper() else text[:1].upper() + text[1:]
