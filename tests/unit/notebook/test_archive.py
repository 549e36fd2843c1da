"""An archive restores to an identical notebook, and a damaged one restores nothing."""

import csv
import io
import json
import zipfile
from collections.abc import Callable

import pytest
from django.contrib.auth import get_user_model
from django.core.management import call_command

from marshlight.errors import NotebookError
from marshlight.notebook.archive import SCHEMA, TABLES, export_csv, restore, write_archive
from marshlight.notebook.importing import read_table, suggest_layout, take_in
from marshlight.notebook.models import Person, Reading, Run, Site
from marshlight.notebook.plain import to_plain
from marshlight.notebook.recording import history

pytestmark = pytest.mark.django_db


def _archive() -> bytes:
    target = io.BytesIO()
    write_archive(target)
    return target.getvalue()


def _everything() -> dict[str, list[dict[str, object]]]:
    return {
        name: [to_plain(row) for row in model._base_manager.order_by("pk")]
        for name, model in TABLES.items()
    }


def _empty() -> None:
    call_command("flush", interactive=False, verbosity=0)


def _edited(data: bytes, change: Callable[[str, bytes], bytes | None]) -> io.BytesIO:
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            content = change(name, old.read(name))
            if content is not None:
                new.writestr(name, content)
    return target


def test_a_restored_notebook_is_identical_history_included(full: Run) -> None:
    before, data = _everything(), _archive()
    assert all(before.values()), "every table holds something"
    _empty()
    manifest = restore(io.BytesIO(data))
    assert _everything() == before
    versions = history(Reading.objects.current().get(entered="91 mm"))
    assert [(v.entered, v.reason) for v in versions] == [("19 mm", ""), ("91 mm", "digits swapped")]
    again = write_archive(io.BytesIO())
    assert again["tables"] == manifest["tables"]


def test_accounts_and_passwords_are_not_in_the_archive(full: Run) -> None:
    user = get_user_model().objects.create_user("otter", password="wet-gloves")
    person = Person.objects.get(name="keeper")
    person.user = user
    person.save()
    data = _archive()
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        content = b"".join(packed.read(name) for name in packed.namelist())
        assert "accounts" in json.loads(packed.read("manifest.json"))["left_out"][0]
    assert b"otter" not in content
    assert user.password.encode() not in content


def test_an_archive_is_only_restored_into_an_empty_notebook(full: Run) -> None:
    data = _archive()
    with pytest.raises(NotebookError, match="not empty"):
        restore(io.BytesIO(data))


def test_a_changed_value_is_noticed_and_nothing_is_restored(full: Run) -> None:
    data = _archive()
    _empty()

    def change(name: str, content: bytes) -> bytes:
        return content.replace(b'"91 mm"', b'"92 mm"') if name == "reading.jsonl" else content

    with pytest.raises(NotebookError, match="check sum"):
        restore(_edited(data, change))
    assert Site.objects.count() == 0


def test_a_missing_table_is_noticed_and_nothing_is_restored(full: Run) -> None:
    data = _archive()
    _empty()
    damaged = _edited(data, lambda name, c: None if name == "reading.jsonl" else c)
    with pytest.raises(NotebookError, match="missing"):
        restore(damaged)
    assert Site.objects.count() == 0


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (b"not json\n", "line 1"),
        (b'{"id": 3}\n', "expected fields"),
        (b"[]\n", "line 1"),
    ],
)
def test_a_line_that_cannot_be_read_is_named(full: Run, line: bytes, told: str) -> None:
    data = _archive()
    _empty()
    with pytest.raises(NotebookError, match=told):
        restore(_edited(data, lambda name, c: line if name == "site.jsonl" else c))


def test_half_an_archive_is_refused(full: Run) -> None:
    data = _archive()
    _empty()
    with pytest.raises(NotebookError, match="not a whole archive"):
        restore(io.BytesIO(data[: len(data) // 2]))


def test_another_kind_of_zip_is_refused(db: None) -> None:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as packed:
        packed.writestr("manifest.json", json.dumps({"format": "holiday photographs"}))
    with pytest.raises(NotebookError, match="not a notebook archive"):
        restore(target)


def test_a_later_version_of_the_format_is_refused_by_name(full: Run) -> None:
    data = _archive()
    _empty()

    own, later = f'"schema": {SCHEMA}'.encode(), f'"schema": {SCHEMA + 1}'.encode()

    def change(name: str, content: bytes) -> bytes:
        return content.replace(own, later) if name == "manifest.json" else content

    with pytest.raises(NotebookError, match=f"version {SCHEMA + 1}"):
        restore(_edited(data, change))


def test_a_reading_that_points_to_no_run_is_refused(full: Run) -> None:
    data = _archive()
    _empty()
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        manifest = json.loads(packed.read("manifest.json"))
    lost = {"run.jsonl", "run"}
    for table in manifest["tables"]:
        if table["name"] in lost:
            # SHA-256 of nothing: the archive is consistent in itself, the links are not.
            table["rows"] = 0
            table["sha256"] = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"

    def change(name: str, content: bytes) -> bytes:
        if name == "run.jsonl":
            return b""
        return json.dumps(manifest).encode() if name == "manifest.json" else content

    with pytest.raises(NotebookError, match="contradicts itself"):
        restore(_edited(data, change))


def test_the_csv_export_has_a_file_for_each_kind_with_units_in_its_headings(full: Run) -> None:
    target = io.BytesIO()
    names = export_csv(target)
    assert {"site.csv", "events/charge.csv", "readings/level.csv", "setup_history.csv"} <= set(
        names
    )
    with zipfile.ZipFile(target) as packed:
        text = packed.read("readings/level.csv").decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [row["holder level (mm)"] for row in rows] == ["30", "80", "150", "250", "19", "91"]
    assert [row["current"] for row in rows] == ["yes", "yes", "yes", "yes", "no", "yes"]
    assert rows[0]["time"] == "2026-04-02 10:00:00+02:00"


def test_a_note_that_a_spreadsheet_would_run_is_disarmed_in_csv(full: Run) -> None:
    target = io.BytesIO()
    export_csv(target)
    with zipfile.ZipFile(target) as packed:
        text = packed.read("readings/flame.csv").decode("utf-8-sig")
    assert next(csv.DictReader(io.StringIO(text)))["what else was said"] == "'=blue"


@pytest.mark.parametrize("kind", ["level", "gas_temperature", "slurry_temperature", "flame"])
def test_an_exported_csv_brought_back_adds_nothing_to_its_run_and_fills_another(
    full: Run, kind: str
) -> None:
    target = io.BytesIO()
    export_csv(target)
    with zipfile.ZipFile(target) as packed:
        table = read_table(packed.read(f"readings/{kind}.csv"), f"{kind}.csv")
    layout = suggest_layout(table, zone="Europe/Paris")
    assert not [q.text for q in layout.questions if q.blocks]
    assert take_in(full, table, layout).added == 0
    other = Run.objects.create(
        name="Copy", site=full.site, vessel=full.vessel, started_at=full.started_at
    )
    take_in(other, table, layout)

    def said(run: Run) -> list[tuple[object, object, object]]:
        rows = Reading.objects.filter(run=run, kind=kind).order_by("at", "fingerprint")
        return [(r.at, r.value and pytest.approx(r.value), r.detail) for r in rows]

    assert said(other) == said(full)
