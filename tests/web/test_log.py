"""The quick log: three taps and one number; odd values are questioned, impossible ones refused."""

import re
import uuid

import pytest
from django.test import Client

from marshlight.notebook.models import Event, Person, Reading, Run

pytestmark = pytest.mark.django_db


def _entry(run: Run, kind: str, family: str = "reading") -> str:
    return f"/runs/{run.pk}/log/{family}/{kind}/"


def _level(run: Run) -> list[float | None]:
    rows = Reading.objects.current().filter(run=run, kind="level").order_by("entered_at")
    return [row.value for row in rows]


def test_the_kinds_used_last_come_first(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/log/").content.decode()
    order = re.findall(r"/log/(?:reading|event)/(\w+)/", page)
    assert order[:3] == ["flame", "slurry_temperature", "level"]
    assert {"feed", "dose", "titration", "lab"} <= set(order)
    assert len(order) == len(set(order))


def test_a_level_is_kept_in_three_taps_and_one_number(here: Client, run: Run) -> None:
    overview = here.get("/").content.decode()
    assert f'href="/runs/{run.pk}/log/"' in overview
    assert f'href="{_entry(run, "level")}"' in here.get(f"/runs/{run.pk}/log/").content.decode()
    answer = here.post(_entry(run, "level"), {"value": "215", "unit": "mm"}, follow=True)
    assert answer.redirect_chain[-1][0] == f"/runs/{run.pk}/log/"
    assert "Saved. Holder level: 21.5 cm." in answer.content.decode()
    assert _level(run)[-1] == pytest.approx(0.215)


def test_a_value_in_another_unit_is_understood(here: Client, run: Run) -> None:
    here.post(_entry(run, "level"), {"value": "8.5", "unit": "in"})
    assert _level(run)[-1] == pytest.approx(8.5 * 0.0254)
    here.post(_entry(run, "slurry_temperature"), {"value": "98 F", "unit": "degC"})
    newest = Reading.objects.filter(run=run, kind="slurry_temperature").order_by("-at").first()
    assert newest is not None
    assert newest.value == pytest.approx(36.67, abs=0.01)
    assert newest.entered == "98 F"


def test_an_odd_value_is_questioned_with_the_last_one_and_not_yet_kept(
    here: Client, run: Run
) -> None:
    before = len(_level(run))
    page = here.post(_entry(run, "level"), {"value": "15", "unit": "mm"}).content.decode()
    assert "Nothing is saved yet" in page
    assert "It was 19.0 cm before" in page
    assert 'value="15"' in page
    assert len(_level(run)) == before


def test_what_the_eye_saw_is_kept_when_the_keeper_is_sure(here: Client, run: Run) -> None:
    answer = here.post(_entry(run, "level"), {"value": "15", "unit": "mm", "sure": "yes"})
    assert answer.status_code == 302
    assert _level(run)[-1] == pytest.approx(0.015)


@pytest.mark.parametrize(
    ("kind", "value", "why"),
    [
        ("ph", "15", "14 pH"),
        ("level", "ten", "number"),
        ("level", "", "number"),
        ("level", "3 kg", "length"),
    ],
)
def test_an_impossible_value_is_refused_with_its_reason_and_kept_in_the_form(
    here: Client, run: Run, kind: str, value: str, why: str
) -> None:
    before = Reading.objects.count()
    page = here.post(_entry(run, kind), {"value": value, "sure": "yes"})
    assert page.status_code == 422
    assert why in page.content.decode()
    assert f'value="{value}"' in page.content.decode()
    assert Reading.objects.count() == before


def test_a_double_tap_keeps_one_reading(here: Client, run: Run) -> None:
    sent = {"value": "215", "unit": "mm", "record_id": str(uuid.uuid4())}
    before = len(_level(run))
    assert here.post(_entry(run, "level"), sent).status_code == 302
    assert here.post(_entry(run, "level"), sent).status_code == 302
    assert len(_level(run)) == before + 1


def test_a_flame_is_one_tap(here: Client, run: Run) -> None:
    page = here.get(_entry(run, "flame")).content.decode()
    assert page.count('name="detail-answer"') == 3
    here.post(_entry(run, "flame"), {"detail-answer": "lights_and_dies"})
    newest = Reading.objects.filter(run=run, kind="flame").order_by("-at").first()
    assert newest is not None
    assert newest.detail["answer"] == "lights_and_dies"


def test_a_feed_lists_what_went_in(here: Client, run: Run) -> None:
    sent = {
        "part-0-what": "feedstock:bread_stale",
        "part-0-mass": "200 g",
        "part-1-what": "",
        "part-1-mass": "",
        "detail-water": "1 L",
    }
    answer = here.post(_entry(run, "feed", "event"), sent)
    assert answer.status_code == 302
    feed = Event.objects.get(run=run, kind="feed")
    assert feed.value == pytest.approx(1.2)
    assert feed.detail["parts"] == [{"feedstock": "bread_stale", "mass": "200 g", "mass_kg": 0.2}]


@pytest.mark.parametrize(
    ("family", "kind", "words"),
    [
        ("reading", "flame", "explode"),
        ("event", "seal_opened", "Never put your head"),
        ("event", "set_point", "Mains"),
        ("event", "holder_emptied", "poison"),
        ("reading", "titration", "goggles"),
        ("reading", "pressure", "cannot breathe"),
    ],
)
def test_the_caution_stands_where_its_hazard_arises(
    here: Client, run: Run, family: str, kind: str, words: str
) -> None:
    assert words in here.get(_entry(run, kind, family)).content.decode()


def test_an_earlier_time_and_a_note_are_kept(here: Client, run: Run) -> None:
    when = "2000-01-01T07:30"
    sent = {"value": "7.1", "at": when, "note": "pen freshly set", "sure": "yes"}
    here.post(_entry(run, "ph"), sent)
    row = Reading.objects.get(run=run, kind="ph")
    assert (row.at.year, row.at.hour, row.note) == (2000, 7, "pen freshly set")


def test_the_writer_is_the_sole_keeper_on_loopback(here: Client, run: Run, keeper: Person) -> None:
    here.post(_entry(run, "level"), {"value": "215"})
    newest = Reading.objects.filter(run=run, kind="level").order_by("-entered_at").first()
    assert newest is not None
    assert newest.entered_by == keeper


def test_the_writer_beyond_loopback_is_who_logged_in(
    away: Client, run: Run, lead: Person, keeper: Person
) -> None:
    away.force_login(lead.user, backend="django.contrib.auth.backends.ModelBackend")
    away.post(_entry(run, "level"), {"value": "215", "by": str(keeper.pk)})
    newest = Reading.objects.filter(run=run, kind="level").order_by("-entered_at").first()
    assert newest is not None
    assert newest.entered_by == lead


def test_an_unknown_kind_or_run_is_not_found(here: Client, run: Run) -> None:
    assert here.get(_entry(run, "spirit_level")).status_code == 404
    assert here.get(f"/runs/{uuid.uuid4()}/log/").status_code == 404


@pytest.mark.parametrize("family", ["reading", "event"])
def test_every_kind_has_a_form_that_opens(here: Client, run: Run, family: str) -> None:
    page = here.get(f"/runs/{run.pk}/log/").content.decode()
    kinds = set(re.findall(rf"/log/{family}/(\w+)/", page))
    assert len(kinds) > 10
    for kind in kinds:
        assert here.get(_entry(run, kind, family)).status_code == 200, kind
