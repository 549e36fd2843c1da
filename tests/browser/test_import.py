"""Bringing in a log in a browser: bad rows are seen and settled, nothing before."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from marshlight.notebook.models import Reading, Run
from marshlight.server.pages import import_log

LOG = (
    "time,level (mm),slurry temp,flame\n"
    "2026-05-02 08:00,40,36.5,holds\n"
    "2026-05-03 08:00,ninety,37,maybe\n"
    "2026-05-04 08:00,130,37,holds\n"
)


@pytest.fixture
def log_file(tmp_path: Path) -> Path:
    """Give a log with one bad row."""
    file = tmp_path / "log.csv"
    file.write_text(LOG)
    return file


def _choose(page: Page, file: Path) -> None:
    page.goto("/import/")
    page.get_by_label("File").set_input_files(file)
    page.get_by_role("button", name="Look at it").click()


def test_a_log_with_a_bad_row_is_settled_and_kept(
    page: Page, drum: Run, log_file: Path, checked: Callable[[Page], None]
) -> None:
    page.goto("/import/")
    checked(page)
    before = Reading.objects.count()
    _choose(page, log_file)
    expect(page.get_by_text("1 row cannot be read of 3 rows")).to_be_visible()
    row = page.get_by_role("listitem").filter(has_text="Row 3")
    expect(row).to_contain_text("“ninety”")
    expect(row).to_contain_text("“maybe”")
    checked(page)
    page.get_by_role("button", name="Keep 6 records").click()
    expect(page.get_by_role("alert")).to_contain_text("nothing was kept")
    assert Reading.objects.count() == before
    page.get_by_label("Row 3").check()
    page.get_by_role("button", name="Keep 6 records").click()
    expect(page.get_by_role("status").first).to_contain_text("6 added, 1 rows left out")
    assert Reading.objects.count() == before + 6


def test_a_column_can_be_told_what_it_holds(phone: Page, drum: Run, log_file: Path) -> None:
    _choose(phone, log_file)
    phone.get_by_label("holds: column level (mm)").select_option(label="slurry level in the vessel")
    phone.get_by_role("button", name="Look again with these columns").click()
    expect(phone.get_by_role("table")).to_contain_text("slurry level in the vessel")


def test_a_long_file_shows_its_progress_and_ends_on_the_run(
    phone: Page, drum: Run, log_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(import_log, "ROWS_AT_ONCE", 1)
    monkeypatch.setattr(import_log, "BYTES_AT_ONCE", 1)
    _choose(phone, log_file)
    expect(phone.get_by_text("1 row cannot be read of 3 rows")).to_be_visible(timeout=30_000)
    phone.get_by_label("Leave out all 1 of them").check()
    phone.get_by_role("button", name="Keep 6 records").click()
    expect(phone.get_by_role("heading", level=1)).to_contain_text("Drum 1", timeout=30_000)
    expect(phone.get_by_role("status").first).to_contain_text("6 added", timeout=30_000)


def test_import_works_without_scripts(without_scripts: Page, drum: Run, log_file: Path) -> None:
    _choose(without_scripts, log_file)
    without_scripts.get_by_label("Row 3").check()
    without_scripts.get_by_role("button", name="Keep 6 records").click()
    expect(without_scripts.get_by_role("status").first).to_contain_text("6 added")
