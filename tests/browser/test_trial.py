"""A trial in a browser: designed, its rack read by keyboard alone, its verdict, its report."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pytest_django import Settings

from marshlight.notebook.models import Person, Reading, Site, Trial
from marshlight.notebook.setting_up import set_up
from marshlight.server.accounts import new_group_password
from trial_world import make_trial

# A round is kept and the whole trial worked out in one answer here, on a machine that may be busy.
_PATIENT = 30_000


def _answered(page: Page) -> None:
    """Wait until a round is kept or questioned."""
    said = page.get_by_role("status").or_(page.get_by_role("alert"))
    expect(said.first).to_be_visible(timeout=_PATIENT)


@pytest.fixture
def crusts(transactional_db: None) -> Trial:
    """Give a trial of bread against whey, read for eight days."""
    keeper = Person(name="keeper", role=Person.Role.LEAD)
    keeper.save()
    place = Site(name="Test yard", altitude_m=200.0, time_zone="UTC")
    place.save(by=keeper)
    set_up("lot", {"name": "Live effluent", "feedstock": "digester_effluent"}, by=keeper)
    set_up("lot", {"name": "Crusts of bread", "feedstock": "bread_stale"}, by=keeper)
    return make_trial(place, keeper, samples=(("bread", 0.42), ("whey", 0.30)))


def test_the_verdict_holds_on_every_screen(
    page: Page, crusts: Trial, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto("/")
    page.get_by_role("link", name="Crusts", exact=True).click()
    expect(page.get_by_role("heading", name="Crusts", level=1)).to_be_visible()
    expect(page.get_by_text("Bread gave more methane than whey").first).to_be_visible()
    expect(page.get_by_role("img", name=re.compile("Potentials in NmL per g VS"))).to_be_visible()
    expect(page.get_by_role("heading", name="Published criteria")).to_be_visible()
    checked(page)
    assert targets(page) == []


def test_a_rack_is_read_with_the_keyboard_alone(
    page: Page, crusts: Trial, checked: Callable[[Page], None]
) -> None:
    page.goto(f"/trials/{crusts.pk}/rack/")
    checked(page)
    before = Reading.objects.count()
    cells = page.locator(".rack-cell input")
    expect(cells.first).to_be_focused()
    # Blanks, control, bread, whey, in order of place: a little more than each said before.
    for i in range(cells.count()):
        last = page.locator(".rack-cell").nth(i).inner_text()
        said = re.search(r"([\d.]+) (m?L)", last)
        assert said is not None
        scale = 1000.0 if said.group(2) == "L" else 1.0
        page.keyboard.type(f"{float(said.group(1)) * scale * 1.02:.1f} mL")
        page.keyboard.press("Enter")
    expect(page.get_by_label("Air pressure")).to_be_focused()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    _answered(page)
    if page.get_by_role("button", name="Save it as I saw it").is_visible():
        expect(page.get_by_role("alert")).to_contain_text("Is that right?")
        page.get_by_role("button", name="Save it as I saw it").press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("12 bottles read", timeout=_PATIENT)
    assert Reading.objects.count() == before + 12


def test_two_readings_under_each_others_label_are_questioned(page: Page, crusts: Trial) -> None:
    page.goto(f"/trials/{crusts.pk}/rack/")
    page.get_by_label(re.compile("bread 1")).fill("1 mL")
    page.get_by_role("button", name="Save the round").click()
    expect(page.get_by_role("alert")).to_contain_text("less gas than before")
    expect(page.get_by_label(re.compile("bread 1"))).to_have_value("1 mL")


def test_a_trial_is_designed_set_up_and_its_plan_printed(
    page: Page, crusts: Trial, checked: Callable[[Page], None]
) -> None:
    page.goto("/trials/design/")
    page.get_by_label("Crusts of bread", exact=True).check()
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("bottles for about")
    checked(page)
    page.get_by_label("Name of the trial").fill("Autumn crusts")
    page.get_by_role("button", name="Set this trial up").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Plan: Autumn crusts")
    checked(page)
    page.emulate_media(media="print")
    expect(page.get_by_role("navigation")).to_be_hidden()
    expect(page.get_by_text("Crusts of bread 3").first).to_be_visible()


def test_the_report_is_one_click(phone: Page, crusts: Trial, tmp_path: Path) -> None:
    phone.goto(f"/trials/{crusts.pk}/")
    for name, start in (("Report (PDF)", b"%PDF"), ("Spreadsheet", b"PK")):
        with phone.expect_download() as waiting:
            phone.get_by_role("link", name=name).click()
        waiting.value.save_as(tmp_path / "report")
        assert (tmp_path / "report").read_bytes().startswith(start)


def test_own_results_stand_beside_what_is_published(
    page: Page, crusts: Trial, checked: Callable[[Page], None]
) -> None:
    page.goto("/trials/library/")
    expect(page.get_by_role("heading", level=1)).to_contain_text("What your trials found")
    checked(page)


def test_a_group_logs_in_reads_its_bottle_and_sees_it_beside_the_whole(
    phone: Page, crusts: Trial, checked: Callable[[Page], None], settings: Settings
) -> None:
    for bottle in crusts.bottles.all():
        bottle.team = "herons" if bottle.name.endswith("1") else "newts"
        bottle.save(why="dealt out")
    crusts.class_mode = True
    crusts.save(why="a class")
    settings.MARSHLIGHT_LOOPBACK = False
    password = new_group_password("herons")
    phone.goto("/")
    phone.get_by_label("Name").fill("herons")
    phone.get_by_label("Password").fill(password)
    phone.get_by_role("button", name="Log in").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Herons")
    expect(phone.get_by_role("heading", name="All groups together")).to_be_visible()
    expect(phone.get_by_text("bread 2")).to_have_count(0)
    checked(phone)
    before = Reading.objects.count()
    phone.get_by_role("link", name="Read your bottles").click()
    expect(phone.locator(".rack-cell")).to_have_count(4)
    checked(phone)
    phone.get_by_label(re.compile("bread 1")).fill("1.95 L")
    phone.get_by_role("button", name="Save the round").click()
    _answered(phone)
    if phone.get_by_role("button", name="Save it as I saw it").is_visible():
        phone.get_by_role("button", name="Save it as I saw it").click()
    expect(phone.get_by_role("status").first).to_contain_text("1 bottles read", timeout=_PATIENT)
    assert Reading.objects.count() == before + 1


def test_groups_are_dealt_out_and_their_passwords_shown_once(
    phone: Page,
    crusts: Trial,
    checked: Callable[[Page], None],
    targets: Callable[[Page], list[str]],
) -> None:
    phone.goto(f"/trials/{crusts.pk}/groups/")
    phone.get_by_label(re.compile("bread 1")).fill("herons")
    phone.get_by_role("button", name="Keep these groups").click()
    expect(phone.get_by_role("status").first).to_contain_text("1 bottles changed hands")
    phone.get_by_role("button", name="Make it, and show it once").click()
    expect(phone.get_by_role("heading", name="Shown once")).to_be_visible()
    checked(phone)
    assert targets(phone) == []
    phone.goto(f"/trials/{crusts.pk}/groups/")
    expect(phone.get_by_role("heading", name="Shown once")).to_have_count(0)


def test_crucibles_are_told_on_the_trials_page(
    phone: Page, crusts: Trial, checked: Callable[[Page], None]
) -> None:
    phone.goto(f"/trials/{crusts.pk}/")
    phone.get_by_text("Solids (TS and VS), each crucible").click()
    phone.get_by_label("TS (%) of bread").fill("64 66 65")
    phone.get_by_label("VS (% of TS) of bread").fill("96 97 95")
    checked(phone)
    phone.get_by_role("button", name="Keep the solids").click()
    expect(phone.get_by_role("status").first).to_contain_text("bread 3")
