"""A class at a trial: a group logs in, reads its own bottles, sees them beside the whole."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from marshlight.notebook.models import Person, Reading, Site, Trial, TrialBottle
from marshlight.server.accounts import add_account, new_group_password, sole_keeper
from trial_world import make_trial

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def crusts(site: Site, keeper: Person) -> Trial:
    trial = make_trial(site, keeper, days=4, samples=(("bread", 0.42), ("whey", 0.36)))
    for bottle in trial.bottles.all():
        bottle.team = {"1": "herons", "2": "newts", "3": "otters"}[bottle.name[-1]]
        bottle.save(by=keeper, why="dealt out")
    trial.class_mode = True
    trial.save(by=keeper, why="a class")
    return trial


@pytest.fixture
def herons(beyond_loopback: None, crusts: Trial) -> Client:
    """Give a browser of the group called herons, logged in with the password on its slip."""
    password = new_group_password("herons")
    client = Client()
    done = client.post("/log-in/", {"username": "herons", "password": password})
    assert done.status_code == 302
    return client


def test_a_group_sees_its_own_bottles_and_the_means_but_no_other_groups_bottle(
    herons: Client,
) -> None:
    home = herons.get("/")
    assert home.url == reverse("own-bottles")
    page = herons.get(home.url).content.decode()
    assert "Bottles of herons" in page
    assert "bread 1" in page
    assert "bread 2" not in page
    assert "newts" not in page
    assert "Bread gave more methane than whey" in page
    assert "of 3" in page


def test_a_group_is_told_of_its_own_odd_bottle_and_not_of_others(
    beyond_loopback: None, site: Site, keeper: Person
) -> None:
    samples = (("bread", 0.42), ("whey", 0.36))
    trial = make_trial(site, keeper, days=4, samples=samples, leaking="whey 3")
    for bottle in trial.bottles.filter(name__startswith="whey"):
        bottle.team = {"1": "herons", "2": "newts", "3": "otters"}[bottle.name[-1]]
        bottle.save(by=keeper, why="dealt out")
    trial.class_mode = True
    trial.save(by=keeper, why="a class")
    for team, told in (("herons", False), ("otters", True)):
        client = Client()
        client.post("/log-in/", {"username": team, "password": new_group_password(team)})
        page = client.get("/own/").content.decode()
        assert ("whey 3 looks as if it leaks" in page) == told
        assert "Bottles of" in page
        assert bool(re.search(r"whey 3\b", page)) == told


def test_a_group_reads_its_own_bottles_and_signs_with_its_name(
    herons: Client, crusts: Trial
) -> None:
    url = reverse("own-rack", args=[crusts.pk])
    asked = herons.get(url).content.decode()
    assert asked.count('class="rack-cell"') == 4
    assert "whey 3" not in asked
    before = Reading.objects.count()
    own = TrialBottle.objects.get(name="bread 1")
    done = herons.post(url, {str(own.pk): "2100 mL", "at": "", "sure": "yes"})
    assert done.url == reverse("own-bottles")
    assert Reading.objects.count() == before + 1
    newest = Reading.objects.order_by("-entered_at").first()
    assert newest is not None
    assert newest.run == own.run
    assert newest.entered_by is not None
    assert newest.entered_by.name == "herons"


def test_a_group_cannot_write_for_another_groups_bottle(herons: Client, crusts: Trial) -> None:
    url = reverse("own-rack", args=[crusts.pk])
    before = Reading.objects.count()
    other = TrialBottle.objects.get(name="bread 2")
    answer = herons.post(url, {str(other.pk): "2100 mL", "at": "", "sure": "yes"})
    assert answer.status_code == 422
    asked = herons.post(f"{url}?group=newts", {str(other.pk): "2100 mL", "sure": "yes"})
    assert asked.status_code == 422
    assert Reading.objects.count() == before
    page = herons.get(f"{reverse('own-bottles')}?group=newts").content.decode()
    assert "Bottles of herons" in page
    assert "Bottles of newts" not in page


def test_every_other_page_is_closed_to_a_group(herons: Client, crusts: Trial) -> None:
    bottle = crusts.bottles.first()
    for url in (
        reverse("trial", args=[crusts.pk]),
        reverse("trial-rack", args=[crusts.pk]),
        reverse("trial-groups", args=[crusts.pk]),
        reverse("trial-report", args=[crusts.pk, "xlsx"]),
        reverse("run", args=[bottle.run.pk]),
        reverse("log", args=[bottle.run.pk]),
        "/people/", "/set-up/", "/backup/", "/mix/",
    ):  # fmt: skip
        answer = herons.get(url)
        assert answer.status_code == 403, url
        assert "A group sees its own bottles" in answer.content.decode()
        assert herons.post(url).status_code == 403, url
    assert herons.get("/cautions/").status_code == 200


def test_a_group_of_another_trial_finds_no_bottle_here(
    beyond_loopback: None, crusts: Trial
) -> None:
    stranger = add_account("frogs", new_group_password("herons") + "x", role="group")
    client = Client()
    client.force_login(stranger.user, backend=BACKEND)
    assert "No bottle of a running trial" in client.get("/own/").content.decode()
    assert client.get(reverse("own-rack", args=[crusts.pk])).status_code == 404


def test_strangers_are_asked_who_they_are_and_guesses_are_stopped(
    away: Client, crusts: Trial
) -> None:
    for url in ("/own/", reverse("own-rack", args=[crusts.pk])):
        assert away.get(url).status_code == 302
        assert away.get(url).url.startswith("/log-in/")
    password = new_group_password("herons")
    for _ in range(5):
        away.post("/log-in/", {"username": "herons", "password": "guess"})
    answer = away.post("/log-in/", {"username": "herons", "password": password})
    assert answer.status_code == 429


def test_a_group_needs_the_forms_own_token(herons: Client, crusts: Trial) -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = herons.cookies
    own = TrialBottle.objects.get(name="bread 1")
    before = Reading.objects.count()
    answer = strict.post(reverse("own-rack", args=[crusts.pk]), {str(own.pk): "2100 mL"})
    assert answer.status_code == 403
    assert Reading.objects.count() == before


def test_a_group_that_left_can_no_longer_come_in(herons: Client) -> None:
    person = Person.objects.get(name="herons")
    person.user.is_active = False
    person.user.save()
    assert herons.get("/own/").url.startswith("/log-in/")


def test_a_lead_deals_bottles_out_and_gets_passwords_shown_once(
    away: Client, lead: Person, crusts: Trial
) -> None:
    away.force_login(lead.user, backend=BACKEND)
    url = reverse("trial-groups", args=[crusts.pk])
    bottle = TrialBottle.objects.get(name="bread 2")
    done = away.post(url, {str(bottle.pk): "  water   voles "}, follow=True)
    assert "1 bottles changed hands" in done.content.decode()
    bottle.refresh_from_db()
    assert bottle.team == "water voles"
    page = away.post(url, {"log-in": "all"})
    text = page.content.decode()
    assert page["Cache-Control"].startswith("max-age=0")
    shown = dict(
        re.findall(r"<strong>([\w ]+)</strong><code>([a-z2-9]{4}(?:-[a-z2-9]{4}){2})</code>", text)
    )
    assert set(shown) == {"herons", "newts", "otters", "water voles"}
    assert "<code>" not in away.get(url).content.decode()
    group = Client()
    group.post("/log-in/", {"username": "water voles", "password": shown["water voles"]})
    assert "Bottles of water voles" in group.get("/own/").content.decode()
    kept = Person.objects.get(name="water voles")
    assert (kept.role, kept.notes, kept.user.email) == ("group", "", "")


def test_only_a_lead_deals_out_or_makes_passwords(
    away: Client, reader: Person, crusts: Trial
) -> None:
    away.force_login(reader.user, backend=BACKEND)
    url = reverse("trial-groups", args=[crusts.pk])
    assert away.get(url).status_code == 200
    assert away.post(url, {"log-in": "all"}).status_code == 403
    assert not Person.objects.filter(role="group").exists()


def test_a_name_that_a_person_bears_is_refused_for_a_group(
    away: Client, lead: Person, crusts: Trial
) -> None:
    away.force_login(lead.user, backend=BACKEND)
    url = reverse("trial-groups", args=[crusts.pk])
    bottle = TrialBottle.objects.get(name="bread 2")
    away.post(url, {str(bottle.pk): "lead"})
    page = away.post(url, {"log-in": "lead"}, follow=True).content.decode()
    assert "Give the group another name" in page
    lead.user.refresh_from_db()
    assert lead.user.has_usable_password()
    away.post(url, {"log-in": "otters"})
    assert Person.objects.get(name="lead").role == "lead"


def test_a_keeper_looks_at_any_group_from_the_machine_itself(here: Client, crusts: Trial) -> None:
    page = here.get("/own/?group=newts").content.decode()
    assert "Bottles of newts" in page
    assert "?group=newts" in page
    rack = here.get(reverse("own-rack", args=[crusts.pk]) + "?group=newts").content.decode()
    assert rack.count('class="rack-cell"') == 4
    assert here.get("/own/").status_code == 200


def test_a_group_is_never_the_keeper_of_its_own_machine(crusts: Trial, keeper: Person) -> None:
    keeper.retired = True
    keeper.save(why="left")
    new_group_password("herons")
    assert sole_keeper() is None
