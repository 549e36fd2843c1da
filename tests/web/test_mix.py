"""The mixing page: the answer beside what is at hand, each slip beside its field."""

import re
from urllib.parse import urlencode

import pytest
from django.test import Client
from django.utils import timezone

from marshlight.notebook.models import Person, Run, Site
from marshlight.notebook.setting_up import set_up

pytestmark = pytest.mark.django_db

ASK = {
    "volume": "25",
    "what-1": "digester effluent",
    "have-1": "12 kg",
    "what-2": "stale bread",
    "have-2": "2",
}


@pytest.fixture
def yard(site: Site, keeper: Person) -> Site:
    """Give a place with a drum and two lots on hand."""
    drum = {"name": "Drum 7", "shape": "cylinder", "diameter": "28 cm", "height": "41 cm"}
    set_up("vessel", drum, by=keeper)
    today = timezone.localdate().isoformat()
    effluent = {"feedstock": "digester_effluent", "amount": "9 kg", "gathered_on": today}
    set_up("lot", {"name": "Live effluent", **effluent}, by=keeper)
    set_up("lot", {"name": "Crusts", "feedstock": "bread_stale", "amount": "2 kg"}, by=keeper)
    return site


def _words(page: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_an_empty_notebook_asks_for_materials_and_shows_no_error(here: Client) -> None:
    page = here.get("/mix/").content.decode()
    assert "Name at least one material" in page
    assert 'aria-invalid="true"' not in page
    assert 'list="shelf"' in page
    assert '<option value="stale bread">' in page


def test_all_lots_on_hand_are_in_at_first_and_the_mix_stands_beside_them(
    here: Client, yard: Site
) -> None:
    page = _words(here.get("/mix/").content.decode())
    assert "Live effluent" in page
    assert "holds the mix back" in page
    assert "gas that holds a flame" in page
    assert "Manure and waste carry disease" in page


def test_a_lot_that_is_unticked_stays_out(here: Client, yard: Site) -> None:
    first = here.get("/mix/").content.decode()
    names = re.findall(r'name="(what-\w+)" value="([0-9a-f-]{36})"', first)
    assert len(names) == 2
    effluent = next(pair for pair in names if pair[0] in _row_of(first, "Live effluent"))
    ask = {"vessel": "Drum 7", effluent[0]: effluent[1], "what-1": "cattle slurry"}
    page = here.get("/mix/", ask).content.decode()
    answer = page[page.index("What goes in") :].partition("of slurry")[0]
    assert "Live effluent" in answer
    assert "Crusts" not in answer


def _row_of(page: str, name: str) -> str:
    return next(r for r in page.split('<li class="mix-row">') if f"<span>{name}" in r)


def test_a_vessel_can_be_given_by_its_volume_alone(here: Client, site: Site) -> None:
    page = _words(here.get("/mix/", ASK).content.decode())
    assert "Stale bread" in page
    assert "the vessel is" in page
    assert "source of the low end" in page


def test_every_limit_has_a_bar_and_says_its_headroom_in_words(here: Client, site: Site) -> None:
    page = here.get("/mix/", ASK).content.decode()
    assert page.count('class="limit-bar"') == len(re.findall(r'<li class="limit ', page)) > 6
    assert "headroom" in page
    assert "style=" not in page


@pytest.mark.parametrize(
    ("field", "typed", "why"),
    [
        ("slurry", "99", "60 °C"),
        ("volume", "big", "a volume such as 25 L"),
        ("have-1", "7 m", "mass"),
        ("fix-2", "much", "a number"),
        ("price-1", "dear", "a number"),
        ("what-2", "moon dust", "Choose one of these"),
        ("water", "-3", "0 L or more"),
        ("holder", "bucket wheel", "gas holder that is set up"),
        ("high-fill", "90 %", "75%"),
        ("low-solids", "20", "low end below the high end"),
    ],
)
def test_what_cannot_be_used_is_said_beside_its_field_and_stays_typed(
    here: Client, site: Site, field: str, typed: str, why: str
) -> None:
    page = here.get("/mix/", ASK | {field: typed}).content.decode()
    slip = "vessel" if field == "volume" else field
    said = re.search(rf'id="slip-{slip}"[^>]*>([^<]*)<', page)
    assert said is not None
    assert why in said.group(1)
    assert f'value="{typed}"' in page
    assert re.search(rf'name="{field}"[^>]*aria-invalid="true"', page)


def test_two_slips_are_both_said(here: Client, site: Site) -> None:
    page = here.get("/mix/", ASK | {"slurry": "99", "have-1": "7 m"}).content.decode()
    assert page.count('aria-invalid="true"') == 2


def test_limits_that_clash_are_named_and_the_nearest_mix_is_shown(here: Client, site: Site) -> None:
    ask = ASK | {"fix-2": "2 kg", "high-solids": "3 %"}
    page = _words(here.get("/mix/", ask).content.decode())
    assert "Not every limit can be kept; this is the nearest mix" in page
    assert "missed" in page


def test_a_mix_that_breaks_firm_limits_is_neither_started_nor_carded(
    here: Client, site: Site
) -> None:
    set_up("vessel", {"name": "Drum 7", "volume": "25 L"})
    ask = {**ASK, "volume": "", "vessel": "Drum 7", "fix-2": "2 kg", "high-solids": "3 %"}
    page = here.get("/mix/", ask).content.decode()
    assert "Not to be filled like this" in page
    assert "/mix/start/" not in page
    assert here.get("/mix/card/", ask)["Location"].startswith("/mix/?")
    answer = here.post("/mix/start/", {"mix": urlencode(ask), "name": "Rash"})
    assert answer["Location"].startswith("/mix/?")
    assert not Run.objects.exists()


def test_while_one_types_only_the_answer_and_the_slips_come_back(here: Client, site: Site) -> None:
    answer = here.get("/mix/", ASK | {"slurry": "99"}, headers={"HX-Request": "true"})
    page = answer.content.decode()
    assert "<html" not in page
    assert 'id="slip-slurry" hx-swap-oob="true">Allowed' in page
    assert 'id="mix-peek" hx-swap-oob="innerHTML"' in page
    assert "slurry=99" in answer["HX-Replace-Url"]


def test_a_limit_of_ones_own_is_kept_to(here: Client, site: Site) -> None:
    page = here.get("/mix/", ASK | {"high-solids": "5"}).content.decode()
    assert "3.0 % to 5.0 %" in _words(page)
    assert "/sources/set_by_user/" in page


def test_a_tipping_fee_is_earned_and_a_price_is_paid(here: Client, site: Site) -> None:
    site.currency = "EUR"
    site.save(why="test")
    assert "Taking it earns" in _words(here.get("/mix/", ASK | {"price-2": "-2"}).content.decode())
    page = _words(here.get("/mix/", ASK | {"price-2": "2"}).content.decode())
    assert re.search(r"It costs \d+\.\d\d EUR\.", page)


def test_units_follow_the_site(here: Client, site: Site) -> None:
    site.units = Site.Units.US
    site.save(why="test")
    assert " lb" in _words(here.get("/mix/", ASK).content.decode())


def test_a_reader_may_mix_but_not_start(away: Client, reader: Person, site: Site) -> None:
    away.force_login(reader.user, backend="django.contrib.auth.backends.ModelBackend")
    assert away.get("/mix/", ASK).status_code == 200
    assert away.post("/mix/start/", {"mix": "volume=25"}).status_code == 403


def test_hostile_addresses_are_answered_with_a_page(here: Client, site: Site) -> None:
    for ask in ({"vessel": "", "volume": "", "what-1": "<script>"}, {"aim": "x", "volume": "5"}):
        answer = here.get("/mix/", ask)
        assert answer.status_code == 200
        assert "<script>" not in answer.content.decode().partition("<main")[2]
