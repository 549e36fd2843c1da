"""The heat page: will it be warm enough, at what cost?"""

import pytest
from django.test import Client
from django.utils import timezone

from marshlight.answers.heat import heat
from marshlight.answers.heat_reading import CHANGES, NAMES
from marshlight.notebook.models import Person, Run
from marshlight.notebook.recording import record_reading

pytestmark = pytest.mark.django_db

# What is typed, a word the page must say, and whether figures may follow.
DANGEROUS = [
    ({"protection": "no"}, "residual-current", False),
    ({"heater": "immersed", "liquids": "no"}, "Never put a heater into slurry", False),
    ({"set_point": "65"}, "is refused", False),
    ({"power": "200 W", "set_point": ""}, "Never run this heater without a thermostat", False),
    ({"power": "200 W", "set_point": "37"}, "If the thermostat sticks, the vessel boils", True),
    (
        {"heater": "mat", "power": "18 W", "vessel": "4 L", "set_point": ""},
        "too hot for",
        True,
    ),
]


def test_the_page_answers_before_anything_is_typed(here: Client) -> None:
    page = here.get("/heat/").content.decode()
    assert "Will it be warm enough" in page
    assert "One change compared" in page
    assert "Mains electricity and slurry kill" in page


def test_typing_gives_the_answer_alone_and_keeps_the_address(here: Client) -> None:
    found = here.get("/heat/", {"set_point": "37"}, headers={"HX-Request": "true"})
    assert "<html" not in found.content.decode()
    assert "settles at 37.0 °C" in found.content.decode()
    assert "set_point=37" in found.headers["HX-Replace-Url"]


def test_a_wrong_field_says_so_beside_itself_and_keeps_the_rest(here: Client) -> None:
    page = here.get("/heat/", {"power": "warm", "set_point": "36"}).content.decode()
    assert 'aria-invalid="true"' in page
    assert "reason stands beside its field" in page
    assert 'value="36"' in page


@pytest.mark.parametrize(("typed", "said", "figures"), DANGEROUS, ids=lambda v: str(v)[:30])
def test_what_is_dangerous_is_said_and_never_made_to_look_safe(
    here: Client, typed: dict[str, str], said: str, figures: bool
) -> None:
    page = here.get("/heat/", typed).content.decode()
    assert said in page
    assert ("Power that holds" in page) is figures


def test_a_run_fills_in_what_its_records_know(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/heat/").content.decode()
    assert "Filled in from its records" in page
    assert 'value="40.0 W"' in page
    assert 'value="37.0 °C"' in page
    assert 'value="36.8 °C"' in page
    assert "Gas without heating" in page


def test_a_run_in_a_water_bath_takes_the_bath_s_own_temperature(run: Run) -> None:
    assert run.heater is not None
    run.heater.kind = "water bath"
    run.heater.save(why="moved into the bath")
    answer = heat({}, run=run, now=timezone.now())
    fields = {f.question.name: f.value for f in answer.told.fields}
    assert (fields["heater"], fields["water"]) == ("bath", "37.0 °C")
    # Only the lid meets the air, so the slurry is nearly as warm as its bath.
    assert answer.told.sentence.startswith("Warm enough: it settles at 37.0 °C")


def test_room_readings_of_a_run_stand_for_its_surroundings(run: Run, keeper: Person) -> None:
    from datetime import timedelta

    now = timezone.now()
    for hours, celsius in enumerate((12, 14, 16, 18, 16, 14, 12, 10)):
        at = now - timedelta(hours=30 - 3 * hours)
        record_reading(run, "room_temperature", f"{celsius} degC", at=at, by=keeper)
    fields = {f.question.name: f.value for f in heat({}, run=run, now=now).told.fields}
    assert fields["low"] == "11.4 °C"
    assert fields["high"] == "16.6 °C"


def test_every_figure_leads_to_its_source(here: Client) -> None:
    answer = heat({"set_point": "37", "gas": "8 L/d", "feed": "0.5 kg"})
    figures = [figure for section in answer.told.sections for figure in section.figures]
    assert len(figures) > 15
    assert all(figure.sources and figure.equation for figure in figures)
    page = here.get("/heat/").content.decode()
    assert "/sources/churchill_chu_1975/" in page
    assert here.get("/sources/churchill_chu_1975/").status_code == 200


@pytest.mark.parametrize("change", CHANGES)
def test_each_change_can_be_compared(change: str) -> None:
    typed = {"set_point": "37", "wrapped": "sides", "gas": "5 L/d", "change": change}
    table = heat(typed).compared
    assert table is not None
    assert table.head[2] == CHANGES[change]
    assert len(table.rows) == 5


def test_a_change_that_changes_nothing_is_not_compared() -> None:
    assert heat({"heater": "none", "change": "none"}).compared is None


def test_twelve_months_give_a_year() -> None:
    typed = {"set_point": "37", "months": "2 3 6 9 13 16 18 18 15 11 6 3"}
    year = heat(typed).told.sections[-1]
    assert year.title == "A year"
    energy = [float(figure.value.split()[0]) for figure in year.figures]
    assert energy[0] > energy[6]


@pytest.mark.parametrize(
    "typed",
    [
        {"heater": "coil", "water": "50", "tube": "0.1 m2", "set_point": "37"},
        {"heater": "bath", "water": "38"},
        {"heater": "sun", "power": "30 W"},
        {"heater": "none"},
        {"insulation": "none"},
        {
            "stand": "ground",
            "around": "wind",
            "vessel": "10 m3",
            "power": "2 kW",
            "set_point": "37",
        },
    ],
    ids=lambda v: str(v)[:40],
)
def test_every_kind_of_heater_and_place_answers(typed: dict[str, str]) -> None:
    answer = heat(typed)
    assert answer.told.sections
    assert answer.chart is not None


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"heater": "coil"}, "heater"),
        ({"months": "1 2 3"}, "months"),
        ({"low": "20", "high": "10"}, "low"),
        ({"slurry": "99 L"}, "slurry"),
        ({"vessel": "no such thing"}, "vessel"),
        ({"insulation": "feathers"}, "insulation"),
        ({"days": "400"}, "days"),
    ],
)
def test_what_cannot_be_used_is_named(typed: dict[str, str], field: str) -> None:
    answer = heat(typed)
    assert set(answer.told.problems) == {field}
    assert answer.told.sections == ()


def test_us_units_are_spoken_where_the_site_does(here: Client, run: Run) -> None:
    run.site.units = "us"
    run.site.save(why="visitors")
    page = here.get(f"/runs/{run.pk}/heat/").content.decode()
    assert "98.6 °F" in page


def test_names_of_fields_are_told_once() -> None:
    assert len(NAMES) == len(set(NAMES))


def test_a_stranger_must_log_in(away: Client) -> None:
    assert away.get("/heat/").status_code == 302
