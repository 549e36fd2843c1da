"""Set-up records may change, and every state they were in is kept."""

import pytest
from django.db import connection

from marshlight.errors import NotebookError
from marshlight.notebook import guards
from marshlight.notebook.models import Person, Site, Vessel
from marshlight.notebook.plain import plain_values, to_plain

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


def test_a_row_written_before_a_field_was_added_reads_with_it_empty(drum: Vessel) -> None:
    kept = to_plain(Vessel.objects.get(pk=drum.pk))
    older = {name: value for name, value in kept.items() if name not in ("stand", "relief_depth_m")}
    values = plain_values(Vessel, older)
    assert values["stand"] == ""
    assert values["relief_depth_m"] is None


def test_a_row_without_what_every_row_has_is_refused(drum: Vessel) -> None:
    kept = to_plain(Vessel.objects.get(pk=drum.pk))
    del kept["name"]
    with pytest.raises(NotebookError, match="name"):
        plain_values(Vessel, kept)


def test_no_guard_is_lost_to_a_new_column(drum: Vessel) -> None:
    assert guards.missing(connection) == []
