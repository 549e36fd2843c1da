"""Set-up records may change, and every state they were in is kept."""

import pytest

from marshlight.errors import NotebookError
from marshlight.notebook.models import Person, Site, Vessel

pytestmark = pytest.mark.django_db


def test_every_state_of_a_vessel_is_kept_with_who_and_why(drum: Vessel, keeper: Person) -> None:
    drum.volume_m3 = 0.026
    drum.save(by=keeper, why="measured by filling it with water")
    versions = list(drum.history())
    assert [v.version for v in versions] == [1, 2]
    assert [v.state["volume_m3"] for v in versions] == [0.025, 0.026]
    assert (versions[1].by, versions[1].why) == (keeper, "measured by filling it with water")


def test_saving_without_a_change_adds_no_version(drum: Vessel) -> None:
    drum.save()
    assert drum.history().count() == 1


def test_a_partial_save_records_only_what_was_saved(drum: Vessel) -> None:
    drum.volume_m3, drum.insulation = 0.03, "straw"
    drum.save(update_fields=["insulation"], why="wrapped")
    state = drum.history().last().state
    assert (state["volume_m3"], state["insulation"]) == (0.025, "straw")


def test_changing_many_at_once_is_refused_because_it_keeps_no_history(drum: Vessel) -> None:
    with pytest.raises(NotebookError, match="history"):
        Vessel.objects.update(volume_m3=1.0)
    with pytest.raises(NotebookError, match="history"):
        Vessel.objects.bulk_create([Vessel(name="x", site=drum.site, volume_m3=1.0)])
    with pytest.raises(NotebookError, match="history"):
        Vessel.objects.bulk_update([drum], ["volume_m3"])


def test_nothing_is_deleted_but_things_can_be_retired(site: Site) -> None:
    with pytest.raises(NotebookError, match="retired"):
        site.delete()
    with pytest.raises(NotebookError, match="retired"):
        Site.objects.all().delete()
    site.retired = True
    site.save(why="moved")
    assert not Site.objects.in_use().exists()
    assert Site.objects.count() == 1
