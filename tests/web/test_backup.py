"""Copies: everything out, everything back, and the check."""

import io
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from marshlight.notebook.archive import write_archive
from marshlight.notebook.models import Person, Run, Site

pytestmark = pytest.mark.django_db


def _content(answer: object) -> bytes:
    return b"".join(answer.streaming_content)  # type: ignore[attr-defined]


def test_the_archive_comes_whole_and_named_by_the_day(here: Client, run: Run) -> None:
    answer = here.get("/backup/archive/")
    assert "marshlight-notebook-" in answer["Content-Disposition"]
    with zipfile.ZipFile(io.BytesIO(_content(answer))) as packed:
        assert packed.testzip() is None
        assert "manifest.json" in packed.namelist()
        assert run.name in packed.read("run.jsonl").decode()


def test_the_tables_come_as_csv(here: Client, run: Run) -> None:
    with zipfile.ZipFile(io.BytesIO(_content(here.get("/backup/csv/")))) as packed:
        names = packed.namelist()
        assert "readings/level.csv" in names
        assert "holder level (mm)" in packed.read("readings/level.csv").decode("utf-8-sig")


def test_an_unknown_copy_is_not_found_and_none_is_taken_by_post(here: Client, run: Run) -> None:
    assert here.get("/backup/tarball/").status_code == 404
    assert here.post("/backup/csv/").status_code == 405


def test_the_check_says_the_notebook_is_sound(here: Client, run: Run) -> None:
    page = here.get("/backup/", {"check": "yes"}).content.decode()
    assert "The notebook is sound" in page


def test_a_notebook_in_use_is_not_restored_over(here: Client, run: Run) -> None:
    kept = io.BytesIO()
    write_archive(kept)
    page = here.get("/backup/").content.decode()
    assert "marshlight --notebook new.sqlite3 restore FILE" in page
    sent = {"file": SimpleUploadedFile("a.zip", kept.getvalue())}
    answer = here.post("/backup/", sent)
    assert answer.status_code == 422
    assert "not empty" in answer.content.decode()
    assert Run.objects.count() == 1


def test_an_empty_notebook_is_restored_from_an_archive(loopback: None, db: None) -> None:
    kept = io.BytesIO()
    write_archive(kept)
    sent = {"file": SimpleUploadedFile("a.zip", kept.getvalue())}
    answer = Client().post("/backup/", sent, follow=True)
    assert "Restored: 0 rows" in answer.content.decode()


@pytest.mark.parametrize("content", [b"", b"no zip at all", b"PK\x03\x04broken"])
def test_what_is_no_archive_is_refused_in_words(loopback: None, db: None, content: bytes) -> None:
    sent = {"file": SimpleUploadedFile("a.zip", content)}
    answer = Client().post("/backup/", sent)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.content.decode()
    assert not Site.objects.exists()


def test_copies_are_for_leads_where_others_can_reach_them(
    away: Client, run: Run, lead: Person, reader: Person
) -> None:
    away.force_login(reader.user, backend="django.contrib.auth.backends.ModelBackend")
    assert away.get("/backup/").status_code == 403
    assert away.get("/backup/archive/").status_code == 403
    away.force_login(lead.user, backend="django.contrib.auth.backends.ModelBackend")
    assert away.get("/backup/").status_code == 200
