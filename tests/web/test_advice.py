"""Advice is answered with one tap; both answers are events, and what changed is said."""

import json
import uuid
import zipfile
from datetime import timedelta
from io import BytesIO

import pytest
from django.test import Client
from django.utils import timezone

from marshlight.answers.analysis import revision
from marshlight.answers.assessment import Assessed, assess_run
from marshlight.answers.run import run_page
from marshlight.notebook.archive import write_archive
from marshlight.notebook.models import AdviceLook, Event, Person, Run
from marshlight.notebook.recording import record_event, record_reading, retract

pytestmark = pytest.mark.django_db


def address(run: Run, key: str) -> str:
    return f"/runs/{run.pk}/advice/{key}/"


def standing(run: Run, *, in_days: float = 0.0) -> list[str]:
    return [a.key for a in run_page(run, now=timezone.now() + timedelta(days=in_days)).advice]


def told(run: Run, *, in_days: float = 0.0) -> str:
    return run_page(run, now=timezone.now() + timedelta(days=in_days)).advice_change


@pytest.fixture
def overfed(run: Run, keeper: Person) -> Run:
    """Give a drum fed far beyond a fortieth of its liquid a day: "feed less" stands, calm."""
    parts = [{"feedstock": "bread_stale", "mass": "0.3 kg"}]
    for days in (3, 2, 1):
        at = timezone.now() - timedelta(days=days)
        record_event(run, "feed", at=at, detail={"parts": parts, "water": "1 L"}, by=keeper)
    record_reading(run, "ph", "7.1", by=keeper)
    assert "feed_less" in standing(run)
    return run


@pytest.fixture
def overheated(overfed: Run, keeper: Person) -> Run:
    """Give the same with a thermometer that shows 70 degC: urgent."""
    record_reading(overfed, "slurry_temperature", "70", by=keeper)
    assert standing(overfed)[0] == "heater_off"
    return overfed


def test_each_piece_can_be_done_or_put_off_with_one_tap(here: Client, overfed: Run) -> None:
    page = here.get(f"/runs/{overfed.pk}/").content.decode()
    assert f'action="{address(overfed, "feed_less")}"' in page
    for answer in ("done", "tomorrow", "three_days"):
        assert f'name="answer" value="{answer}"' in page


def test_done_is_an_event_with_who_and_what_was_advised(
    here: Client, overfed: Run, keeper: Person
) -> None:
    answer = here.post(address(overfed, "feed_less"), {"answer": "done"})
    assert answer["Location"] == f"/runs/{overfed.pk}/#advice"
    event = Event.objects.get(run=overfed, kind="advice_done")
    assert event.detail == {"advice": "feed_less", "urgency": "calm"}
    assert event.entered_by == keeper
    assert event.note.startswith("Feed less: at most ")
    page = here.get(f"/runs/{overfed.pk}/").content.decode()
    assert "Did as advised" in page
    assert "Out of sight for now (1)" in page
    assert "what is fed counts as the mean of a week" in page


def test_a_done_piece_is_away_while_its_effect_is_awaited(here: Client, overfed: Run) -> None:
    here.post(address(overfed, "feed_less"), {"answer": "done"})
    assert "feed_less" not in standing(overfed)


def test_what_was_put_off_until_tomorrow_is_back_in_the_morning(here: Client, overfed: Run) -> None:
    here.post(address(overfed, "feed_less"), {"answer": "tomorrow"})
    assert "feed_less" not in standing(overfed)
    assert "feed_less" in standing(overfed, in_days=1.3)


def test_what_was_put_off_for_three_days_is_still_away_on_the_second(
    here: Client, run: Run
) -> None:
    assert "read_ph" in standing(run)
    here.post(address(run, "read_ph"), {"answer": "three_days"})
    assert "read_ph" not in standing(run, in_days=1.9)
    assert any(key.startswith("read_") for key in standing(run, in_days=3.3))


def test_an_urgent_piece_cannot_be_put_off(here: Client, overheated: Run) -> None:
    page = here.get(f"/runs/{overheated.pk}/").content.decode()
    assert "Urgent, so it can’t be put off." in page
    refused = here.post(address(overheated, "heater_off"), {"answer": "three_days"})
    assert refused.status_code == 422
    assert "Nothing is saved." in refused.content.decode()
    assert "Switch the heater off" in refused.content.decode()
    assert not Event.objects.filter(kind="advice_put_off").exists()


def test_an_urgent_piece_that_was_done_is_back_within_the_hour(
    here: Client, overheated: Run
) -> None:
    here.post(address(overheated, "heater_off"), {"answer": "done"})
    assert Event.objects.get(kind="advice_done").detail["urgency"] == "urgent"
    assert "heater_off" not in standing(overheated)
    assert "heater_off" in standing(overheated, in_days=0.05)


def test_an_answer_that_is_none_is_refused_and_the_list_stays(here: Client, overfed: Run) -> None:
    for sent in ({"answer": "never"}, {}):
        refused = here.post(address(overfed, "feed_less"), sent)
        assert refused.status_code == 422
        assert "Feed less" in refused.content.decode()
    assert here.post(address(overfed, "dance"), {"answer": "done"}).status_code == 422
    assert not Event.objects.filter(kind__startswith="advice").exists()


def test_sending_an_answer_twice_keeps_it_once(here: Client, overfed: Run) -> None:
    sent = {"answer": "done", "record_id": str(uuid.uuid4())}
    here.post(address(overfed, "feed_less"), sent)
    here.post(address(overfed, "feed_less"), sent)
    assert Event.objects.filter(kind="advice_done").count() == 1


def test_another_answer_from_the_page_shown_again_counts_as_another(
    here: Client, overfed: Run
) -> None:
    sent = {"record_id": str(uuid.uuid4())}
    here.post(address(overfed, "feed_less"), {**sent, "answer": "done"})
    assert (
        here.post(address(overfed, "feed_less"), {**sent, "answer": "tomorrow"}).status_code == 302
    )
    assert Event.objects.filter(kind__startswith="advice").count() == 2


def test_a_link_answers_nothing(here: Client, run: Run) -> None:
    assert here.get(address(run, "feed_less")).status_code == 405


def test_an_unknown_run_has_no_advice(here: Client, site: object) -> None:
    nowhere = f"/runs/{uuid.uuid4()}/advice/feed_less/"
    assert here.post(nowhere, {"answer": "done"}).status_code == 404


def test_nobody_answers_without_logging_in(away: Client, overfed: Run) -> None:
    answer = away.post(address(overfed, "feed_less"), {"answer": "done"})
    assert answer.status_code == 302
    assert "/log-in/" in answer["Location"]
    assert not Event.objects.filter(kind="advice_done").exists()


def test_a_reader_looks_but_does_not_answer(away: Client, overfed: Run, reader: Person) -> None:
    away.force_login(reader.user, backend="django.contrib.auth.backends.ModelBackend")
    page = away.get(f"/runs/{overfed.pk}/").content.decode()
    assert "Feed less" in page
    assert 'name="answer"' not in page
    assert away.post(address(overfed, "feed_less"), {"answer": "done"}).status_code == 403


def test_an_answer_that_was_withdrawn_counts_no_more(
    here: Client, overfed: Run, keeper: Person
) -> None:
    here.post(address(overfed, "feed_less"), {"answer": "done"})
    event = Event.objects.get(kind="advice_done")
    assert here.get(f"/records/event/{event.pk}/correct/").status_code == 200
    retract(event, reason="not done after all", by=keeper)
    assert "feed_less" in standing(overfed)


def test_an_answer_is_taken_back_with_one_tap_and_stays_in_the_history(
    here: Client, overfed: Run
) -> None:
    here.post(address(overfed, "feed_less"), {"answer": "done"})
    sent = {"answer": "take_back", "record_id": str(uuid.uuid4())}
    for _ in range(2):
        assert here.post(address(overfed, "feed_less"), sent).status_code == 302
    assert "feed_less" in standing(overfed)
    versions = Event.objects.filter(kind="advice_done").order_by("version")
    assert [v.retracted for v in versions] == [False, True]
    assert (
        "answered"
        in here.post(address(overfed, "feed_less"), {"answer": "take_back"}).content.decode()
    )


def test_an_answer_costs_no_new_analysis_and_is_no_choice_of_the_log(
    here: Client, overfed: Run
) -> None:
    before = revision(overfed)
    here.post(address(overfed, "feed_less"), {"answer": "done"})
    assert revision(overfed) == before
    assert "advice" not in here.get(f"/runs/{overfed.pk}/log/").content.decode()


def test_the_archive_carries_the_answers(here: Client, overfed: Run) -> None:
    here.post(address(overfed, "feed_less"), {"answer": "three_days"})
    packed = BytesIO()
    write_archive(packed)
    with zipfile.ZipFile(packed) as archive:
        kept = [json.loads(line) for line in archive.read("event.jsonl").splitlines()]
    answers = [row["detail"] for row in kept if row["kind"] == "advice_put_off"]
    assert answers == [{"advice": "feed_less", "until": "three_days"}]


def test_the_first_look_has_nothing_to_compare(run: Run) -> None:
    assert told(run) == ""
    assert "read_ph" in [piece["key"] for piece in AdviceLook.objects.get(run=run).shown]


def test_a_new_reading_is_named_as_what_changed_the_advice(run: Run, keeper: Person) -> None:
    told(run)
    record_reading(run, "ph", "7.1", by=keeper)
    words = told(run)
    assert words.startswith("Changed since the last look (just now): ")
    assert "“Read pH next” is gone, after pH 7.1" in words
    later = told(run, in_days=0.01)
    assert later.startswith("Changed 14 minutes ago: “Read pH next” is gone")


def test_a_change_is_told_for_a_day(run: Run) -> None:
    told(run)
    now = timezone.now()
    for hours, change in ((23, "Changed 23 hours ago: it did."), (25, "")):
        look = AdviceLook.objects.get(run=run)
        look.change, look.changed_at = "it did.", now - timedelta(hours=hours)
        look.save()
        assert told(run) == change


def test_time_alone_is_named_when_nothing_was_written(overfed: Run) -> None:
    told(overfed)
    words = told(overfed, in_days=3.2)
    assert "is new, as 3 days passed" in words


def test_a_done_piece_is_named_as_marked_done(here: Client, overfed: Run) -> None:
    here.post(address(overfed, "feed_less"), {"answer": "done"})
    assert "“Feed less” is gone, marked done" in told(overfed)


def test_an_answer_that_was_taken_back_is_named(here: Client, overfed: Run) -> None:
    here.post(address(overfed, "feed_less"), {"answer": "done"})
    told(overfed)
    here.post(address(overfed, "feed_less"), {"answer": "take_back"})
    assert "“Feed less” is new, as its answer was taken back" in told(overfed)


def test_pieces_answered_one_after_the_other_are_told_together(here: Client, run: Run) -> None:
    keys = standing(run)[:2]
    for key in keys:
        here.post(address(run, key), {"answer": "done"})
        here.get(f"/runs/{run.pk}/")
    assert told(run).count("is gone, marked done") == len(keys) == 2


def test_minutes_alone_are_named_as_minutes(run: Run) -> None:
    told(run)
    AdviceLook.objects.update(shown=[])
    assert "as 30 minutes passed" in told(run, in_days=0.5 / 24.0)


def test_a_piece_that_was_put_off_comes_back_as_such(here: Client, overfed: Run) -> None:
    here.post(address(overfed, "feed_less"), {"answer": "tomorrow"})
    assert "“Feed less” is gone, put off" in told(overfed)
    assert "“Feed less” is new, put off until now" in told(overfed, in_days=1.3)


def test_a_changed_set_up_is_named(run: Run, keeper: Person, monkeypatch: object) -> None:
    told(run)
    look = AdviceLook.objects.get(run=run)
    look.shown = [{**look.shown[0], "key": "dose", "what": "Stir in soda"}]
    look.rests_on = "another revision"
    look.save()
    assert "after a change of the set-up or of the program" in told(run)


def test_a_page_that_is_opened_again_writes_nothing(run: Run) -> None:
    told(run)
    at = AdviceLook.objects.get(run=run).at
    told(run, in_days=0.001)
    assert AdviceLook.objects.get(run=run).at == at


def test_a_planned_and_an_ended_run_keep_no_look(run: Run, keeper: Person) -> None:
    record_event(run, "end", note="spent", by=keeper)
    run.refresh_from_db()
    assert told(run, in_days=0.1) == ""
    assert not AdviceLook.objects.exists()


def test_what_waits_behind_three_is_known(overheated: Run) -> None:
    from marshlight.answers.analysis import analyse

    found: Assessed = assess_run(analyse(overheated), timezone.now(), system="metric")
    assert len(found.advice) <= 3
    assert not {a.key for a in found.advice} & {a.key for a in found.waiting}


def test_a_run_whose_advice_is_all_answered_does_not_say_nothing_to_do(
    here: Client, overheated: Run, keeper: Person
) -> None:
    for _ in range(8):
        for key in standing(overheated):
            here.post(address(overheated, key), {"answer": "done"})
    page = run_page(overheated, now=timezone.now())
    assert page.advice == ()
    assert page.no_advice.startswith("All that is advised is done or put off; ")
    text = here.get(f"/runs/{overheated.pk}/").content.decode()
    assert "Nothing to do" not in text
