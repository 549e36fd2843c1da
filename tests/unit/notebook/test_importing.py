"""A log from a file is kept whole or not at all, and never twice."""

import io
from datetime import UTC, datetime

import openpyxl
import pytest

from marshlight.errors import InputError
from marshlight.notebook.importing import (
    Column,
    ImportCancelledError,
    ImportRefusedError,
    Layout,
    earlier_layout,
    preview,
    read_table,
    suggest_layout,
    take_in,
    understand_table,
)
from marshlight.notebook.models import Event, ImportBatch, Person, Reading, Run
from marshlight.notebook.recording import correct, record_reading, retract
from unit.notebook.conftest import START

pytestmark = pytest.mark.django_db

CLEAN = """time,level (mm),slurry temperature (F),pH,flame,notes
2026-04-02 08:00,31,97.5,7.1,will not light,
2026-04-03 08:00,80,98,,lights and dies,stirred by hand
2026-04-04 08:00,150,98.6,7.0,holds,
"""
BAD = """time,level (mm),pH
2026-04-02 08:00,31,7.1
2026-04-03 08:00,eighty,70
2026-02-30 08:00,150,7.0
,160,7.0
2026-04-05 08:00,170,6.9
"""


def _read(text: str, zone: str = "UTC") -> tuple[object, Layout]:
    table = read_table(text.encode(), "log.csv")
    return table, suggest_layout(table, zone=zone)


def _take(run: Run, text: str, **more: object) -> object:
    table, layout = _read(text)
    return take_in(run, table, layout, **more)


def test_a_clean_log_is_kept_with_units_words_and_notes(run: Run, keeper: Person) -> None:
    taken = _take(run, CLEAN, by=keeper)
    assert (taken.added, taken.already_kept, taken.left_out) == (12, 0, ())
    levels = Reading.objects.filter(kind="level").order_by("at")
    assert [r.value for r in levels] == pytest.approx([0.031, 0.080, 0.150])
    assert [r.entered for r in levels] == ["31", "80", "150"]
    warm = Reading.objects.filter(kind="slurry_temperature").order_by("at").first()
    assert warm.value == pytest.approx((97.5 - 32) / 1.8)
    assert warm.unit == "F"
    flames = Reading.objects.filter(kind="flame").order_by("at")
    assert [r.detail["answer"] for r in flames] == ["will_not_light", "lights_and_dies", "holds"]
    note = Event.objects.get(kind="note")
    assert (note.note, note.at) == ("stirred by hand", datetime(2026, 4, 3, 8, tzinfo=UTC))
    assert {r.batch for r in levels} == {taken.batch}
    assert {r.entered_by for r in levels} == {keeper}


def test_an_imported_reading_is_the_same_as_one_written_by_hand(run: Run) -> None:
    _take(run, "time,level (mm)\n2026-04-02 08:00,31\n")
    imported = Reading.objects.get()
    written = record_reading(run, "level", "31", unit="mm", at=imported.at).record
    same = ("at", "kind", "value", "unit", "entered", "detail", "fingerprint", "version", "reason")
    assert [getattr(imported, f) for f in same] == [getattr(written, f) for f in same]
    assert imported.first_id == imported.pk
    assert correct(imported, value="32", reason="misread").record.version == 2


def test_every_bad_cell_is_named_with_its_row_and_reason(run: Run) -> None:
    with pytest.raises(ImportRefusedError) as caught:
        _take(run, BAD)
    bad = caught.value.understood.bad
    assert [(b.row, b.field, b.value) for b in bad] == [
        (3, "level (mm)", "eighty"),
        (3, "pH", "70"),
        (4, "time", "2026-02-30 08:00"),
        (5, "time", ""),
    ]
    assert all("allowed" in b.reason for b in bad)
    assert "3 of 5 rows" in str(caught.value)


def test_nothing_of_a_file_with_a_bad_row_is_kept(run: Run) -> None:
    with pytest.raises(ImportRefusedError):
        _take(run, BAD)
    assert Reading.objects.count() == ImportBatch.objects.count() == 0


def test_bad_rows_are_left_out_only_when_each_is_named(run: Run) -> None:
    with pytest.raises(ImportRefusedError, match="1 of 5 rows"):
        _take(run, BAD, leave_out=[3, 4])
    taken = _take(run, BAD, leave_out=[3, 4, 5])
    assert taken.added == 4
    assert Reading.objects.count() == 4
    assert {row["row"] for row in taken.batch.rows_left_out} == {3, 4, 5}


def test_bringing_the_same_file_again_adds_nothing(run: Run) -> None:
    _take(run, CLEAN)
    again = _take(run, CLEAN)
    assert (again.added, again.already_kept, again.batch) == (0, 12, None)
    assert ImportBatch.objects.count() == 1


def test_a_longer_copy_of_a_log_adds_only_its_new_rows(run: Run) -> None:
    _take(run, CLEAN)
    longer = _take(run, CLEAN + "2026-04-05 08:00,210,98.6,7.0,holds,\n")
    assert (longer.added, longer.already_kept) == (4, 12)


def test_a_row_that_was_corrected_or_retracted_does_not_come_back(run: Run) -> None:
    _take(run, CLEAN)
    first, second = Reading.objects.filter(kind="level").order_by("at")[:2]
    correct(first, value="35", reason="misread")
    retract(second, reason="the wrong drum")
    assert _take(run, CLEAN).added == 0
    assert Reading.objects.current().filter(kind="level").count() == 2


def test_a_row_that_stands_twice_in_a_file_is_kept_once(run: Run) -> None:
    taken = _take(run, "time,pH\n2026-04-02 08:00,7.1\n2026-04-02 08:00,7.1\n")
    assert (taken.added, taken.repeated_in_file) == (1, 1)


def test_two_different_readings_of_one_moment_are_both_kept(run: Run) -> None:
    assert _take(run, "time,pH\n2026-04-02 08:00,7.1\n2026-04-02 08:00,7.3\n").added == 2


def test_stopping_half_way_keeps_nothing(run: Run) -> None:
    rows = "".join(f"2026-04-02 {h:02d}:{m:02d},{h + m}\n" for h in range(24) for m in range(60))
    asked: list[int] = []

    def stop_while_writing() -> bool:
        asked.append(1)
        return len(asked) > 2

    with pytest.raises(ImportCancelledError):
        _take(run, "time,level (mm)\n" + rows, cancelled=stop_while_writing)
    assert len(asked) == 3
    assert Reading.objects.count() == ImportBatch.objects.count() == 0


def test_progress_is_told_up_to_the_last_row(run: Run) -> None:
    told: list[tuple[int, int]] = []
    _take(run, CLEAN, progress=lambda done, total: told.append((done, total)))
    assert told[-1] == (3, 3)


def test_a_preview_shows_rows_as_they_would_be_kept_and_keeps_nothing(run: Run) -> None:
    table, layout = _read("time,level (in)\n2026-07-02 08:00,10\n", zone="Europe/Paris")
    lines = preview(understand_table(run, table, layout), run)
    assert lines == [
        {
            "row": 2,
            "at": "2026-07-02 08:00+02:00",
            "kind": "level",
            "words": "holder level",
            "shown": "25.4 cm",
            "entered": "10",
        }
    ]
    assert Reading.objects.count() == 0


def test_days_since_the_start_become_times(run: Run) -> None:
    taken = _take(run, 'day,cumulative biogas (mL)\n0,0\n1,"1,200"\n2.5,3150\n')
    assert taken.added == 3
    last = Reading.objects.order_by("at").last()
    assert (last.at - START).total_seconds() == 2.5 * 86400
    assert (last.kind, last.value) == ("counter", pytest.approx(3.15e-3))


def test_hours_since_the_start_become_times(run: Run) -> None:
    assert _take(run, "time (h),pH\n12,7.1\n36,7.0\n").added == 2
    last = Reading.objects.order_by("at").last()
    assert (last.at - START).total_seconds() == 36 * 3600


def test_a_point_is_a_thousands_sign_where_the_comma_is_decimal(run: Run) -> None:
    _take(run, "time;counter (L)\n2026-04-02 08:00;0,5\n2026-04-03 08:00;1.234\n")
    values = Reading.objects.order_by("at").values_list("value", flat=True)
    assert list(values) == pytest.approx([0.0005, 1.234])


@pytest.mark.parametrize("cell", ["inf", "-inf", "1e999", "1_000", "0x10", "1e", "--5"])
def test_what_only_a_computer_would_read_as_a_number_is_a_bad_cell(run: Run, cell: str) -> None:
    table, layout = _read(f"time,counter (L)\n2026-04-02 08:00,{cell}\n")
    assert [b.value for b in understand_table(run, table, layout).bad] == [cell]


@pytest.mark.parametrize("cell", ["", "-", "n/a", "NaN", "null"])
def test_a_gap_in_a_column_of_numbers_adds_nothing(run: Run, cell: str) -> None:
    taken = _take(run, f"time,pH,level (mm)\n2026-04-02 08:00,{cell},30\n")
    assert taken.added == 1


def test_a_word_that_is_no_answer_is_a_bad_cell_and_no_gap(run: Run) -> None:
    table, layout = _read("time,flame\n2026-04-02 08:00,none\n")
    bad = understand_table(run, table, layout).bad
    assert [(b.field, b.value) for b in bad] == [("flame", "none")]
    assert "will not light" in bad[0].reason


def test_days_need_a_run_that_has_started(run: Run) -> None:
    run.started_at = None
    run.save(why="planned only")
    with pytest.raises(InputError, match="run with a start"):
        _take(run, "day,pH\n1,7\n")


def test_a_column_of_feeds_from_one_lot_becomes_feeds(run: Run) -> None:
    table, layout = _read("date,bread (kg)\n2026-04-05,0.25\n2026-04-08,0.30\n")
    columns = (
        layout.columns[0],
        Column(1, "bread (kg)", "event", "feed", "kg", {"feedstock": "bread_stale"}),
    )
    taken = take_in(run, table, Layout(columns, "UTC", layout.date_order, layout.decimal))
    feed = Event.objects.order_by("at").first()
    assert taken.added == 2
    assert feed.value == pytest.approx(0.25)
    assert feed.detail["parts"] == [{"mass_kg": 0.25, "feedstock": "bread_stale"}]


def test_several_fed_columns_are_taken_from_the_library_or_kept_as_mass(run: Run) -> None:
    table, layout = _read("date,stale bread fed (kg),mystery fed (kg)\n2026-04-05,0.25,0.1\n")
    assert [q.about for q in layout.questions if q.about == "lot"] == ["lot", "lot"]
    assert take_in(run, table, layout).added == 2
    known, unknown = Event.objects.order_by("-value")
    assert known.detail["parts"] == [{"mass_kg": 0.25, "feedstock": "bread_stale"}]
    assert (unknown.value, unknown.detail) == (pytest.approx(0.1), {})


def test_a_column_of_lab_results_says_what_was_measured(run: Run) -> None:
    table, layout = _read("date,TS (%)\n2026-04-05,8.4\n")
    columns = (layout.columns[0], Column(1, "TS (%)", "reading", "lab", "%", {"analyte": "TS"}))
    take_in(run, table, Layout(columns, "UTC", layout.date_order, layout.decimal))
    row = Reading.objects.get()
    assert (row.value, row.detail["analyte"]) == (pytest.approx(0.084), "TS")


def test_rows_that_name_their_own_kind_are_understood(run: Run) -> None:
    taken = _take(
        run,
        "time,kind,value,unit\n"
        "2026-04-02 08:00,level,31,mm\n"
        "2026-04-02 08:05,slurry temperature,98,degF\n"
        "2026-04-02 08:06,flame,holds,\n"
        "2026-04-02 08:07,mix,,\n",
    )
    assert taken.added == 4
    assert set(Reading.objects.values_list("kind", flat=True)) == {
        "level",
        "slurry_temperature",
        "flame",
    }
    assert Event.objects.get().kind == "mix"


def test_a_spreadsheet_is_read_like_a_csv(run: Run) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Time", "Level (mm)", "Flame"])
    sheet.append([datetime(2026, 4, 2, 8), 31, "holds"])  # noqa: DTZ001  a sheet has no zones
    sheet.append([datetime(2026, 4, 3, 8), 80.5, None])  # noqa: DTZ001
    packed = io.BytesIO()
    book.save(packed)
    table = read_table(packed.getvalue(), "log.xlsx")
    taken = take_in(run, table, suggest_layout(table, zone="Europe/Paris"))
    assert taken.added == 3
    first, second = Reading.objects.filter(kind="level").order_by("at")
    assert (first.at, first.value, first.entered) == (
        datetime(2026, 4, 2, 6, tzinfo=UTC),
        0.031,
        "31",
    )
    assert second.value == pytest.approx(0.0805)


def test_the_hour_that_summer_time_skips_is_a_bad_row(run: Run) -> None:
    table, layout = _read("time,pH\n2026-03-29 02:30,7.0\n", zone="Europe/Paris")
    understood = understand_table(run, table, layout)
    assert "went forward" in understood.bad[0].reason


def test_odd_values_are_remarked_and_kept(run: Run) -> None:
    taken = _take(run, "time,pH\n2026-03-30 08:00,3.0\n2026-04-02 08:00,7\n2026-04-03 08:00,\n")
    assert taken.added == 2
    text = " ".join(taken.remarks)
    assert "1 record from before the run started" in text
    assert "(row 2)" in text
    assert "1 row without a reading" in text


def test_an_import_keeps_how_the_file_was_understood(run: Run) -> None:
    batch = _take(run, CLEAN).batch
    again = Layout.from_data(batch.columns)
    assert [c.kind for c in again.columns if c.use == "reading"] == [
        "level",
        "slurry_temperature",
        "ph",
        "flame",
    ]
    assert (batch.rows_in_file, batch.records_added) == (3, 12)


def test_a_file_with_the_same_headings_is_understood_as_last_time(run: Run) -> None:
    table, layout = _read("when,h\n02/04/2026 08:00,31\n03/04/2026 08:00,40\n")
    assert earlier_layout(run, table) is None
    columns = (layout.columns[0], Column(1, "h", "reading", "level", "cm"))
    chosen = Layout(columns, "Europe/Paris", "dmy", ".")
    take_in(run, table, chosen)
    next_week, _ = _read("when,h\n05/04/2026 08:00,12\n")
    assert earlier_layout(run, next_week) == chosen
    other, _ = _read("when,height\n05/04/2026 08:00,12\n")
    assert earlier_layout(run, other) is None


def test_a_doubtful_date_order_must_be_settled_first(run: Run) -> None:
    table, layout = _read("time,pH\n05/04/2026,7\n04/05/2026,7\n06/04/2026,7\n")
    assert layout.date_order == ""
    with pytest.raises(InputError, match="day and month"):
        take_in(run, table, layout)


def test_a_layout_without_a_time_or_a_reading_is_refused(run: Run) -> None:
    table, _ = _read("a,b\n1,2\n")
    with pytest.raises(InputError, match="date and time"):
        take_in(run, table, suggest_layout(table))
    with pytest.raises(InputError, match="reading or an event"):
        take_in(run, table, Layout((Column(0, "a", "day"),)))


def test_a_unit_that_does_not_fit_blocks_until_it_is_chosen(run: Run) -> None:
    table, layout = _read("time,level (kg)\n2026-04-02 08:00,31\n")
    assert [q.about for q in layout.questions if q.blocks] == ["unit"]
    with pytest.raises(InputError, match="length"):
        take_in(run, table, layout)
