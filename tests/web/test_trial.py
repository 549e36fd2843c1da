"""Trials on pages: a list, a verdict, a rack kept or questioned, a design set up, a report."""

import io
import re

import pytest
from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook

from marshlight.answers.trial_result import trial_result
from marshlight.decide.trial import compare_with
from marshlight.notebook.bridge import feedstock_of
from marshlight.notebook.models import Lot, Person, Reading, Site, Trial, TrialBottle
from marshlight.notebook.setting_up import set_up
from trial_world import make_trial

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("loopback")]


@pytest.fixture
def crusts(site: Site, keeper: Person) -> Trial:
    return make_trial(site, keeper)


def test_a_trial_shows_its_verdict_its_criteria_and_its_figures(
    client: Client, crusts: Trial
) -> None:
    assert b"Crusts" in client.get(reverse("trials")).content
    page = client.get(reverse("trial", args=[crusts.pk])).content.decode()
    assert "There is one material only" in page
    assert "cellulose control" in page.lower()
    assert "NmL/g VS" in page
    assert "blank 3" in page


def test_a_leak_a_swapped_pair_and_a_failed_control_are_named_on_the_page(
    client: Client, site: Site, keeper: Person
) -> None:
    trial = make_trial(
        site, keeper, samples=(("bread", 0.42), ("whey", 0.30)), control=0.15,
        leaking="whey 3", exchanged=("bread 2", "cellulose 1"),
    )  # fmt: skip
    page = client.get(reverse("trial", args=[trial.pk])).content.decode()
    assert "whey 3 looks as if it leaks since about day 2" in page
    assert "bread 2 and cellulose 1 look swapped" in page
    assert "Only provisional. Not met: " in page
    assert "every potential of this trial is in doubt" in page
    assert "Without them" in page
    assert "The figures, all bottles in" in page


def test_a_round_is_kept_and_missed_bottles_are_left(client: Client, crusts: Trial) -> None:
    url = reverse("trial-rack", args=[crusts.pk])
    assert b"blank 1" in client.get(url).content
    before = Reading.objects.count()
    rows = TrialBottle.objects.filter(trial=crusts)
    typed = {str(b.pk): "2100 mL" for b in rows if b.name.startswith("bread")}
    done = client.post(url, typed | {"at": "", "barometer": "1001"})
    assert done.status_code in {200, 302}
    if done.status_code == 200:
        assert Reading.objects.count() == before
        done = client.post(url, typed | {"at": "", "barometer": "1001", "sure": "yes"})
    assert done.status_code == 302
    assert Reading.objects.count() == before + 6


def test_gas_that_goes_backwards_is_questioned_and_nothing_is_kept(
    client: Client, crusts: Trial
) -> None:
    before = Reading.objects.count()
    bottle = TrialBottle.objects.get(name="bread 2")
    url = reverse("trial-rack", args=[crusts.pk])
    page = client.post(url, {str(bottle.pk): "12 mL", "at": ""})
    assert "less gas than before" in page.content.decode()
    assert 'value="12 mL"' in page.content.decode()
    assert Reading.objects.count() == before


def test_a_reading_that_is_no_number_is_named_beside_its_bottle(
    client: Client, crusts: Trial
) -> None:
    bottle = TrialBottle.objects.get(name="bread 2")
    page = client.post(reverse("trial-rack", args=[crusts.pk]), {str(bottle.pk): "lots", "at": ""})
    assert page.status_code == 422
    assert "bread 2" in page.content.decode()
    assert 'aria-invalid="true"' in page.content.decode()


def test_a_report_comes_as_pdf_and_as_workbook(client: Client, crusts: Trial) -> None:
    pdf = client.get(reverse("trial-report", args=[crusts.pk, "pdf"]))
    assert pdf.content.startswith(b"%PDF")
    sheet = client.get(reverse("trial-report", args=[crusts.pk, "xlsx"]))
    book = load_workbook(io.BytesIO(sheet.content))
    names = ["Result", "Gas", "Bottles", "Criteria", "Solids", "Speed and buckets", "Readings"]
    names.append("Method")
    assert book.sheetnames == names
    assert client.get(reverse("trial-report", args=[crusts.pk, "doc"])).status_code == 404


def test_a_design_answers_and_sets_a_trial_up(client: Client, site: Site, keeper: Person) -> None:
    live = set_up("lot", {"name": "Live", "feedstock": "digester_effluent"}, by=keeper)
    bread = set_up("lot", {"name": "Crust", "feedstock": "bread_stale"}, by=keeper)
    control = set_up("lot", {"name": "Powder", "feedstock": "cellulose"}, by=keeper)
    form = {"sample": [str(bread.pk)], "inoculum": str(live.pk), "control": str(control.pk)}
    url = reverse("trial-design")
    page = client.get(url, form).content.decode()
    assert "9 bottles for about" in page
    assert "four times out of five" in page
    assert "a holder that is emptied daily must take" in page
    refused = client.post(url, form)
    assert refused.status_code == 422
    assert "Name the trial" in refused.content.decode()
    done = client.post(url, form | {"name": "Spring"})
    made = Trial.objects.get(name="Spring")
    assert done.url == reverse("trial-plan", args=[made.pk])
    assert made.bottles.count() == 9
    plan = client.get(done.url).content.decode()
    assert "Crust 3" in plan
    assert "block 1, place 9" in plan
    assert "Start these bottles" in plan
    assert client.post(done.url, {"at": ""}).status_code == 302
    assert all(b.run.started_at is not None for b in made.bottles.all())
    assert "Start these bottles" not in client.get(done.url).content.decode()


def test_a_design_starts_from_the_scatter_of_trials_so_far(client: Client, crusts: Trial) -> None:
    assert "scattered by" not in client.get(reverse("trial-design")).content.decode()
    result = trial_result(crusts).result
    assert result is not None
    relative = [p.sd / p.mean for p in result.result.potentials]
    pooled = (sum(r**2 for r in relative) / len(relative)) ** 0.5
    page = client.get(reverse("trial-design")).content.decode()
    assert f"scattered by {pooled * 100:.2g} % (4 degrees of freedom)" in page
    # Upper limit of a standard deviation with 4 degrees of freedom: chi squared at 0.2 is 1.649.
    assert f'value="{pooled * 100 * (4 / 1.649) ** 0.5:.2g}"' in page


def test_a_slip_in_the_design_stands_beside_its_field(
    client: Client, site: Site, keeper: Person
) -> None:
    bread = set_up("lot", {"name": "Crust", "feedstock": "bread_stale"}, by=keeper)
    live = set_up("lot", {"name": "Live", "feedstock": "digester_effluent"}, by=keeper)
    form = {"sample": str(bread.pk), "inoculum": str(live.pk), "headspace": "99", "blocks": "x"}
    page = client.get(reverse("trial-design"), form)
    assert page.status_code == 422
    assert 'id="slip-headspace"' in page.content.decode()
    assert 'id="slip-blocks"' in page.content.decode()


def test_own_results_are_drawn_toward_the_published_range_and_kept_for_planning(
    client: Client, site: Site, keeper: Person
) -> None:
    make_trial(site, keeper, days=16)
    url = reverse("trial-library")
    page = client.get(url).content.decode()
    assert "Lot of bread" in page
    assert "your own, one trial" in page
    lot = Lot.objects.get(name="Lot of bread")
    assert client.post(url, {"lot": str(lot.pk)}).status_code == 302
    lot.refresh_from_db()
    kept = lot.measured["methane_potential"]
    assert 0.2 < kept["low"] < kept["value"] < kept["high"] < 0.6
    known = feedstock_of(lot).get("methane_potential")
    assert known is not None
    assert (known.value, known.low) == (kept["value"], kept["low"])
    last = lot.history().last()
    assert last is not None
    assert "drawn toward the published range" in last.why
    refused = client.post(url, {"lot": "none"}, follow=True).content.decode()
    assert "Finish a trial" in refused


def test_what_a_trial_found_reaches_the_feedstock_page_and_the_mix(
    client: Client, site: Site, keeper: Person
) -> None:
    make_trial(site, keeper, days=16)
    page = client.get(reverse("feedstock", args=["bread_stale"])).content.decode()
    assert "Your trials found" in page
    assert "Lot of bread: " in page
    assert client.get(reverse("feedstocks")).content.decode().count("your trials: ") == 1
    lot = Lot.objects.get(name="Lot of bread")
    ask = {
        "volume": "25", "what-1": "digester effluent", "have-1": "12 kg",
        "what-2": str(lot.pk), "have-2": "0.5 kg", "fix-2": "0.2 kg",
    }  # fmt: skip
    before = client.get(reverse("mix"), ask).content.decode()
    client.post(reverse("trial-library"), {"lot": str(lot.pk)})
    after = client.get(reverse("mix"), ask).content.decode()
    gas = [re.findall(r"[\d.]+(?: to [\d.]+)? L", page) for page in (before, after)]
    assert gas[0]
    assert gas[0] != gas[1]


def test_a_mixture_is_compared_with_its_parts(client: Client, site: Site, keeper: Person) -> None:
    samples = (("bread", 0.42), ("whey", 0.36), ("both", 0.39))
    trial = make_trial(site, keeper, samples=samples)
    url = reverse("trial", args=[trial.pk])
    said = {"mixture": "both", "share-bread": "50", "share-whey": "50", "share-both": ""}
    assert (
        "where its parts alone would give" in client.post(url, said, follow=True).content.decode()
    )
    wrong = client.post(url, said | {"share-whey": "30"}, follow=True).content.decode()
    assert "two or more parts that add up to 100 %" in wrong
    itself = client.post(url, said | {"share-both": "10"}, follow=True).content.decode()
    assert "Leave the mixture itself empty" in itself


def test_all_others_are_compared_with_one_that_was_chosen(
    client: Client, site: Site, keeper: Person
) -> None:
    samples = (("bread", 0.42), ("whey", 0.36), ("pomace", 0.30))
    trial = make_trial(site, keeper, days=4, samples=samples)
    url = reverse("trial", args=[trial.pk])
    page = client.get(url, {"against": "whey"}).content.decode()
    assert "Differences from whey, NmL/g VS" in page
    assert "Differences from" not in client.get(url, {"against": "gravel"}).content.decode()
    result = trial_result(trial).result
    assert result is not None
    found = compare_with(result.result, "whey")
    assert [c.a for c in found] == ["bread", "cellulose", "pomace"]
    pairs = {(c.a, c.b): c for c in result.result.contrasts}
    # Three comparisons either way here, so the same interval by another road.
    assert found[0].high == pytest.approx(pairs["bread", "whey"].high, rel=1e-12)


def test_a_mixture_of_three_parts_is_compared_too(
    client: Client, site: Site, keeper: Person
) -> None:
    samples = (("bread", 0.42), ("whey", 0.36), ("pomace", 0.30), ("all", 0.37))
    trial = make_trial(site, keeper, samples=samples)
    url = reverse("trial", args=[trial.pk])
    said = {"mixture": "all", "share-bread": "50", "share-pomace": "30", "share-whey": "20"}
    page = client.post(url, said, follow=True).content.decode()
    assert "compared with 50 % bread, 30 % pomace, 20 % whey" in page
    trial.refresh_from_db()
    assert sum(trial.mixtures["all"].values()) == pytest.approx(1.0)
    assert "all: " in page


def test_crucibles_are_kept_and_their_scatter_enters_every_interval(
    client: Client, crusts: Trial
) -> None:
    before = trial_result(crusts).result
    url = reverse("trial-solids", args=[crusts.pk])
    assert client.get(url).status_code == 405
    typed = {
        "ts-inoculum": "2.9 3.0 3.1", "vs-inoculum": "66 67 68",
        "ts-cellulose": "95", "vs-cellulose": "100",
        "ts-bread": "63; 66 69", "vs-bread": "96 97 97",
    }  # fmt: skip
    page = client.post(url, typed, follow=True).content.decode()
    assert "inoculum 3, cellulose 1, bread 3" in page
    assert "not met" in page
    crusts.refresh_from_db()
    assert crusts.solids["bread"]["ts"] == pytest.approx([0.63, 0.66, 0.69])
    after = trial_result(crusts).result
    assert before is not None
    assert after is not None
    old, new = before.result.of("bread"), after.result.of("bread")
    assert old is not None
    assert new is not None
    product = [0.63 * 0.96, 0.66 * 0.97, 0.69 * 0.97]
    assert new.bottles[0].vs_kg == pytest.approx(2e-3 * sum(product) / 3)
    assert new.s3 > 0.0 == old.s3
    assert new.s3_df == 2.0
    assert crusts.history().last().why == "TS and VS measured"


def test_methane_by_content_without_analyses_says_what_is_missing(
    client: Client, crusts: Trial
) -> None:
    page = client.get(reverse("trial", args=[crusts.pk])).content.decode()
    assert "Methane is reckoned one way only" in page
    crusts.methane_way = "by_content"
    crusts.save(why="tried")
    page = client.get(reverse("trial", args=[crusts.pk])).content.decode()
    assert "Nothing can be said yet" in page
    assert "its gas was analysed less than twice" in page


def test_crucibles_that_are_no_numbers_are_named_and_stay_typed(
    client: Client, crusts: Trial
) -> None:
    url = reverse("trial-solids", args=[crusts.pk])
    page = client.post(url, {"ts-bread": "63 wet", "vs-bread": "96", "vs-inoculum": "60"})
    assert page.status_code == 422
    text = page.content.decode()
    assert "TS of bread" in text
    assert "solids of inoculum" in text
    assert 'value="63 wet"' in text
    crusts.refresh_from_db()
    assert crusts.solids == {}


def test_nobody_reaches_a_trial_without_logging_in_beyond_loopback(
    client: Client, crusts: Trial, beyond_loopback: None
) -> None:
    for name in ("trial", "trial-rack", "trial-plan"):
        assert client.get(reverse(name, args=[crusts.pk])).status_code == 302
