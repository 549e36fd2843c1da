"""Import: nothing is kept until it was seen, bad rows are settled one by one, never twice."""

import re
import time

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import Settings

from marshlight.notebook.models import ImportBatch, Person, Reading, Run
from marshlight.server import drafts
from marshlight.server.pages import import_log

pytestmark = pytest.mark.django_db

GOOD = "time,level (mm),temp (C)\n2026-05-02 08:00,40,36.5\n2026-05-03 08:00,90,37\n"
BAD = GOOD + "2026-05-04 08:00,ninety,37\nsome day,120,37\n"


def _send(here: Client, run: Run, text: str | bytes, name: str = "log.csv") -> str:
    """Choose a file and give the address of what came of it."""
    data = text.encode() if isinstance(text, str) else text
    sent = {"run": str(run.pk), "file": SimpleUploadedFile(name, data)}
    answer = here.post("/import/", sent)
    assert answer.status_code == 302, answer.content.decode()
    return str(answer["Location"])


def _form(page: str) -> dict[str, str]:
    """Give the form as it stands on the page, ready to be sent."""
    fields = dict(re.findall(r'<input type="text"[^>]*name="([\w-]+)" value="([^"]*)"', page))
    for name, body in re.findall(r'<select[^>]*name="([\w-]+)">(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', body)
        if chosen:
            fields[name] = chosen.group(1)
    return fields


def _levels(run: Run) -> int:
    return Reading.objects.filter(run=run, kind="slurry_temperature", batch__isnull=False).count()


def test_a_file_is_first_looked_at_and_nothing_is_kept(here: Client, run: Run) -> None:
    page = here.get(_send(here, run, GOOD)).content.decode()
    assert "Every row can be read: 2 rows give 4 records. Nothing is saved yet." in page
    assert "holder level" in page
    assert "40 mm" in page or "4.00 cm" in page
    assert not ImportBatch.objects.exists()


def test_a_clean_file_is_kept_once_and_once_only(here: Client, run: Run, keeper: Person) -> None:
    address = _send(here, run, GOOD)
    form = _form(here.get(address).content.decode())
    answer = here.post(address, form | {"keep": "yes"}, follow=True)
    assert "log.csv: 4 added." in answer.content.decode()
    assert answer.redirect_chain[-1][0] == f"/runs/{run.pk}/"
    assert ImportBatch.objects.get().by == keeper
    again = _send(here, run, GOOD)
    page = here.get(again).content.decode()
    assert "Taken as the last file with these headings was" in page
    answer = here.post(again, _form(page) | {"keep": "yes"}, follow=True)
    assert "0 added, 4 were in the notebook already" in answer.content.decode()
    assert _levels(run) == 2


def test_every_bad_row_shows_its_cells_and_every_reason(here: Client, run: Run) -> None:
    page = here.get(_send(here, run, BAD)).content.decode()
    assert "2 rows cannot be read of 4 rows" in page
    rows = re.findall(r"<li>\s*<label class=\"tick\">.*?</li>", page, re.DOTALL)
    assert len(rows) == 2
    assert "“ninety”" in rows[0]
    assert '<span class="bad-cell">2026-05-04 08:00</span>' in rows[0]
    assert "“some day”" in rows[1]


def test_nothing_is_kept_until_every_bad_row_is_named(here: Client, run: Run) -> None:
    address = _send(here, run, BAD)
    form = _form(here.get(address).content.decode()) | {"keep": "yes"}
    refused = here.post(address, form)
    assert refused.status_code == 422
    assert "nothing was kept" in refused.content.decode()
    half = here.post(address, form | {"leave": ["4"]})
    assert half.status_code == 422
    assert 'value="4" checked' in half.content.decode()
    assert not ImportBatch.objects.exists()
    done = here.post(address, form | {"leave": ["4", "5"]}, follow=True)
    assert "4 added, 2 rows left out as you said" in done.content.decode()
    assert {cell["row"] for cell in ImportBatch.objects.get().rows_left_out} == {4, 5}


def test_a_changed_column_is_looked_at_again_before_it_is_kept(here: Client, run: Run) -> None:
    address = _send(here, run, GOOD)
    form = _form(here.get(address).content.decode())
    changed = form | {"holds-1": "reading:pressure", "unit-1": "mmH2O", "keep": "yes"}
    page = here.post(address, changed)
    assert "look at it once more" in page.content.decode()
    assert "gas pressure above the air" in page.content.decode()
    assert not ImportBatch.objects.exists()
    here.post(address, changed)
    assert Reading.objects.filter(run=run, kind="pressure").count() == 2


def test_a_doubtful_date_must_be_settled(here: Client, run: Run) -> None:
    text = "date,temp (C)\n01/02/2026,36\n05/02/2026,36\n03/02/2026,37\n"
    address = _send(here, run, text)
    page = here.get(address).content.decode()
    assert "say which" in page
    form = _form(page)
    assert here.post(address, form | {"keep": "yes", "date_order": ""}).status_code == 422
    page = here.post(address, form | {"look": "yes", "date_order": "dmy"}).content.decode()
    assert "2026-02-01 12:00" in page


def test_a_lab_column_is_one_choice(here: Client, run: Run) -> None:
    text = "time,what the lab sent\n2026-05-02 08:00,0.4\n"
    address = _send(here, run, text)
    page = here.get(address).content.decode()
    choice = re.search(r'value="(reading:lab:analyte=\w+)"', page)
    assert choice is not None
    form = _form(page) | {"holds-1": choice.group(1), "unit-1": "", "look": "yes"}
    assert "lab result" in here.post(address, form).content.decode()


@pytest.mark.parametrize(
    ("content", "name", "why"),
    [
        (b"", "empty.csv", "with contents"),
        (b"\x00\x01\x02\x03" * 40, "picture.png", "CSV or XLSX"),
        (b"PK\x03\x04nothing", "broken.xlsx", "CSV or XLSX"),
    ],
)
def test_a_file_that_is_no_table_is_refused_beside_its_field(
    here: Client, run: Run, content: bytes, name: str, why: str
) -> None:
    sent = {"run": str(run.pk), "file": SimpleUploadedFile(name, content)}
    page = here.post("/import/", sent)
    assert page.status_code == 422
    assert why in page.content.decode()


def test_a_file_too_large_for_a_page_is_sent_to_the_terminal(
    here: Client, run: Run, settings: Settings
) -> None:
    settings.MARSHLIGHT_LARGEST_UPLOAD = 100
    sent = {"run": str(run.pk), "file": SimpleUploadedFile("a.csv", GOOD.encode() * 9)}
    page = here.post("/import/", sent)
    assert page.status_code == 422
    assert "terminal" in page.content.decode()


def test_a_file_can_be_put_away(here: Client, run: Run) -> None:
    address = _send(here, run, GOOD)
    answer = here.post(f"{address}stop/", follow=True)
    assert "was put away" in answer.content.decode()
    gone = here.get(address, follow=True)
    assert "choose it again" in gone.content.decode()


def test_the_oldest_file_is_forgotten_when_too_many_wait(here: Client, run: Run) -> None:
    first = _send(here, run, GOOD)
    for _ in range(drafts.MOST_DRAFTS):
        _send(here, run, GOOD)
    assert here.get(first)["Location"] == "/import/"
    assert len(drafts._drafts) == drafts.MOST_DRAFTS


def test_a_file_that_lay_about_for_hours_is_forgotten(here: Client, run: Run) -> None:
    first = _send(here, run, GOOD)
    draft = next(iter(drafts._drafts.values()))
    draft.begun -= drafts.FORGOTTEN_AFTER * 1.1
    _send(here, run, GOOD)
    assert here.get(first)["Location"] == "/import/"


def test_another_persons_file_cannot_be_opened(
    away: Client, run: Run, lead: Person, reader: Person
) -> None:
    away.force_login(lead.user, backend="django.contrib.auth.backends.ModelBackend")
    address = _send(away, run, GOOD)
    away.force_login(reader.user, backend="django.contrib.auth.backends.ModelBackend")
    assert away.get(address)["Location"] == "/import/"
    assert away.post(address, {"keep": "yes"}).status_code == 403


@pytest.mark.django_db(transaction=True)
def test_a_long_file_is_read_apart_with_its_progress_shown(
    here: Client, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(import_log, "ROWS_AT_ONCE", 1)
    monkeypatch.setattr(import_log, "BYTES_AT_ONCE", 1)
    address = _send(here, run, GOOD)
    first = here.get(address).content.decode()
    page = _wait(here, address, "Nothing is saved yet", first)
    answer = here.post(address, _form(page) | {"keep": "yes"}, follow=True)
    page = _wait(here, address, "4 added", answer.content.decode())
    assert _levels(run) == 2


@pytest.mark.django_db(transaction=True)
def test_a_large_file_that_is_no_table_is_put_away_with_its_reason(
    here: Client, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(import_log, "BYTES_AT_ONCE", 1)
    address = _send(here, run, b"\x00\x01\x02\x03" * 40, "picture.png")
    first = here.get(address, follow=True).content.decode()
    page = _wait(here, address, "picture.png cannot be brought in", first)
    assert "CSV or XLSX" in page


def _wait(here: Client, address: str, words: str, page: str) -> str:
    for _ in range(100):
        if words in page:
            return page
        time.sleep(0.05)
        page = here.get(address, follow=True).content.decode()
    raise AssertionError(f"{words!r} never came")


def test_work_that_is_stopped_keeps_nothing(here: Client, run: Run) -> None:
    address = _send(here, run, GOOD)
    form = _form(here.get(address).content.decode())
    draft = next(iter(drafts._drafts.values()))
    draft.doing, draft.total = "Keeping", 2
    page = here.get(address, headers={"HX-Request": "true"}).content.decode()
    assert "<progress" in page
    assert " of 2 rows" in page
    here.post(f"{address}stop/")
    assert draft.stop
    draft.doing = ""
    assert here.post(address, form | {"look": "yes"}).status_code == 200
    assert not ImportBatch.objects.exists()


@pytest.fixture(autouse=True)
def _no_drafts() -> None:
    drafts._drafts.clear()
