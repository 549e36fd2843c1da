"""Inside the gas space: cautions first, the triangle with its words, no word for safe."""

import re
import threading

import pytest
from django.test import Client

from marshlight.answers.gas_space import gas_space
from marshlight.notebook.models import Person, Run, Site
from marshlight.notebook.recording import record_event
from marshlight.server import soon
from marshlight.server.pages import gas_space as page_module

pytestmark = pytest.mark.django_db


def test_cautions_stand_before_the_answer(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/gas-space/").content.decode()
    assert page.index("The gas can explode") < page.index('role="status"')
    assert "treat the inside as explosive" in page


def test_the_triangle_has_words_for_those_who_cannot_see_it(here: Client, site: Site) -> None:
    page = here.get("/gas-space/").content.decode()
    assert page.count('<svg class="triangle"') == 2
    assert page.count("<desc") == 2
    assert "passes through the explosive region" in page
    assert "The likely path in figures" in page


@pytest.mark.parametrize(
    ("made", "said"),
    [
        ("0 L", "There is little gas inside yet"),
        ("1.2 L", "The gas inside is explosive by these figures"),
        ("50 L", "opening it walks back through them"),
    ],
)
def test_the_answer_follows_the_gas_made(here: Client, site: Site, made: str, said: str) -> None:
    assert said in here.get("/gas-space/", {"made": made}).content.decode()


def test_gas_rich_in_carbon_dioxide_is_not_called_harmless(here: Client, site: Site) -> None:
    page = here.get("/gas-space/", {"methane": "20 %", "made": "4 L"}).content.decode()
    assert "treat the inside as explosive" in page.lower()
    assert "passes where sources disagree" in page


def test_no_page_on_gas_calls_anything_safe(here: Client, run: Run) -> None:
    for name in ("flame", "gas-space", "cleaning", "hygiene", "safety-sheet"):
        page = here.get(f"/runs/{run.pk}/{name}/").content.decode()
        text = re.sub(r"<[^>]+>", " ", page.split('<main id="content"')[1]).lower()
        said = re.findall(r"[^.]*\bsafe\b[^.]*", text)
        # Only denials: "does not make ... safe".
        assert all("not make" in sentence for sentence in said), said


def test_hydrogen_sulphide_binds_first_in_a_room(here: Client, site: Site) -> None:
    page = here.get("/gas-space/", {"h2s": "2000 ppm", "leak": "450 L/h"}).content.decode()
    assert "Hydrogen sulphide binds first, after 2 min" in page


def test_an_opened_seal_starts_the_way_again_in_air(here: Client, run: Run, keeper: Person) -> None:
    before = here.get(f"/runs/{run.pk}/gas-space/").content.decode()
    at = run.started_at
    assert at is not None
    record_event(run, "seal_opened", "5 min", at=at.replace(microsecond=0), by=keeper)
    after = here.get(f"/runs/{run.pk}/gas-space/").content.decode()
    assert "The seal stood open" not in before
    assert "reckoned as air again" in after


def test_typed_figures_replace_a_run_s_own(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/gas-space/", {"made": "0 L"}).content.decode()
    assert "There is little gas inside yet" in page


def test_a_leak_is_drawn_hour_by_hour_with_its_limit_and_more_air(here: Client, site: Site) -> None:
    typed = {"h2s": "2000 ppm", "leak": "450 L/h"}
    chart = gas_space(typed).room
    assert chart is not None
    assert [view.key for view in chart.views] == ["h2s", "ch4", "co2", "o2"]
    sulphide = chart.views[0]
    assert sulphide.guides[0].value == pytest.approx(1.0)
    assert sulphide.line is not None
    # Half a change an hour: after long, q y / (q + Q).
    assert sulphide.line.value[-1] == pytest.approx(2000.0 * 0.45 / 15.45, rel=0.01)
    assert sulphide.points[0].value[-1] < 0.1 * sulphide.line.value[-1]
    oxygen = chart.views[-1].line
    assert oxygen is not None
    assert oxygen.value[0] == pytest.approx(20.946)
    page = here.get("/gas-space/", typed).content.decode()
    assert "A leak, hour by hour" in page
    assert "limit 1 ppm" in page


def test_a_run_s_page_does_not_wait_for_the_model_and_shows_cautions_meanwhile(
    here: Client, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on = threading.Event()
    quick = page_module.answer_for({"methane": "60 %"})

    def slow(*_: object, **__: object) -> object:
        go_on.wait(20.0)
        return quick

    monkeypatch.setattr(page_module, "answer_for", slow)
    # The job's thread has no part in this test's transaction.
    monkeypatch.setattr(page_module, "lives_of_run", lambda *_, **__: None)
    monkeypatch.setattr(soon, "works_ahead", lambda: True)
    monkeypatch.setattr(soon, "PATIENCE_S", 0.05)
    address = f"/runs/{run.pk}/gas-space/"
    try:
        page = here.get(address).content.decode()
        assert "Following many lives" in page
        assert page.index("The gas can explode") < page.index('role="status"')
        assert f'hx-get="{address}"' in page
        go_on.set()
        monkeypatch.setattr(soon, "PATIENCE_S", 20.0)
        assert "The way on the triangle" in here.get(address).content.decode()
    finally:
        go_on.set()
        soon._jobs.clear()


def test_figures_typed_are_answered_in_their_place(
    here: Client, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("put off")

    monkeypatch.setattr(page_module, "asked_soon", never)
    typed = {"methane": "60 %", "space": "8 L", "made": "20 L"}
    page = here.get(f"/runs/{run.pk}/gas-space/", typed, headers={"HX-Target": "answer"})
    assert "typed are reckoned with" in page.content.decode()


def test_a_run_s_page_follows_the_lives_fitted_to_its_readings(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/gas-space/").content.decode()
    assert "Lives fitted to its readings" in page
