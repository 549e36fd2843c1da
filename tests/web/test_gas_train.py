"""The gas train and the leak test on pages."""

import pytest
from django.test import Client

from marshlight.answers.gas_train import gas_train
from marshlight.answers.leak import leak
from marshlight.notebook.models import Run

pytestmark = pytest.mark.django_db


def _figures(answer: object) -> dict[str, str]:
    return {f.name: f.value for s in answer.sections for f in s.figures}  # type: ignore[attr-defined]


def test_the_page_says_whether_the_vessel_breathes(here: Client) -> None:
    page = here.get("/gas-train/", {"relief": "seal"}).content.decode()
    assert "It breathes" in page
    unsaid = here.get("/gas-train/").content.decode()
    assert "Not known whether it breathes" in unsaid
    assert "It breathes" not in unsaid
    assert "as long as the bag can swell" in gas_train({"relief": "soft"}).sentence
    assert "Never close a vessel that cannot breathe" in page


def test_no_relief_on_a_rigid_vessel_is_refused_with_how_fast_it_bursts(here: Client) -> None:
    page = here.get("/gas-train/", {"relief": "none"}).content.decode()
    assert "a drum bursts or throws its lid" in page
    assert "kPa every day" in page
    assert "Full in" not in page
    assert "soft" in {q for q, _ in gas_train({}).fields[7].question.choices}
    assert gas_train({"relief": "soft"}).sections


def test_what_does_not_go_together_comes_first() -> None:
    assert gas_train({"relief": "seal", "relief_depth": "30 mm"}).sentence.startswith(
        "The relief blows at"
    )
    assert "Too full" in gas_train({"slurry": "22 L"}).sentence
    assert "may blow empty" in gas_train({"relief": "seal", "trap": "100 mm"}).sentence
    assert "draws air in" in gas_train({"pressure": "-20 mm H2O"}).sentence


def test_a_run_s_holder_gives_its_pressure_and_forecast(here: Client, run: Run) -> None:
    answer = gas_train({}, run=run)
    figures = _figures(answer)
    # 0.4 kg over a bore of 150 mm: 0.222 kPa.
    assert figures["holder"] == "22.6 mm H₂O"
    assert "empty it before" in figures
    page = here.get(f"/runs/{run.pk}/gas-train/").content.decode()
    assert "Drum 1" in page


def test_a_bag_named_as_holder_has_the_pressure_typed() -> None:
    assert _figures(gas_train({"holder": "300 L", "pressure": "20 mm H2O"}))["holder"] == (
        "20.0 mm H₂O"
    )


def test_hours_of_use_size_the_holder() -> None:
    figures = _figures(gas_train({"gas": "2.4 m3/d", "uses": "6 7 12 18 19 20"}))
    assert figures["holder for these hours"] == "0.99 to 1.1 m³"


def test_frost_on_the_pipe_is_named() -> None:
    pipe = gas_train({"pipe_c": "-5 °C"}).sections[-1]
    assert "freezes" in pipe.after[0]


def test_every_figure_of_the_gas_train_leads_to_its_source() -> None:
    for answer in (
        gas_train({"uses": "7 12"}),
        leak({"readings": "0 200; 6 150; 24 40", "space": "8 L", "working": "50"}),
    ):
        figures = [f for s in answer.sections for f in s.figures]
        assert figures
        assert all(f.sources and f.equation for f in figures)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"vessel": "no such"}, "vessel"),
        ({"holder": "no such"}, "holder"),
        ({"slurry": "99 L"}, "slurry"),
        ({"relief_depth": "-4 mm"}, "relief_depth"),
    ],
)
def test_what_cannot_be_used_is_named(typed: dict[str, str], field: str) -> None:
    assert set(gas_train(typed).problems) == {field}


def test_hours_that_are_none_are_named() -> None:
    assert "hours from 0 to 23" in gas_train({"uses": "7 25"}).problems["uses"].allowed


def test_a_leak_is_judged_on_its_page(here: Client) -> None:
    typed = {"readings": "0 200; 6 150; 12 100; 24 20", "space": "8 L", "accepted": "50 mL/d"}
    page = here.get("/leak/", typed).content.decode()
    assert "It leaks" in page
    assert "never with a flame" in page


def test_without_readings_the_leak_page_says_what_to_do(here: Client) -> None:
    page = here.get("/leak/").content.decode()
    assert "look again later" in page
    # Shutting a working digester in for the test is the danger here.
    assert "relief free" in page
    assert "Never close a vessel that cannot breathe" in page


def test_two_readings_are_too_few_and_words_are_no_numbers() -> None:
    few = leak({"readings": "0 200; 24 100", "space": "8 L"})
    assert set(few.problems) == {"readings"}
    words = leak({"readings": "0 200; noon 150; 24 100", "space": "8 L"})
    assert set(words.problems) == {"readings"}


def test_a_missing_gas_space_is_asked_for() -> None:
    assert set(leak({"readings": "0 200; 6 150; 24 100"}).problems) == {"space"}


def test_a_run_s_sinking_holder_is_judged(here: Client, run: Run) -> None:
    typed = {"way": "level", "readings": "0 200; 8 150; 24 60"}
    answer = leak(typed, run=run)
    assert answer.sentence.startswith("It leaks")
    assert here.get(f"/runs/{run.pk}/leak/", typed).status_code == 200


def test_units_may_be_written_with_the_readings() -> None:
    typed = {"readings": "0 h, 2 kPa, 20 C, 101.3 kPa\n6 h, 1.6 kPa\n1 d, 0.5 kPa", "space": "8 L"}
    assert leak(typed).sections


def test_the_page_draws_the_train_unless_it_is_refused(here: Client) -> None:
    page = here.get("/gas-train/", {"relief": "seal", "relief_depth": "200 mm"}).content.decode()
    assert 'class="vessel sketch"' in page
    assert "dips 20.0 cm into water and leads outdoors" in page
    assert "sketch" not in here.get("/gas-train/", {"relief": "none"}).content.decode()
