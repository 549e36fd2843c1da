"""Laws of the notebook: nothing is lost or doubled by importing, exporting and restoring."""

import io
import string
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.core.management import call_command
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from marshlight.errors import MarshlightError
from marshlight.notebook.archive import TABLES, restore, write_archive
from marshlight.notebook.importing import (
    read_table,
    suggest_layout,
    take_in,
)
from marshlight.notebook.importing.dates import read_date
from marshlight.notebook.importing.numbers import settled
from marshlight.notebook.keepable import keepable
from marshlight.notebook.kinds import READINGS
from marshlight.notebook.models import Reading, Run, Site, Vessel
from marshlight.notebook.plain import to_plain
from marshlight.notebook.recording import correct, history, record_event, record_reading, retract
from marshlight.units import from_unit

START = datetime(2026, 4, 1, 8, tzinfo=UTC)
QUICK = settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
WORDS = st.text(max_size=40)
MOMENTS = st.integers(0, 60 * 24 * 90).map(lambda minutes: START + timedelta(minutes=minutes))
PLAIN = [k for k in READINGS.values() if k.measure is not None and not k.details and k.required]


@st.composite
def numbers(draw: st.DrawFn) -> tuple[str, float]:
    """Draw a kind of reading and a value it can have, in its stated unit."""
    kind = draw(st.sampled_from(PLAIN))
    assert kind.measure is not None
    low, high = kind.measure.usual or (0.0, 10.0)
    base = draw(st.floats(max(low, 0.0), high, allow_subnormal=False))
    step = from_unit(1.0, kind.measure.unit, kind.measure.quantity)
    zero = from_unit(0.0, kind.measure.unit, kind.measure.quantity)
    return kind.key, (base - zero) / (step - zero)


ACTS = st.lists(
    st.tuples(
        st.sampled_from(["read", "flame", "feed", "note", "correct", "retract", "change"]),
        numbers(),
        MOMENTS,
        WORDS,
    ),
    max_size=14,
)


def _run() -> Run:
    site = Site.objects.create(name="Bench", altitude_m=640.0)
    vessel = Vessel.objects.create(name="Drum", site=site, volume_m3=0.025)
    return Run.objects.create(name="Goat 1", site=site, vessel=vessel, started_at=START)


def _act(run: Run, act: tuple[str, tuple[str, float], datetime, str]) -> None:
    what, (kind, value), at, words = act
    newest = Reading.objects.newest().order_by("entered_at", "id").last()
    if what == "read":
        record_reading(run, kind, value, at=at, note=words)
    elif what == "flame":
        record_reading(run, "flame", detail={"answer": "holds"}, at=at, note=words)
    elif what == "feed":
        parts = [{"feedstock": "bread_stale", "mass_kg": 0.25}]
        record_event(run, "feed", detail={"parts": parts}, at=at, note=words)
    elif what == "note":
        record_event(run, "note", note=keepable(words).strip() or "seen", at=at)
    elif what == "correct" and newest is not None:
        correct(newest, at=at, reason=keepable(words).strip() or "misread")
    elif what == "retract" and newest is not None:
        retract(newest, reason=keepable(words).strip() or "wrong drum")
    elif what == "change":
        run.notes = words
        run.save(why=words[:100])


def _everything() -> dict[str, list[dict[str, Any]]]:
    return {
        name: [to_plain(row) for row in model._base_manager.order_by("pk")]
        for name, model in TABLES.items()
    }


@pytest.mark.django_db
@given(acts=ACTS)
@QUICK
def test_an_exported_notebook_restores_to_the_same_notebook(acts: list[Any]) -> None:
    with transaction.atomic():
        run = _run()
        for act in acts:
            _act(run, act)
        before, first, second = _everything(), io.BytesIO(), io.BytesIO()
        tables = write_archive(first)["tables"]
        call_command("flush", interactive=False, verbosity=0)
        restore(first)
        assert _everything() == before
        assert write_archive(second)["tables"] == tables
        transaction.set_rollback(True)


@pytest.mark.django_db
@given(acts=ACTS)
@QUICK
def test_whatever_is_corrected_the_first_words_stay_and_one_version_counts(acts: list[Any]) -> None:
    with transaction.atomic():
        run = _run()
        written: dict[Any, dict[str, Any]] = {}
        for act in acts:
            _act(run, act)
            for row in Reading.objects.all():
                written.setdefault(row.pk, to_plain(row))
        assert {row.pk: to_plain(row) for row in Reading.objects.all()} == written
        for first in Reading.objects.filter(version=1):
            versions = history(first)
            assert [v.version for v in versions] == list(range(1, len(versions) + 1))
            assert sum(v.is_current for v in versions) == (not versions[-1].retracted)
        transaction.set_rollback(True)


@pytest.mark.django_db
@given(
    rows=st.lists(
        st.tuples(MOMENTS, st.floats(0, 400).map(lambda v: round(v, 3)), st.floats(0, 14)),
        min_size=1,
        max_size=30,
        unique_by=lambda row: row[0],
    ),
    comma=st.booleans(),
)
@QUICK
def test_an_imported_log_holds_every_number_once_however_often_it_is_brought(
    rows: list[tuple[datetime, float, float]], comma: bool
) -> None:
    def written(value: float) -> str:
        return repr(value).replace(".", ",") if comma else repr(value)

    # An unmistakable first row settles the decimal sign, as a long enough log does.
    lines = [f"2026-03-31 08:00;{written(0.5)};{written(7.5)}"]
    lines += [f"{at:%Y-%m-%d %H:%M};{written(v)};{written(round(p, 2))}" for at, v, p in rows]
    text = "time;level (mm);pH\n" + "\n".join(lines) + "\n"
    with transaction.atomic():
        run = _run()
        table = read_table(text.encode(), "log.csv")
        layout = suggest_layout(table)
        taken = [take_in(run, table, layout).added for _ in range(2)]
        assert taken == [2 * len(rows) + 2, 0]
        levels = Reading.objects.filter(kind="level").order_by("at").values_list("value", flat=True)
        expected = [0.5, *(v for _, v, _ in sorted(rows))]
        assert list(levels) == pytest.approx([v / 1000.0 for v in expected], rel=1e-12)
        transaction.set_rollback(True)


@given(data=st.binary(max_size=400))
@settings(max_examples=200, deadline=None)
def test_no_file_makes_the_reader_fall_over(data: bytes) -> None:
    with suppress(MarshlightError):
        suggest_layout(read_table(data, "log"))


@given(text=st.text(string.printable, max_size=30), order=st.sampled_from(["ymd", "dmy", "mdy"]))
@settings(max_examples=200, deadline=None)
def test_no_text_makes_the_date_reader_fall_over(text: str, order: str) -> None:
    with suppress(MarshlightError):
        assert read_date(text, order, field="time").year > 0


@given(
    at=st.datetimes(datetime(1970, 1, 1), datetime(2099, 12, 31)),  # noqa: DTZ001  a site's clock
    order=st.sampled_from(["dmy", "mdy"]),
)
def test_a_date_that_was_written_is_read_back(at: datetime, order: str) -> None:
    at = at.replace(second=0, microsecond=0)
    pattern = {"dmy": "%d/%m/%Y %H:%M", "mdy": "%m/%d/%Y %H:%M"}[order]
    assert read_date(at.strftime(pattern), order, field="time") == at
    assert read_date(at.isoformat(), order, field="time") == at


@given(value=st.floats(-1e6, 1e6).map(lambda v: round(v, 4)))
def test_a_number_with_thousands_signs_reads_the_same_in_both_customs(value: float) -> None:
    english = f"{value:,.4f}"
    other = english.translate(str.maketrans({",": ".", ".": ","}))
    assert float(settled(english, ".")) == float(settled(other, ",")) == value
