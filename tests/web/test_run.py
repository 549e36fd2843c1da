"""A run's page: how is it, what will it do, what should I do?"""

import json
import re
import uuid

import pytest
from django.test import Client
from django.utils import timezone

from marshlight.answers.run import run_page
from marshlight.notebook.models import Person, Reading, Run, Site
from marshlight.notebook.recording import correct, record_reading

pytestmark = pytest.mark.django_db


def _payload(page: str, chart: str) -> dict[str, object]:
    found = re.search(rf'<script id="{chart}-data" type="application/json">(.*?)</script>', page)
    assert found
    return json.loads(found.group(1))


def test_the_page_has_drawing_sentence_curve_conditions_log_set_up_and_cautions(
    here: Client, run: Run
) -> None:
    page = here.get(f"/runs/{run.pk}/").content.decode()
    for words in (
        "Drum 1 in section",
        "What to do",
        "Per day as a table",
        "Slurry 36.8 °C at the last look",
        "Readings and events",
        "holds a flame",
        "inner diameter",
        "The gas can explode",
        "Sources behind these figures",
    ):
        assert words in page, words


def test_the_gas_chart_carries_points_with_doubt_line_bands_and_marks(
    here: Client, run: Run
) -> None:
    chart = _payload(here.get(f"/runs/{run.pk}/").content.decode(), "gas")
    assert [view["key"] for view in chart["views"]] == ["total", "daily"]
    total = chart["views"][0]
    points, bands = total["points"][0], total["bands"]
    assert points["value"] == sorted(points["value"])
    assert all(
        lo <= v <= hi
        for lo, v, hi in zip(*(points[k] for k in ("low", "value", "high")), strict=True)
    )
    order = ("low95", "low50", "high50", "high95")
    assert all(a <= b <= c <= d for a, b, c, d in zip(*(bands[k] for k in order), strict=True))
    assert {mark["kind"] for mark in chart["marks"]} == {"charge", "holder_emptied"}
    assert chart["today"] == pytest.approx(8.04, abs=0.05)


def test_table_and_sentence_say_what_the_picture_shows(run: Run) -> None:
    page = run_page(run, now=timezone.now())
    view = page.charts[0].first
    assert len(view.table.rows) == len(view.points[0].day)
    assert "of gas so far" in view.sentence
    assert "is expected (19 in 20)" in view.sentence


def test_nothing_is_drawn_between_readings_of_temperature(run: Run) -> None:
    chart = next(c for c in run_page(run, now=timezone.now()).charts if c.key == "temperature")
    assert chart.first.line is None
    assert chart.first.bands is None


def test_us_units_reach_every_figure(here: Client, run: Run) -> None:
    here.post(f"/units/{run.site_id}/", {"units": "us", "next": f"/runs/{run.pk}/"})
    page = here.get(f"/runs/{run.pk}/").content.decode()
    assert "98.2 °F" in page
    assert "°C" not in re.sub(r"dry at 0 °C|thermostat at 37.0 °C", "", page.split("<footer")[0])
    assert Site.objects.get(pk=run.site_id).history().last().why == "units switched on a page"


def test_a_correction_is_marked_in_the_timeline_with_its_reason(
    here: Client, run: Run, keeper: Person
) -> None:
    newest = Reading.objects.filter(run=run, kind="level").order_by("-at").first()
    assert newest is not None
    correct(newest, value="180 mm", reason="foam on the scale", by=keeper)
    page = here.get(f"/runs/{run.pk}/").content.decode()
    assert "corrected: foam on the scale" in page
    assert "History of holder level" in page


def test_a_long_log_is_paged_newest_first(here: Client, run: Run, keeper: Person) -> None:
    for i in range(30):
        record_reading(run, "ph", f"{7 + i / 100}", at=timezone.now(), by=keeper)
    first = here.get(f"/runs/{run.pk}/").content.decode()
    assert "Older" in first
    assert "pH 7.3" in first.replace("</strong> <span>", " ")
    last = here.get(f"/runs/{run.pk}/?records=99").content.decode()
    assert "Charged" in last
    assert here.get(f"/runs/{run.pk}/?records=nonsense").status_code == 200


def test_an_unknown_run_is_not_found_in_words(here: Client) -> None:
    answer = here.get(f"/runs/{uuid.uuid4()}/")
    assert answer.status_code == 404
    assert "No such page" in answer.content.decode()


def test_a_page_has_no_inline_style_or_script(here: Client, run: Run) -> None:
    for address in ("/", f"/runs/{run.pk}/", f"/runs/{run.pk}/log/reading/level/", "/sources/"):
        page = here.get(address).content.decode()
        scripts = re.findall(r"<script(?![^>]*(?:src=|application/json))", page)
        assert scripts == [], address
        assert not re.search(r"<style|\sstyle=|\son\w+=", page), address


def test_what_was_typed_is_shown_never_run(here: Client, run: Run, keeper: Person) -> None:
    record_reading(run, "ph", "7.0", note="<script>alert(1)</script>", by=keeper)
    run.name = '"><img src=x>'
    run.save(by=keeper)
    page = here.get(f"/runs/{run.pk}/").content.decode()
    assert "<script>alert" not in page
    assert "<img src=x" not in page


def test_opening_a_run_again_takes_few_queries(
    here: Client, run: Run, django_assert_max_num_queries: object
) -> None:
    here.get(f"/runs/{run.pk}/")
    with django_assert_max_num_queries(20):  # type: ignore[operator]
        here.get(f"/runs/{run.pk}/")
