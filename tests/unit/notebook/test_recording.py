"""Readings and events are kept as entered, doubted aloud, corrected by new versions."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from marshlight.errors import InputError, NotebookError
from marshlight.notebook.models import Event, Lot, Person, Reading, Run
from marshlight.notebook.recording import (
    Kept,
    correct,
    history,
    record_event,
    record_reading,
    retract,
)
from unit.notebook.conftest import day

pytestmark = pytest.mark.django_db


def _doubts(kept: Kept) -> list[str]:
    return [doubt.about for doubt in kept.doubts]


def test_a_reading_keeps_base_units_and_the_text_as_entered(run: Run, keeper: Person) -> None:
    kept = record_reading(run, "level", "10 in", at=day(1), by=keeper, note="windy")
    row = Reading.objects.get(pk=kept.record.pk)
    assert row.value == pytest.approx(0.254)
    assert (row.entered, row.unit, row.note, row.entered_by) == ("10 in", "mm", "windy", keeper)
    assert kept.doubts == ()


def test_a_bare_number_takes_the_kinds_own_unit_or_the_one_given(run: Run) -> None:
    assert record_reading(run, "level", 120, at=day(1)).record.value == pytest.approx(0.120)
    inches = record_reading(run, "level", "6", unit="in", at=day(2)).record
    assert inches.value == pytest.approx(0.1524)
    assert inches.unit == "in"


def test_a_time_without_a_zone_is_the_sites_clock(run: Run) -> None:
    row = record_reading(run, "ph", 7, at="2026-05-03 08:00").record
    assert row.at == datetime(2026, 5, 3, 6, tzinfo=UTC)


def test_a_time_that_the_sites_clock_jumped_over_is_refused(run: Run) -> None:
    with pytest.raises(InputError, match="went forward"):
        record_reading(run, "ph", 7, at="2026-03-29 02:30")


@pytest.mark.parametrize(
    ("kind", "value", "detail", "field"),
    [
        ("ph", "15", {}, "pH"),
        ("level", None, {}, "holder level"),
        ("level", "ten", {}, "holder level"),
        ("level", "3 kg", {}, "holder level"),
        ("slurry_temperature", "nan", {}, "slurry temperature"),
        ("flame", None, {}, "flame"),
        ("flame", None, {"answer": "maybe"}, "flame"),
        ("lab", "3 %", {}, "what was measured"),
        ("ph", "7", {"colour": "green"}, "pH"),
        ("colour", "7", {}, "kind of reading"),
        ("analyser", "140 %", {}, "gas analyser, methane"),
    ],
)
def test_what_cannot_be_is_refused_naming_the_field(
    run: Run, kind: str, value: str | None, detail: dict[str, str], field: str
) -> None:
    with pytest.raises(InputError) as caught:
        record_reading(run, kind, value, detail=detail)
    assert caught.value.field == field
    assert caught.value.allowed
    assert caught.value.remedy
    assert Reading.objects.count() == 0


def test_words_are_understood_however_they_are_written(run: Run) -> None:
    for text in ("holds", "Holds a flame", "HOLDS"):
        row = record_reading(run, "flame", detail={"answer": text}, at=day(2)).record
        assert row.detail["answer"] == "holds"


def test_a_lab_result_is_read_in_the_unit_of_what_was_measured(run: Run) -> None:
    solids = record_reading(run, "lab", "8.4", detail={"analyte": "TS"}, at=day(1)).record
    acids = record_reading(run, "lab", "1200", detail={"analyte": "acids"}, at=day(1)).record
    assert solids.value == pytest.approx(0.084)
    assert acids.value == pytest.approx(1.2)


def test_details_are_kept_in_base_units_beside_their_text(run: Run) -> None:
    row = record_reading(
        run,
        "titration",
        detail={"sample": "20 mL", "acid_normality": "0.1", "acid_to_5_0": 4.1},
        at=day(1),
    ).record
    assert row.detail["sample"] == pytest.approx(20e-6)
    assert row.detail["acid_to_5_0"] == pytest.approx(4.1e-6)
    assert row.detail["entered"] == {"sample": "20 mL", "acid_normality": "0.1"}


@pytest.mark.parametrize(
    ("about", "kind", "value", "at"),
    [
        ("unusual", "ph", "3.1", 1.0),
        ("too_high", "level", "305 mm", 1.0),
        ("before_start", "ph", "7", -2.0),
    ],
)
def test_odd_readings_are_kept_with_a_doubt(
    run: Run, about: str, kind: str, value: str, at: float
) -> None:
    kept = record_reading(run, kind, value, at=day(at))
    assert _doubts(kept) == [about]
    assert Reading.objects.count() == 1


def test_a_time_in_the_future_is_doubted(run: Run) -> None:
    later = timezone.now() + timedelta(hours=2)
    assert _doubts(record_reading(run, "ph", "7", at=later)) == ["future"]


def test_a_jump_is_doubted_with_the_last_value(run: Run) -> None:
    record_reading(run, "ph", "7.2", at=day(1))
    kept = record_reading(run, "ph", "5.9", at=day(2))
    assert _doubts(kept) == ["jump"]
    assert "7.2" in kept.doubts[0].text
    assert "1.3" in kept.doubts[0].text


def test_a_counter_that_runs_backwards_is_doubted(run: Run) -> None:
    record_reading(run, "counter", "120 L", at=day(1))
    assert _doubts(record_reading(run, "counter", "90 L", at=day(2))) == ["backwards"]


def test_a_holder_that_sinks_is_doubted_unless_gas_was_let_out(run: Run) -> None:
    record_reading(run, "level", "200 mm", at=day(1))
    assert _doubts(record_reading(run, "level", "150 mm", at=day(2))) == ["fell"]
    record_event(run, "gas_used", "1 L", at=day(2.5))
    assert _doubts(record_reading(run, "level", "90 mm", at=day(3))) == []


def test_a_charge_adds_up_its_parts_and_starts_the_run(run: Run) -> None:
    run.started_at = None
    run.save(why="not yet charged")
    lot = Lot.objects.create(name="Goat", site=run.site, library_key="goat_manure")
    parts = [{"lot": str(lot.pk), "mass": "5 kg"}, {"feedstock": "stale bread", "mass_kg": 0.5}]
    row = record_event(run, "charge", detail={"parts": parts, "water": "11 L"}, at=day(0)).record
    assert row.value == pytest.approx(16.5)
    assert row.detail["parts"][1]["feedstock"] == "bread_stale"
    run.refresh_from_db()
    assert run.started_at == day(0)
    assert run.history().last().why == "charged"


def test_a_charge_from_a_lot_that_is_not_there_is_refused(run: Run) -> None:
    parts = [{"lot": str(uuid.uuid4()), "mass": "5 kg"}]
    with pytest.raises(InputError, match="lot of this notebook"):
        record_event(run, "charge", detail={"parts": parts}, at=day(0))
    assert Event.objects.count() == 0


def test_an_end_ends_the_run_and_retracting_it_opens_the_run_again(run: Run) -> None:
    end = record_event(run, "end", at=day(30)).record
    run.refresh_from_db()
    assert run.ended_at == day(30)
    retract(end, reason="it still gives gas")
    run.refresh_from_db()
    assert run.ended_at is None


def test_a_run_cannot_end_before_it_started(run: Run) -> None:
    with pytest.raises(InputError, match="after its start"):
        record_event(run, "end", at=day(-1))
    assert Event.objects.count() == 0


def test_correcting_the_time_of_the_charge_that_started_a_run_moves_its_start(run: Run) -> None:
    run.started_at = None
    run.save(why="not yet charged")
    parts = [{"feedstock": "goat_manure", "mass": "5 kg"}]
    charge = record_event(run, "charge", detail={"parts": parts}, at=day(0)).record
    correct(charge, at=day(1), reason="charged a day later")
    run.refresh_from_db()
    assert run.started_at == day(1)


def test_an_empty_note_is_refused(run: Run) -> None:
    with pytest.raises(InputError, match="note"):
        record_event(run, "note", at=day(1))


def test_sending_the_same_record_twice_keeps_it_once(run: Run) -> None:
    ident = uuid.uuid4()
    first = record_reading(run, "ph", "7.1", record_id=ident)
    again = record_reading(run, "ph", "7.1", record_id=ident)
    assert (first.added, again.added) == (True, False)
    assert again.record.pk == first.record.pk == ident
    assert Reading.objects.count() == 1


def test_an_id_may_be_text_but_must_be_a_uuid(run: Run) -> None:
    ident = str(uuid.uuid4())
    assert str(record_reading(run, "ph", "7.1", record_id=ident).record.pk) == ident
    assert not record_reading(run, "ph", "7.1", record_id=ident).added
    with pytest.raises(InputError, match="UUID"):
        record_reading(run, "ph", "7.1", record_id="7")


def test_what_no_database_keeps_is_left_out_of_a_note(run: Run) -> None:
    row = record_reading(run, "ph", "7.1", note="fizz\x00y \ud83d end").record
    row.refresh_from_db()
    assert row.note == "fizzy ? end"


def test_one_id_for_two_different_records_is_refused(run: Run) -> None:
    ident = uuid.uuid4()
    record_reading(run, "ph", "7.1", at=day(1), record_id=ident)
    with pytest.raises(NotebookError, match="other contents"):
        record_reading(run, "ph", "7.3", at=day(1), record_id=ident)


def test_a_correction_is_a_new_version_that_points_to_the_old_one(run: Run, keeper: Person) -> None:
    old = record_reading(run, "level", "210 mm", at=day(1)).record
    new = correct(old, value="201 mm", reason="digits swapped", by=keeper).record
    assert [(v.version, v.entered) for v in history(new)] == [(1, "210 mm"), (2, "201 mm")]
    assert new.supersedes == old
    assert (new.reason, new.entered_by) == ("digits swapped", keeper)
    assert list(Reading.objects.current()) == [new]
    assert not old.is_current
    assert new.is_current


def test_a_correction_of_the_time_keeps_the_rest(run: Run) -> None:
    old = record_reading(
        run, "tube", "800 ppm", detail={"gas": "hydrogen sulfide"}, note="first", at=day(1)
    ).record
    new = correct(old, at=day(2), reason="wrong day").record
    assert (new.value, new.detail, new.note) == (old.value, old.detail, old.note)
    assert new.at == day(2)


def test_a_corrected_value_keeps_details_that_were_already_in_base_units(run: Run) -> None:
    old = record_reading(
        run, "weighed_gas", "1.2 g", detail={"gas_volume": "1 L"}, at=day(1)
    ).record
    new = correct(old, value="1.3 g", reason="scale not level").record
    assert new.detail["gas_volume"] == pytest.approx(1e-3)


def test_a_corrected_detail_keeps_the_value(run: Run) -> None:
    old = record_event(run, "dose", "14 g", detail={"substance": "soda"}, at=day(1)).record
    new = correct(old, detail={"substance": "bicarbonate"}, reason="wrong packet").record
    assert new.value == pytest.approx(0.014)
    assert new.detail == {"substance": "bicarbonate"}


def test_a_correction_needs_a_reason(run: Run) -> None:
    old = record_reading(run, "ph", "7.1", at=day(1)).record
    with pytest.raises(InputError, match="reason"):
        correct(old, value="7.2", reason="  ")
    with pytest.raises(InputError, match="reason"):
        retract(old, reason="")


def test_only_the_newest_version_can_be_corrected(run: Run) -> None:
    old = record_reading(run, "ph", "7.1", at=day(1)).record
    correct(old, value="7.2", reason="misread")
    with pytest.raises(NotebookError, match="newest version"):
        correct(old, value="7.3", reason="misread too")
    assert len(history(old)) == 2


def test_a_retracted_record_counts_no_more_and_can_be_brought_back(run: Run) -> None:
    old = record_reading(run, "ph", "7.1", at=day(1)).record
    gone = retract(old, reason="wrong drum").record
    assert not Reading.objects.current().exists()
    assert list(Reading.objects.newest()) == [gone]
    back = correct(gone, value="7.1", reason="right drum after all").record
    assert list(Reading.objects.current()) == [back]
    assert [v.retracted for v in history(back)] == [False, True, False]


def test_sending_the_same_correction_twice_keeps_it_once(run: Run) -> None:
    old = record_reading(run, "ph", "7.1", at=day(1)).record
    ident = uuid.uuid4()
    correct(old, value="7.2", reason="misread", record_id=ident)
    again = correct(old, value="7.2", reason="misread", record_id=ident)
    assert not again.added
    assert len(history(old)) == 2
