"""Starting a run from a mix: the plan and the charge are kept together, or neither."""

from urllib.parse import urlencode

import pytest
from django.test import Client

from marshlight.notebook.models import Event, Person, Run, Site
from marshlight.notebook.setting_up import set_up

pytestmark = pytest.mark.django_db

MIX = {
    "vessel": "Drum 7",
    "what-1": "digester effluent",
    "have-1": "12 kg",
    "what-2": "stale bread",
    "have-2": "2",
}


@pytest.fixture
def drum(site: Site, keeper: Person) -> None:
    """Set up a drum and a holder."""
    set_up("vessel", {"name": "Drum 7", "volume": "25 L"}, by=keeper)
    holder = {"name": "Bag 7", "kind": "bag", "capacity": "20 L"}
    set_up("holder", holder, by=keeper)


def test_a_run_starts_with_the_mix_as_its_charge(here: Client, drum: None, keeper: Person) -> None:
    page = here.get("/mix/start/", MIX).content.decode()
    assert "Drum 7" in page
    assert "Never close a vessel that cannot breathe" in page
    sent = {"mix": urlencode(MIX), "name": "Spring", "holder": "Bag 7", "at": "2026-05-01T08:00"}
    answer = here.post("/mix/start/", sent, follow=True)
    run = Run.objects.get(name="Spring")
    assert answer.redirect_chain[-1][0] == f"/runs/{run.pk}/"
    charge = Event.objects.get(run=run, kind="charge")
    assert {part.get("feedstock") for part in charge.detail["parts"]} >= {"digester_effluent"}
    assert charge.entered_by == keeper
    assert run.started_at == charge.at
    assert run.holder is not None
    assert run.holder.name == "Bag 7"
    assert "sentence" in run.plan


def test_a_run_without_a_name_is_refused_and_nothing_is_kept(here: Client, drum: None) -> None:
    sent = {"mix": urlencode(MIX), "name": " ", "holder": "Bag 7"}
    page = here.post("/mix/start/", sent)
    assert page.status_code == 422
    assert "Give the name" in page.content.decode()
    assert "<option selected>Bag 7</option>" in page.content.decode()
    assert not Run.objects.exists()


def test_an_impossible_time_is_said_beside_its_field(here: Client, drum: None) -> None:
    sent = {"mix": urlencode(MIX), "name": "Spring", "at": "yesterday-ish"}
    page = here.post("/mix/start/", sent)
    assert page.status_code == 422
    assert 'value="yesterday-ish"' in page.content.decode()
    assert not Run.objects.exists()
    assert not Event.objects.exists()


def test_a_mix_for_a_mere_volume_asks_for_a_vessel(here: Client, drum: None) -> None:
    mix = urlencode({**MIX, "vessel": "", "volume": "25"})
    page = here.post("/mix/start/", {"mix": mix, "name": "Spring"})
    assert page.status_code == 422
    assert "Set the vessel up" in page.content.decode()
    done = here.post("/mix/start/", {"mix": mix, "name": "Spring", "vessel": "Drum 7"})
    assert done.status_code == 302
    assert Run.objects.get().vessel.name == "Drum 7"


def test_a_reader_cannot_start_a_run(away: Client, reader: Person, drum: None) -> None:
    away.force_login(reader.user, backend="django.contrib.auth.backends.ModelBackend")
    assert away.post("/mix/start/", {"mix": urlencode(MIX), "name": "X"}).status_code == 403
    assert not Run.objects.exists()
