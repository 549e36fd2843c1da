"""Answering a piece of advice: done, or put off, or that taken back. All are events of the log."""

import uuid
from datetime import datetime, timedelta

from marshlight.answers.words import capital, clock, days_since
from marshlight.decide.watch import PIECES, Answered
from marshlight.errors import InputError, require
from marshlight.notebook.kinds import ADVICE_EVENTS
from marshlight.notebook.models import AdviceLook, Event, Person, Run
from marshlight.notebook.moments import placed, site_zone
from marshlight.notebook.recording import Kept, record_event, retract

ANSWERS = {"done": "done", "tomorrow": "put off until tomorrow", "three_days": "put off 3 days"}
# Where doing it belongs in the log as well: the figures count only what is logged.
LOGGED_AS = {
    "dose": ("event", "dose"),
    "swap_slurry": ("event", "draw_off"),
    "renew": ("event", "draw_off"),
    "add_live_slurry": ("event", "feed"),
    "empty_holder": ("event", "holder_emptied"),
    "let_first_gas_out": ("event", "gas_vented"),
    "read_ph_first": ("reading", "ph"),
    "read_ph": ("reading", "ph"),
    "read_ph_again": ("reading", "ph"),
    "doubt_the_jump": ("reading", "ph"),
    "read_warmth": ("reading", "slurry_temperature"),
    "read_warmth_again": ("reading", "slurry_temperature"),
    "heater_off": ("reading", "slurry_temperature"),
}
_PUT_OFF_D = {"tomorrow": 1, "three_days": 3}
# Before the first round of the morning, on the site's clock; our choice.
_MORNING_HOUR = 5


def back_at(at: datetime, until: str, zone_name: str) -> datetime:
    """Give the morning on which a piece that was put off comes back.

    Parameters
    ----------
    at : datetime
        When it was put off.
    until : str
        "tomorrow" or "three_days"; anything else counts as tomorrow.
    zone_name : str
        The site's time zone.

    Examples
    --------
    >>> from datetime import UTC
    >>> back_at(datetime(2026, 5, 1, 21, 30, tzinfo=UTC), "tomorrow", "UTC").isoformat()
    '2026-05-02T05:00:00+00:00'
    """
    zone = site_zone(zone_name)
    day = at.astimezone(zone) + timedelta(days=_PUT_OFF_D.get(until, 1))
    morning = day.replace(hour=_MORNING_HOUR, minute=0, second=0, microsecond=0, tzinfo=None)
    return placed(morning, zone)


def answers_to(run: Run) -> tuple[tuple[Event, Answered], ...]:
    """Read what was said to the advice of a run, oldest first, with the event that says it."""
    if run.started_at is None:
        return ()
    start, zone = run.started_at, run.site.time_zone
    events = Event.objects.current().filter(run=run, kind__in=ADVICE_EVENTS).order_by("at")
    return tuple((event, _answered(event, start, zone)) for event in events)


def answered_words(event: Event, run: Run) -> str:
    """Say what was kept, and when the piece is looked at again.

    Parameters
    ----------
    event : Event
        The answer.
    run : Run
        Its run, started.
    """
    zone = run.site.time_zone
    key = str(event.detail["advice"])
    name = capital(PIECES[key].words)
    if event.retracted:
        return f"Taken back: {name}. The answer stays in the history."
    if event.kind == "advice_put_off":
        back = clock(back_at(event.at, str(event.detail["until"]), zone), zone)
        return f"Put off: {name}. Back on {back}, or as soon as it is urgent."
    back = clock(event.at + timedelta(days=PIECES[key].awaits_d), zone)
    log = " Log it too if you have not: figures count what is logged." if key in LOGGED_AS else ""
    return f"Done: {name}. Looked at again from {back}: {PIECES[key].because}.{log}"


def _answered(event: Event, start: datetime, zone: str) -> Answered:
    key, day = str(event.detail.get("advice", "")), days_since(start, event.at)
    if event.kind == "advice_done":
        return Answered(key, day, urgent=event.detail.get("urgency") == "urgent")
    until = back_at(event.at, str(event.detail.get("until", "")), zone)
    return Answered(key, day, until=days_since(start, until))


def answer_advice(
    run: Run,
    key: str,
    answer: str,
    *,
    by: Person | None = None,
    record_id: uuid.UUID | None = None,
) -> Kept:
    """Log that a piece of advice was followed, or put off.

    Parameters
    ----------
    run : Run
        The run.
    key : str
        Which piece.
    answer : str
        "done", "tomorrow" or "three_days".
    by : Person, optional
        Who says so.
    record_id : UUID, optional
        Made by the form, so that sending it twice keeps it once.

    Returns
    -------
    Kept
        The event; its note holds the advice as it was shown.

    Raises
    ------
    InputError
        If there is no such advice or answer, or an urgent piece would be put off.
    """
    if key not in PIECES:
        raise InputError("advice", key, ", ".join(PIECES), "Look at the list as it is now")
    if answer not in ANSWERS:
        raise InputError("answer", answer, ", ".join(ANSWERS), "Choose one of these")
    # What the person was shown counts, whatever has been worked out since.
    look = AdviceLook.objects.filter(run=run).first()
    shown = next((p for p in (look.shown if look else ()) if p["key"] == key), {})
    urgent = bool(shown.get("urgent"))
    require(
        answer == "done" or not urgent,
        field="answer",
        value=ANSWERS[answer],
        allowed="done, as it is urgent",
        remedy="Do it, then mark it done; what can burst, burn or poison is not put off",
    )
    note = str(shown.get("said", ""))
    if answer == "done":
        detail = {"advice": key, "urgency": "urgent" if urgent else "calm"}
        return record_event(
            run, "advice_done", detail=detail, note=note, by=by, record_id=record_id
        )
    detail = {"advice": key, "until": answer}
    return record_event(run, "advice_put_off", detail=detail, note=note, by=by, record_id=record_id)


def take_back(
    run: Run, key: str, *, by: Person | None = None, record_id: uuid.UUID | None = None
) -> Kept:
    """Withdraw the newest answer to a piece of advice, so that the piece stands again.

    Parameters
    ----------
    run : Run
        The run.
    key : str
        Which piece.
    by : Person, optional
        Who takes it back.
    record_id : UUID, optional
        Made by the form, so that sending it twice takes back once.

    Returns
    -------
    Kept
        The new version, marked as withdrawn; the answer stays in the history.

    Raises
    ------
    InputError
        If it has not been answered.
    """
    again = Event.objects.filter(pk=record_id).first() if record_id else None
    if again is not None:
        return Kept(again, added=False)
    given = [event for event, answered in answers_to(run) if answered.key == key]
    if not given:
        raise InputError("advice", key, "one that was answered", "Look at the list as it is now")
    return retract(given[-1], reason="taken back", by=by, record_id=record_id)
