"""Where every value comes from, and the library page by page."""

import pytest
from django.test import Client

from marshlight.answers.feedstock import feedstock_page
from marshlight.decide.safety import all_cautions
from marshlight.matter.library import library
from marshlight.sources import all_sources

pytestmark = pytest.mark.django_db


def test_every_source_is_listed_once_and_opens(here: Client) -> None:
    page = here.get("/sources/").content.decode()
    for key in all_sources():
        assert page.count(f'href="/sources/{key}/"') == 1, key
        assert here.get(f"/sources/{key}/").status_code == 200, key


def test_a_source_names_the_values_that_rest_on_it(here: Client) -> None:
    key = library()["bread_stale"].properties["methane_potential"].source
    page = here.get(f"/sources/{key}/").content.decode()
    assert "bread" in page
    assert "methane potential" in page


def test_an_unknown_source_is_not_found(here: Client) -> None:
    assert here.get("/sources/nobody_1900/").status_code == 404


@pytest.mark.parametrize("key", library())
def test_every_feedstock_opens_with_value_range_source_and_cautions(here: Client, key: str) -> None:
    page = here.get(f"/feedstocks/{key}/").content.decode()
    stock = library()[key]
    assert page.count('href="/sources/') >= len(stock.properties)
    for caution in stock.cautions:
        assert caution.replace("'", "&#x27;") in page


def test_values_are_shown_in_trade_units_with_their_basis() -> None:
    stock = library()["bread_stale"]
    lines = {line.name: line for line in feedstock_page("bread_stale").properties}
    assert lines["TS"].unit == "% of fresh"
    assert float(lines["TS"].value) == pytest.approx(stock.value("TS") * 100, rel=5e-3)
    assert lines["methane potential"].unit == "NmL/g VS"
    potential = stock.value("methane_potential") * 1000
    assert float(lines["methane potential"].value) == pytest.approx(potential, rel=5e-3)


def test_the_library_is_searched_by_name_and_alias(here: Client) -> None:
    found = here.get("/feedstocks/", {"find": "Cow dung"}).content.decode()
    assert "dairy cattle manure, fresh" in found
    assert "bread" not in found.split("<main")[1]
    nothing = here.get("/feedstocks/", {"find": "<plutonium>"}).content.decode()
    assert "Nothing in the library is called “&lt;plutonium&gt;”" in nothing


def test_every_caution_is_on_the_cautions_page(here: Client) -> None:
    page = here.get("/cautions/").content.decode()
    for caution in all_cautions().values():
        assert f'id="{caution.key}"' in page
