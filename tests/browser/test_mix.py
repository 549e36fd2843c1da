"""Mixing in a browser: by label, by keyboard alone, without scripts, and printed."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from marshlight.notebook.models import Person, Run, Site
from marshlight.notebook.setting_up import set_up

TYPING_MS = 30_000


@pytest.fixture
def yard(transactional_db: None) -> Site:
    """Give a place with a drum, a holder and two lots on hand."""
    keeper = Person(name="keeper", role=Person.Role.LEAD)
    keeper.save()
    place = Site(name="Test yard", altitude_m=200.0)
    place.save(by=keeper)
    drum = {"name": "Drum 7", "shape": "cylinder", "diameter": "28 cm", "height": "41 cm"}
    set_up("vessel", drum, by=keeper)
    bag = {"name": "Bag 7", "kind": "bag", "capacity": "20 L"}
    set_up("holder", bag, by=keeper)
    effluent = {"name": "Live effluent", "feedstock": "digester_effluent", "amount": "9 kg"}
    set_up("lot", effluent, by=keeper)
    set_up("lot", {"name": "Crusts", "feedstock": "bread_stale", "amount": "2 kg"}, by=keeper)
    return place


def test_the_page_holds_on_every_screen(
    page: Page, yard: Site, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto("/mix/")
    expect(page.get_by_role("heading", name="The mix")).to_be_visible()
    for fold in page.locator("details > summary").all():
        if fold.is_visible():
            fold.click()
    checked(page)
    assert targets(page) == []


def test_the_answer_follows_while_one_types(page: Page, yard: Site) -> None:
    page.goto("/mix/")
    peek = page.locator("#mix-peek")
    expect(peek).to_contain_text("Live effluent")
    before = peek.inner_text()
    page.get_by_label("Live effluent: at hand, kg").fill("4 kg")
    expect(peek).not_to_have_text(before, timeout=TYPING_MS)
    expect(page.get_by_label("Live effluent: at hand, kg")).to_be_focused()
    assert "4+kg" in page.url
    page.reload()
    expect(page.get_by_label("Live effluent: at hand, kg")).to_have_value("4 kg")


def test_a_material_is_found_by_typing_and_a_new_row_waits(page: Page, yard: Site) -> None:
    page.goto("/mix/")
    expect(page.get_by_label("material 1", exact=True)).to_be_visible()
    expect(page.get_by_label("material 2", exact=True)).to_be_hidden()
    page.get_by_label("material 1", exact=True).fill("apple pomace")
    expect(page.get_by_label("material 2", exact=True)).to_be_visible()
    expect(page.locator("#answer")).to_contain_text("pomace", timeout=TYPING_MS)


def test_a_slip_stands_beside_its_field_and_goes_when_put_right(page: Page, yard: Site) -> None:
    page.goto("/mix/")
    slurry = page.get_by_label("Slurry kept at")
    slurry.fill("99")
    expect(slurry).to_have_attribute("aria-invalid", "true", timeout=TYPING_MS)
    expect(page.locator("#slip-slurry")).to_contain_text("60")
    expect(slurry).to_be_focused()
    slurry.fill("98 F")
    expect(slurry).not_to_have_attribute("aria-invalid", "true", timeout=TYPING_MS)
    expect(page.get_by_role("heading", name="The mix")).to_be_visible()


def test_a_run_is_started_with_the_keyboard_alone(phone: Page, yard: Site) -> None:
    phone.goto("/mix/")
    phone.keyboard.press("Tab")
    expect(phone.get_by_role("link", name="Skip to the content")).to_be_focused()
    phone.keyboard.press("Enter")
    _tab_to(phone, "input[name^='have-']")
    phone.keyboard.type("1.5 kg")
    _tab_to(phone, "input[name='aim']:checked")
    phone.keyboard.press("ArrowDown")
    expect(phone.get_by_role("radio", name=re.compile("Most waste used"))).to_be_checked()
    _tab_to(phone, "form#mix button.button-main")
    phone.keyboard.press("Enter")
    phone.wait_for_url(re.compile("aim=most_waste.*#answer"))
    _tab_to(phone, "#answer a[href*='/mix/start/']")
    phone.keyboard.press("Enter")
    phone.wait_for_url(re.compile("/mix/start/"))
    _tab_to(phone, "#name")
    phone.keyboard.press("Control+a")
    phone.keyboard.type("Spring charge")
    _tab_to(phone, "main form button.button-main")
    phone.keyboard.press("Enter")
    phone.wait_for_url(re.compile("/runs/"))
    expect(phone.get_by_role("status").first).to_contain_text("Spring charge is started")
    assert Run.objects.get().name == "Spring charge"


def _tab_to(page: Page, selector: str, most: int = 80) -> None:
    """Press Tab until a field has the focus, as one without a mouse does."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("s => document.activeElement.matches(s)", selector):
            return
    raise AssertionError(f"the keyboard never reached {selector}")


def test_mixing_works_without_scripts(without_scripts: Page, yard: Site) -> None:
    without_scripts.goto("/mix/")
    without_scripts.get_by_label("Slurry kept at").fill("30")
    without_scripts.get_by_role("button", name="Work out the mix").click()
    expect(without_scripts.get_by_role("heading", name="The mix")).to_be_visible()
    without_scripts.get_by_label("Slurry kept at").fill("99")
    without_scripts.get_by_role("button", name="Work out the mix").click()
    expect(without_scripts.locator("#slip-slurry")).to_contain_text("60")
    expect(without_scripts.get_by_label("Slurry kept at")).to_have_value("99")


def test_the_run_card_holds_on_every_screen_and_prints_without_the_furniture(
    page: Page, yard: Site, checked: Callable[[Page], None]
) -> None:
    page.goto("/mix/")
    page.get_by_role("link", name="Run card to print").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Run card: Drum 7")
    checked(page)
    page.emulate_media(media="print")
    expect(page.get_by_role("navigation")).to_be_hidden()
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    expect(page.get_by_role("img", name=re.compile("Drum 7"))).to_be_visible()
    expect(page.get_by_text("Never close a vessel that cannot breathe").first).to_be_visible()


def test_an_ordinary_charge_prints_on_two_sheets(phone: Page, yard: Site) -> None:
    phone.goto("/mix/")
    phone.get_by_role("link", name="Run card to print").click()
    expect(phone.get_by_role("heading", name="Order of work")).to_be_visible()
    printed = phone.pdf(format="A4", prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page[^s]", printed)) <= 2


def test_starting_a_run_holds_on_every_screen(
    page: Page, yard: Site, checked: Callable[[Page], None]
) -> None:
    page.goto("/mix/")
    page.get_by_role("link", name="Start a run from this mix").click()
    checked(page)
    page.get_by_label("Gas holder").select_option("Bag 7")
    page.get_by_role("button", name="Start the run").click()
    expect(page.get_by_role("status").first).to_contain_text("is started")
