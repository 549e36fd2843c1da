"""Set-up, people and copies in a browser."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from marshlight.notebook.models import Holder, Run

Check = Callable[[Page], None]


def test_the_pages_hold_on_every_screen(
    page: Page, drum: Run, checked: Check, targets: Callable[[Page], list[str]]
) -> None:
    for address in ("/set-up/", "/set-up/vessel/", "/set-up/holder/new/", "/people/", "/backup/"):
        page.goto(address)
        checked(page)
        assert targets(page) == [], address
    page.goto(f"/set-up/vessel/{drum.vessel_id}/")
    checked(page)
    page.goto("/people/")
    page.get_by_role("link", name="keeper").click()
    checked(page)


def test_only_the_fields_of_the_chosen_kind_are_asked(page: Page, drum: Run) -> None:
    page.goto("/set-up/holder/new/")
    expect(page.get_by_label("Volume when taut")).to_be_hidden()
    page.get_by_label("Kind").select_option("bag or balloon")
    expect(page.get_by_label("Volume when taut")).to_be_visible()
    expect(page.get_by_label("Inner diameter")).to_be_hidden()
    page.get_by_label("Name").fill("Bag 2")
    page.get_by_label("Volume when taut").fill("5 gal")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status").first).to_contain_text("Kept: Bag 2.")
    assert abs(Holder.objects.get(name="Bag 2").dimensions["capacity_m3"] - 0.018927) < 1e-6


def test_a_slip_stands_beside_its_field_and_the_rest_stays_typed(page: Page, drum: Run) -> None:
    page.goto("/set-up/vessel/new/")
    page.get_by_label("Name").fill("Drum 9")
    page.get_by_label("Whole inner volume").fill("much")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_label("Whole inner volume")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#slip-volume")).to_contain_text("a number")
    expect(page.get_by_label("Name")).to_have_value("Drum 9")


def test_a_change_is_kept_with_its_reason_and_the_state_before(page: Page, drum: Run) -> None:
    page.goto(f"/set-up/vessel/{drum.vessel_id}/")
    page.get_by_label("Inner diameter").fill("30")
    page.get_by_label("Why it changes").fill("measured again")
    page.get_by_role("button", name="Save the change").click()
    history = page.get_by_role("region", name="History")
    expect(history).to_contain_text("measured again")
    expect(history).to_contain_text("inner diameter: 28 cm became 30 cm")


def test_set_up_works_without_scripts(without_scripts: Page, drum: Run) -> None:
    without_scripts.goto("/set-up/holder/new/")
    expect(without_scripts.get_by_text("Only for: bag or balloon.")).to_be_visible()
    without_scripts.get_by_label("Name").fill("Bag 2")
    without_scripts.get_by_label("Kind").select_option("bag or balloon")
    without_scripts.get_by_label("Volume when taut").fill("20")
    without_scripts.get_by_role("button", name="Save").click()
    expect(without_scripts.get_by_role("status").first).to_contain_text("Kept: Bag 2.")


def test_a_copy_is_handed_out(phone: Page, drum: Run) -> None:
    phone.goto("/backup/")
    with phone.expect_download() as waiting:
        phone.get_by_role("link", name="Archive (zip)").click()
    assert waiting.value.suggested_filename.startswith("marshlight-notebook-")
    phone.get_by_role("button", name="Check file, links and locks").click()
    expect(phone.get_by_role("status").first).to_contain_text("sound")
