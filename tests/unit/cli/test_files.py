"""Files from the terminal: logs in, copies out and back, the notebook checked."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from marshlight.cli.main import exit_code
from marshlight.errors import InputError, NotebookError
from marshlight.notebook.models import Reading

GOOD = "time,level (mm),temp (C)\n2026-05-02 08:00,40,36.5\n2026-05-03 08:00,90,37\n"
BAD = GOOD + "2026-05-04 08:00,ninety,37\nsome day,120,37\n"


@pytest.fixture
def log(tmp_path: Path) -> Callable[[str], str]:
    """Write a log file and give its name."""

    def write(text: str) -> str:
        file = tmp_path / "log.csv"
        file.write_text(text)
        return str(file)

    return write


def test_a_log_is_taken_in_whole_and_only_once(
    bench: Callable[..., Any], log: Callable[[str], str]
) -> None:
    file = log(GOOD)
    first = bench("import", "goat", file, "--json").data
    assert first["kept"]["added"] == 4
    assert {c["kind"] for c in first["columns"]} == {"", "level", "slurry_temperature"}
    again = bench("import", "goat", file, "--json").data
    assert (again["kept"]["added"], again["kept"]["already_kept"]) == (0, 4)


def test_looking_keeps_nothing(bench: Callable[..., Any], log: Callable[[str], str]) -> None:
    said = bench("import", "goat", log(GOOD), "--look")
    assert "Every row can be read" in said.text
    assert not Reading.objects.exists()


def test_bad_rows_are_named_with_their_reasons_and_nothing_is_kept(
    bench: Callable[..., Any], log: Callable[[str], str]
) -> None:
    said = bench("import", "goat", log(BAD))
    assert isinstance(said.error, NotebookError)
    assert exit_code(said.error) == 3
    assert "Row 4" in said.text
    assert "'ninety'" in said.text
    assert "Row 5" in said.text
    assert not Reading.objects.exists()


def test_bad_rows_can_be_left_out_by_number(
    bench: Callable[..., Any], log: Callable[[str], str]
) -> None:
    file = log(BAD)
    assert bench("import", "goat", file, "--leave-out", "4").error is not None
    kept = bench("import", "goat", file, "--leave-out", "4,5", "--json").data["kept"]
    assert kept["rows_left_out"] == [4, 5]
    assert kept["added"] == 4


def test_a_column_is_told_what_it_holds(
    bench: Callable[..., Any], log: Callable[[str], str]
) -> None:
    file = log("when,h\n02/05/2026 08:00,4.5\n03/05/2026 08:00,9\n")
    kept = bench(
        "import", "goat", file, "--column", "h=level,in", "--column", "when=time",
        "--dates", "dmy", "--json",
    ).data  # fmt: skip
    assert kept["kept"]["added"] == 2
    levels = sorted(Reading.objects.values_list("value", flat=True))
    assert levels == pytest.approx([4.5 * 0.0254, 9 * 0.0254])
    assert list(Reading.objects.order_by("at").values_list("at__day", flat=True)) == [2, 3]
    refused = bench("import", "goat", file, "--column", "x=level").error
    assert isinstance(refused, InputError)
    assert "when, h" in str(refused)


def test_a_missing_file_is_a_plain_error(bench: Callable[..., Any], tmp_path: Path) -> None:
    refused = bench("import", "goat", str(tmp_path / "none.csv")).error
    assert isinstance(refused, InputError)
    assert exit_code(refused) == 2


def test_an_archive_is_written_and_an_existing_file_never_overwritten(
    bench: Callable[..., Any], tmp_path: Path
) -> None:
    file = tmp_path / "copy.zip"
    copied = bench("export", str(file), "--json").data["copy"]
    assert file.stat().st_size > 0
    assert "run.jsonl" in copied["files"]
    assert len(copied["sha256"]) == 64
    before = file.read_bytes()
    assert isinstance(bench("export", str(file)).error, InputError)
    assert file.read_bytes() == before


def test_tables_are_csv_files(bench: Callable[..., Any], tmp_path: Path) -> None:
    copied = bench("export", str(tmp_path / "t.zip"), "--tables", "--json").data["copy"]
    assert {"site.csv", "run.csv", "setup_history.csv"} <= set(copied["files"])


def test_an_archive_is_not_restored_over_a_notebook_in_use(
    bench: Callable[..., Any], tmp_path: Path
) -> None:
    file = tmp_path / "copy.zip"
    bench("export", str(file))
    refused = bench("restore", str(file)).error
    assert isinstance(refused, NotebookError)
    assert "empty" in str(refused)


def test_a_restore_reports_what_came_back(terminal: Callable[..., Any], tmp_path: Path) -> None:
    file = tmp_path / "copy.zip"
    terminal("export", str(file))
    restored = terminal("restore", str(file), "--json").data["restored"]
    assert restored["written_by"].startswith("marshlight")
    assert set(restored["rows"].values()) == {0}
    (tmp_path / "other.zip").write_bytes(b"not a zip")
    assert isinstance(terminal("restore", str(tmp_path / "other.zip")).error, NotebookError)


def test_the_check_says_the_notebook_is_sound(bench: Callable[..., Any]) -> None:
    said = bench("check")
    assert "sound" in said.text
    data = json.loads(bench("check", "--json").text)
    assert data["check"]["sound"] is True
    assert {c["name"]: c["count"] for c in data["holds"]["counts"]}["run"] == 1
