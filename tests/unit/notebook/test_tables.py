"""Files are read as people and loggers write them, and doubts are told."""

import pytest

from marshlight.errors import InputError
from marshlight.notebook.importing import Layout, read_table, suggest_layout
from marshlight.notebook.importing.dates import guess_dates, read_clock, read_date
from marshlight.notebook.importing.numbers import settled


def _layout(text: str) -> Layout:
    return suggest_layout(read_table(text.encode(), "log.csv"))


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_found(delimiter: str) -> None:
    lines = [["time", "pH"], ["2026-04-02 08:00", "7.1"], ["2026-04-03 08:00", "7.0"]]
    table = read_table("\n".join(delimiter.join(row) for row in lines).encode(), "log.csv")
    assert (table.delimiter, table.headings) == (delimiter, ("time", "pH"))
    assert table.rows[1] == ["2026-04-03 08:00", "7.0"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_the_encoding_is_found(encoding: str) -> None:
    table = read_table("Zeit,Höhe °C\n2026-04-02,7\n".encode(encoding), "log.csv")
    assert table.headings == ("Zeit", "Höhe °C")


def test_lines_above_the_headings_are_skipped_and_rows_keep_their_line_number() -> None:
    text = "Logger 7\n\nserial,A1\ntime,pH,note\n2026-04-02,7.1,a\n\n2026-04-03,7.0,b\n"
    table = read_table(text.encode(), "log.csv")
    assert table.headings == ("time", "pH", "note")
    assert table.numbers == [5, 7]


def test_a_quoted_line_break_does_not_shift_the_row_numbers() -> None:
    text = 'time,pH,note\n2026-04-02,7.1,"two\nlines"\n2026-04-03,7.0,b\n'
    assert read_table(text.encode(), "log.csv").numbers == [2, 4]


def test_a_file_without_headings_gets_numbered_columns() -> None:
    table = read_table(b"2026-04-02 08:00,7.1\n2026-04-03 08:00,7.0\n", "log.csv")
    assert table.headings == ("column 1", "column 2")
    assert len(table.rows) == 2


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "with contents"),
        (b"time,pH\n", "at least one row"),
        (b"\x89PNG\x00\x00", "CSV or XLSX"),
        (b"PK\x03\x04nonsense", "CSV or XLSX"),
    ],
)
def test_what_is_not_a_table_is_refused_in_words(data: bytes, told: str) -> None:
    with pytest.raises(InputError, match=told):
        read_table(data, "log")


@pytest.mark.parametrize(
    ("heading", "kind", "unit"),
    [
        ("Level (mm)", "level", "mm"),
        ("Holder level [cm]", "level", "cm"),
        ("level_in", "level", "in"),
        ("Temp °C", "slurry_temperature", "°C"),
        ("Gas temperature (°F)", "gas_temperature", "°F"),
        ("pH", "ph", "pH"),
        ("CH4 (%)", "analyser", "%"),
        ("biogas (mL)", "collected", "mL"),
        ("Cumulative gas (L)", "counter", "L"),
        ("Fed (kg)", "feed", "kg"),
        ("air pressure (hPa)", "barometer", "hPa"),
        ("emptied", "holder_emptied", "mm"),
    ],
)
def test_a_heading_says_what_its_column_holds(heading: str, kind: str, unit: str) -> None:
    column = _layout(f'time,"{heading}"\n2026-04-02 08:00,5\n').columns[1]
    assert (column.kind, column.unit) == (kind, unit)


def test_a_heading_without_a_unit_is_asked_about_but_does_not_block() -> None:
    layout = _layout("time,level\n2026-04-02 08:00,5\n")
    assert layout.columns[1].unit == "mm"
    assert [(q.about, q.blocks) for q in layout.questions] == [("unit", False)]


def test_an_unknown_heading_is_left_out() -> None:
    assert _layout("time,colour,pH\n2026-04-02 08:00,red,7\n").columns[1].use == "skip"


def test_date_and_clock_in_two_columns_belong_together() -> None:
    layout = _layout("Date,Time,pH\n02.04.2026,08:15,7\n13.04.2026,08:15,7\n")
    assert [c.use for c in layout.columns] == ["date", "clock", "reading"]
    assert layout.date_order == "dmy"


def test_a_date_without_a_clock_is_told_to_be_taken_as_noon() -> None:
    layout = _layout("date,pH\n2026-04-02,7\n")
    assert "time of day" in [q.about for q in layout.questions]


@pytest.mark.parametrize(
    ("cells", "order", "settled_by"),
    [
        (["2026-04-02", "2026-04-03"], "ymd", "the dates"),
        (["13/04/2026", "05/04/2026"], "dmy", "the dates"),
        (["04/13/2026", "04/05/2026"], "mdy", "the dates"),
        (["01/04/2026", "02/04/2026", "03/05/2026"], "", "nothing"),
        (["09/04/2026", "10/04/2026", "11/04/2026", "01/05/2026"], "dmy", "the order of the rows"),
        (["1775000000", "1775003600"], "epoch", "the numbers"),
        (["1775000000000", "1775003600000"], "epoch", "the numbers"),
        (["2 Apr 2026", "3 April 2026"], "ymd", "the dates"),
    ],
)
def test_the_order_of_day_and_month_is_found_or_left_open(
    cells: list[str], order: str, settled_by: str
) -> None:
    guess = guess_dates(cells)
    assert (guess.order, guess.settled_by) == (order, settled_by)


@pytest.mark.parametrize(
    ("text", "order", "iso"),
    [
        ("2026-04-02 08:05", "ymd", "2026-04-02T08:05:00"),
        ("2026-04-02T08:05:06.25Z", "ymd", "2026-04-02T08:05:06.250000+00:00"),
        ("2026-04-02 08:05:06+0200", "ymd", "2026-04-02T08:05:06+02:00"),
        ("2/4/26 8:05", "dmy", "2026-04-02T08:05:00"),
        ("4/2/2026 8:05 PM", "mdy", "2026-04-02T20:05:00"),
        ("4/2/2026 12:05 am", "mdy", "2026-04-02T00:05:00"),
        ("2.4.2026 8h05", "dmy", "2026-04-02T08:05:00"),
        ("Apr 2, 2026 08:05", "dmy", "2026-04-02T08:05:00"),
        ("2026-04-02", "dmy", "2026-04-02T12:00:00"),
        ("1775117100", "epoch", "2026-04-02T08:05:00+00:00"),
    ],
)
def test_dates_are_read_as_loggers_write_them(text: str, order: str, iso: str) -> None:
    assert read_date(text, order, field="time").isoformat() == iso


@pytest.mark.parametrize("text", ["31/04/2026", "2026-13-01", "yesterday", "2026-04-02 25:00", "7"])
def test_what_is_no_date_is_refused_with_the_heading(text: str) -> None:
    with pytest.raises(InputError) as caught:
        read_date(text, "dmy", field="When")
    assert caught.value.field == "When"


def test_a_spreadsheets_fraction_of_a_day_is_a_time() -> None:
    assert read_clock(0.34375, field="time").isoformat() == "08:15:00"


@pytest.mark.parametrize(
    ("text", "decimal", "plain"),
    [
        ("12,5", ",", "12.5"),
        ("1.234,5 L", ",", "1234.5 L"),
        ("1,234.5", ".", "1234.5"),
        ("1,234", ".", "1234"),
        ("1,234", ",", "1.234"),
        ("1.234", ".", "1.234"),
        ("-0,5", ",", "-0.5"),
        ("98 F", ".", "98 F"),
        (",5", ",", ".5"),
    ],
)
def test_the_decimal_sign_settles_a_number(text: str, decimal: str, plain: str) -> None:
    assert settled(text, decimal) == plain


@pytest.mark.parametrize(
    ("cells", "decimal"),
    [
        (["12.5", "3"], "."),
        (['"12,5"', "3"], ","),
        (['"1.234,5"', "3"], ","),
        (['"1,234"', '"2,500"'], ""),
        (['"1,234"', '"2,500.5"'], "."),
        (['"12,5"', "3.25"], ""),
    ],
)
def test_the_decimal_sign_is_found_or_left_open(cells: list[str], decimal: str) -> None:
    rows = "".join(f"2026-04-0{n} 08:00,{cell}\n" for n, cell in enumerate(cells, start=1))
    layout = _layout("time,counter (mL)\n" + rows)
    assert layout.decimal == decimal
    assert any(q.about == "decimal sign" and q.blocks for q in layout.questions) == (not decimal)
