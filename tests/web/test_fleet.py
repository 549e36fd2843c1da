"""Many digesters in one list: the most urgent first, narrowed, paged, and honest about its age."""

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from marshlight.answers.analysis import analyse, revision
from marshlight.answers.fleet import LINES_A_PAGE, Asked, fleet
from marshlight.answers.fleet_finding import keep_finding, rank_of
from marshlight.answers.state import State
from marshlight.notebook.bulk import write_rows
from marshlight.notebook.models import Finding, Person, Run, Site, Vessel
from marshlight.notebook.recording import record_event, record_reading

pytestmark = pytest.mark.django_db

Make = Callable[..., None]


@pytest.fixture
def many(site: Site, keeper: Person) -> Make:
    """Make runs with findings, by the thousand if need be."""
    vessel = Vessel(name="tank", site=site, volume_m3=1.0)
    vessel.save()

    def make(count: int, word: str = "steady", *, urgent: bool = False, **fields: object) -> None:
        start = Run.objects.count()
        same = {
            "site": fields.pop("site", site).pk,  # type: ignore[attr-defined]
            "vessel": vessel.pk,
            "mode": "batch",
            "started_at": timezone.now() - timedelta(days=20),
            "notes": "",
            "retired": False,
            "plan": {},
        }
        import uuid

        rows = [{"id": uuid.uuid4(), "name": f"Tank {start + n:04d}"} for n in range(count)]
        write_rows(Run, rows, {**same, **_others()})
        said = {
            "next_step": "Feed less",
            "urgent": urgent,
            "rate_m3_per_d": 0.0021,
            "at_least": False,
            "low_m3_per_d": 0.0015,
            "high_m3_per_d": 0.0025,
        }
        known = {
            "rests_on": "r",
            "worked_at": timezone.now() - timedelta(hours=3),
            "rank": rank_of(State(word), urgent=urgent),
            "state": word,
            "keeper": keeper,
            "said": said,
            **fields,
        }
        Finding.objects.bulk_create([Finding(run_id=row["id"], **known) for row in rows])

    return make


def _others() -> dict[str, object]:
    """Give what later fields of a run are by default."""
    named = {"id", "name", "site", "vessel", "mode", "started_at", "notes", "retired", "plan"}
    blank = Run()
    return {
        f.name: getattr(blank, f.attname) for f in Run._meta.concrete_fields if f.name not in named
    }


def names(page: str) -> list[str]:
    return re.findall(r'href="/runs/[0-9a-f-]{36}/">([^<]+)</a>', page)


def test_an_empty_notebook_says_what_to_do(here: Client, site: Site) -> None:
    page = here.get("/fleet/").content.decode()
    assert "No runs yet" in page
    assert 'href="/mix/"' in page


def test_the_most_urgent_stand_first(here: Client, many: Make) -> None:
    many(1, "steady")
    many(1, "steady", urgent=True)
    many(1, "leaking", urgent=True)
    many(1, "souring", urgent=False)
    many(1, "spent")
    page = here.get("/fleet/").content.decode()
    assert names(page) == ["Tank 0002", "Tank 0003", "Tank 0001", "Tank 0000", "Tank 0004"]
    assert "3 need a visit first" in page
    assert "5 going; worked out 3 hours ago." in page


def test_a_line_says_state_next_step_gas_place_keeper_and_age(here: Client, many: Make) -> None:
    many(1, "souring", urgent=True)
    page = here.get("/fleet/").content.decode()
    for words in (
        "souring",
        "<strong>Urgent:</strong> Feed less",
        "2.1 L a day",
        "expected 1.5 to 2.5 L a day",
        "tank, Test yard, day 20, keeper",
        "worked out 3 hours ago",
    ):
        assert words in page


def test_what_the_page_shows_is_what_was_kept_of_the_run(here: Client, run: Run) -> None:
    kept = keep_finding(run, analyse(run), timezone.now(), rests_on=revision(run))
    line = fleet(timezone.now(), Asked()).lines[0]
    assert (line.state, line.next_step) == (kept.state, kept.next_step)
    assert line.keeper == "keeper"
    assert line.stale == ""


def test_a_run_that_nobody_worked_out_says_so(here: Client, run: Run) -> None:
    page = here.get("/fleet/").content.decode()
    assert "not worked out" in page
    assert "Nothing is worked out yet" in page
    assert names(page) == ["Drum 1"]


def test_a_line_whose_log_has_moved_on_is_marked_stale(
    here: Client, run: Run, keeper: Person
) -> None:
    keep_finding(run, analyse(run), timezone.now(), rests_on=revision(run))
    assert "stale" not in here.get("/fleet/").content.decode()
    record_reading(run, "ph", "6.9", by=keeper)
    page = here.get("/fleet/").content.decode()
    assert "stale: its log or set-up has changed since" in page
    assert "1 marked stale" in page


def test_a_line_whose_vessel_was_measured_again_is_marked_stale_at_once(
    here: Client, run: Run, keeper: Person
) -> None:
    keep_finding(run, analyse(run), timezone.now(), rests_on=revision(run))
    run.vessel.volume_m3 = 0.024
    run.vessel.save(by=keeper, why="measured again")
    assert "stale: its log or set-up has changed since" in here.get("/fleet/").content.decode()


def test_what_the_process_model_fears_stands_beside_the_next_step(here: Client, many: Make) -> None:
    many(1, said={"feared": "gas is being lost (90 %)"})
    assert "By the process model: gas is being lost (90 %)." in here.get("/fleet/").content.decode()


def test_a_line_older_than_a_missed_night_is_marked_stale(here: Client, many: Make) -> None:
    many(1, worked_at=timezone.now() - timedelta(hours=40))
    assert "stale: more than 36 hours old" in here.get("/fleet/").content.decode()


def test_an_answer_to_advice_shows_in_the_list_at_once(here: Client, run: Run) -> None:
    kept = keep_finding(run, analyse(run), timezone.now(), rests_on=revision(run))
    calm = next(a for a in kept.advice if not a.urgent)
    here.get(f"/runs/{run.pk}/")
    for piece in kept.advice:
        here.post(f"/runs/{run.pk}/advice/{piece.key}/", {"answer": "done"})
    line = fleet(timezone.now(), Asked()).lines[0]
    assert calm.what not in line.next_step
    assert line.stale == ""


def test_a_run_that_could_not_be_worked_out_says_why(here: Client, many: Make) -> None:
    many(1, trouble="its holder has no bore")
    page = here.get("/fleet/").content.decode()
    assert "Could not be worked out: its holder has no bore" in page
    assert "1 could not be worked out" in page


def test_it_is_narrowed_by_site_state_keeper_and_words(
    here: Client, many: Make, keeper: Person
) -> None:
    other = Site(name="Far meadow", altitude_m=10.0, units="us")
    other.save()
    somebody = Person(name="baker", role=Person.Role.KEEPER)
    somebody.save()
    many(2, "steady")
    many(1, "cold", site=other)
    many(1, "spent", keeper=somebody)

    def shown(**asked: object) -> list[str]:
        return names(here.get("/fleet/", asked).content.decode())

    assert shown(site=other.pk) == ["Tank 0002"]
    assert shown(state="steady") == ["Tank 0000", "Tank 0001"]
    assert shown(keeper=somebody.pk) == ["Tank 0003"]
    assert shown(search="0003") == ["Tank 0003"]
    assert shown(search="  tank   meadow ") == ["Tank 0002"]
    assert shown(search="tank", state="cold", site=other.pk, keeper=keeper.pk) == ["Tank 0002"]
    assert "gal a day" in here.get("/fleet/", {"site": other.pk}).content.decode()


def test_what_finds_nothing_keeps_what_was_typed(here: Client, many: Make) -> None:
    many(1)
    page = here.get("/fleet/", {"search": "<b>'nowhere"}).content.decode()
    assert 'value="&lt;b&gt;&#x27;nowhere"' in page
    assert "None of the 1 digesters that go on is like that." in page
    for strange in ({"site": "nowhere"}, {"keeper": "x"}, {"state": "happy"}):
        answer = here.get("/fleet/", strange)
        assert answer.status_code == 200
        assert "is like that" in answer.content.decode()


def test_it_is_paged_and_a_page_keeps_the_filter(here: Client, many: Make) -> None:
    many(LINES_A_PAGE + 3)
    first = here.get("/fleet/", {"search": "tank"}).content.decode()
    assert len(names(first)) == LINES_A_PAGE
    assert 'href="?search=tank&amp;page=2"' in first
    second = here.get("/fleet/", {"search": "tank", "page": "2"}).content.decode()
    assert names(second) == [f"Tank {n:04d}" for n in range(LINES_A_PAGE, LINES_A_PAGE + 3)]
    assert f'start="{LINES_A_PAGE + 1}"' in second
    for page in ("99", "2"):
        assert names(here.get("/fleet/", {"page": page}).content.decode()) == names(second)
    for page in ("0", "-4", "x", "9" * 30, "²"):
        assert here.get("/fleet/", {"page": page}).status_code == 200


def test_ended_runs_and_bottles_of_trials_are_not_in_it(
    here: Client, run: Run, keeper: Person
) -> None:
    record_event(run, "end", note="spent", by=keeper)
    assert names(here.get("/fleet/").content.decode()) == []


def test_the_overview_of_very_many_is_this_list(here: Client, many: Make) -> None:
    many(61)
    assert here.get("/")["Location"] == "/fleet/"


def test_a_few_more_than_a_handful_are_offered_as_a_list(here: Client, many: Make) -> None:
    assert "/fleet/" not in here.get("/").content.decode()
    many(7)
    assert 'href="/fleet/"' in here.get("/").content.decode()


def test_a_thousand_open_with_few_queries(
    here: Client, many: Make, django_assert_max_num_queries: Callable[..., object]
) -> None:
    many(400, "souring", urgent=True)
    many(600, "steady")
    here.get("/fleet/")
    with django_assert_max_num_queries(12):  # type: ignore[attr-defined]
        assert here.get("/fleet/", {"page": "7", "search": "tank"}).status_code == 200


def test_nobody_sees_it_without_logging_in(away: Client) -> None:
    assert away.get("/fleet/")["Location"].startswith("/log-in/")


def test_nothing_can_be_sent_to_it(here: Client) -> None:
    assert here.post("/fleet/", {"search": "x"}).status_code == 405
