"""What can be written in the notebook: one description per kind of reading and of event.

Pages, terminal, import and checks all read these, so a kind is described once.
"""

from marshlight.errors import InputError

from .advice import ADVICE_EVENTS
from .events import EVENTS
from .readings import READINGS
from .shape import Detail, Kind, Measure

__all__ = [
    "ADVICE_EVENTS",
    "EVENTS",
    "READINGS",
    "Detail",
    "Kind",
    "Measure",
    "event_kind",
    "reading_kind",
]


def reading_kind(key: str) -> Kind:
    """Describe a kind of reading.

    Parameters
    ----------
    key
        A key of `READINGS`.

    Returns
    -------
    Kind
        Its words, unit, ranges and details.

    Raises
    ------
    InputError
        If there is no such kind of reading.
    """
    return _find(READINGS, key, "kind of reading")


def event_kind(key: str) -> Kind:
    """Describe a kind of event.

    Parameters
    ----------
    key
        A key of `EVENTS`.

    Returns
    -------
    Kind
        Its words, unit, ranges and details.

    Raises
    ------
    InputError
        If there is no such kind of event.
    """
    return _find(EVENTS, key, "kind of event")


def _find(kinds: dict[str, Kind], key: str, field: str) -> Kind:
    if key not in kinds:
        raise InputError(field, key, ", ".join(kinds), "Choose one of these")
    return kinds[key]
