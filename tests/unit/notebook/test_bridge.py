"""Rows become the engine's objects, nothing guessed without a note."""

import math
from datetime import date, timedelta

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from marshlight.apparatus import Bag, Counter, DisplacementColumn, FloatingCylinder, SealedBottle
from marshlight.errors import InputError, NotebookError
from marshlight.matter.gas import dry_normal_factor
from marshlight.matter.library import library
from marshlight.matter.lot import aged
from marshlight.matter.water import BRINE
from marshlight.measure import build_ledger
from marshlight.notebook.bridge import (
    air_pressure_of,
    feedstock_of,
    holder_of,
    lot_as_kept,
    own_feedstock,
    run_facts,
    vessel_of,
)
from marshlight.notebook.importing import read_table, suggest_layout, take_in
from marshlight.notebook.models import Feedstock, Holder, Lot, Run, Site, Vessel
from marshlight.notebook.recording import record_event, record_reading, retract
from unit.notebook.conftest import day

pytestmark = pytest.mark.django_db


def _holder(site: Site, kind: str, **dimensions: object) -> Holder:
    return Holder.objects.create(name=kind, site=site, kind=kind, dimensions=dimensions)


def _counted(run: Run, kind: str, values: list[float]) -> Run:
    """Read a counter on days 0, 1, 2 ... in litres."""
    run.holder = None
    run.save(why="a counter without set-up")
    for days, value in enumerate(values):
        record_reading(run, kind, value, unit="L", at=day(days))
    return run


def _litres(run: Run) -> list[float]:
    facts = run_facts(run)
    log = facts.holder_log
    assert log.holder is not None
    ledger = build_ledger(
        log.holder,
        log.readings,
        log.events,
        barometer=facts.barometer,
        instruments=log.instruments,
        room_temperature=log.room,
    )
    return [round(float(v) * 1e3, 4) for v in ledger.cumulative_m3]


def test_an_own_feedstock_stands_alone_or_on_a_library_material(own_mash: Feedstock) -> None:
    alone = own_feedstock(own_mash)
    assert (alone.key, alone.value("TS"), alone.get("methane_potential")) == (
        "acorn_mash",
        0.4,
        None,
    )
    own_mash.based_on = "bread_stale"
    based = own_feedstock(own_mash)
    assert based.value("TS") == 0.4
    assert based.value("methane_potential") == library()["bread_stale"].value("methane_potential")
    assert "Bitter." in based.cautions


def test_a_material_that_left_the_library_is_named(own_mash: Feedstock) -> None:
    own_mash.based_on = "unobtainium"
    with pytest.raises(NotebookError, match="unobtainium"):
        own_feedstock(own_mash)


def test_a_lots_lab_values_replace_the_librarys(manure: Lot) -> None:
    stock = feedstock_of(manure)
    assert stock.value("TS") == 0.28
    assert stock.properties["TS"].source == "measured_by_user"
    assert stock.value("VS") == library()["goat_manure"].value("VS")


def test_a_lot_ages_from_the_day_it_was_gathered(manure: Lot) -> None:
    kept = lot_as_kept(manure, date(2026, 4, 9))
    assert kept.age_d == 10.0
    by_hand = aged(feedstock_of(manure), age_d=10.0, temperature_c=12.0, storage="covered")
    assert kept.ageing.feedstock == by_hand
    assert lot_as_kept(manure, date(2026, 3, 1)).age_d == 0.0


def test_a_cold_store_is_cold_whatever_the_room_is(manure: Lot) -> None:
    manure.storage, manure.storage_temperature_c = Lot.Storage.COLD, 18.0
    assert lot_as_kept(manure, date(2026, 4, 9)).temperature_c == 10.0


def test_vessels_know_their_shape(drum: Vessel) -> None:
    assert vessel_of(drum).total_m3 == pytest.approx(0.025)
    drum.shape, drum.dimensions = "cylinder", {"diameter_m": 0.3, "height_m": 0.4}
    assert vessel_of(drum).total_m3 == pytest.approx(math.pi / 4 * 0.09 * 0.4)
    drum.dimensions = {"diameter_m": 0.3}
    with pytest.raises(InputError, match="height"):
        vessel_of(drum)
    drum.dimensions = {"diameter_m": 0.3, "height_m": 0.4, "colour": 3}
    with pytest.raises(InputError, match="colour"):
        vessel_of(drum)


def test_every_kind_of_holder_has_its_engine_object(site: Site) -> None:
    made = [
        holder_of(_holder(site, "floating", bore_m=0.15, mass_kg=0.4, travel_m=0.3)),
        holder_of(_holder(site, "bag", capacity_m3=0.3)),
        holder_of(
            _holder(
                site,
                "displacement",
                bore_m=0.1,
                height_m=0.5,
                top_above_bath_m=0.3,
                liquid="brine",
            )
        ),
        holder_of(_holder(site, "counter", per_count_m3=1e-5)),
        holder_of(_holder(site, "sealed", headspace_m3=4e-4)),
    ]
    kinds = [FloatingCylinder, Bag, DisplacementColumn, Counter, SealedBottle]
    assert [type(one) for one in made] == kinds
    assert made[2].liquid == BRINE
    assert {kind for kind, _ in Holder.Kind.choices} == {
        "floating",
        "bag",
        "displacement",
        "counter",
        "sealed",
        "scale",
    }


def test_a_holder_without_its_dimensions_says_which_are_missing(site: Site) -> None:
    with pytest.raises(InputError, match="travel_m"):
        holder_of(_holder(site, "floating", bore_m=0.15, mass_kg=0.4))


def test_air_pressure_comes_from_barometer_altitude_or_an_open_guess(site: Site) -> None:
    assert air_pressure_of(site)[0].pressure_kpa == pytest.approx(93.87, abs=0.01)
    site.barometer_kpa = 94.4
    assert air_pressure_of(site)[0].pressure_kpa == 94.4
    site.barometer_kpa = site.altitude_m = None
    guess, note = air_pressure_of(site)
    assert "altitude" in note
    assert guess.u_kpa > 3.0


def test_a_runs_facts_hold_current_versions_only(full: Run) -> None:
    facts = run_facts(full)
    assert facts.series["level"].value.tolist() == pytest.approx([0.03, 0.08, 0.15, 0.25, 0.091])
    assert facts.series["level"].day.tolist() == pytest.approx([1, 2, 3, 4, 5])
    assert "ph" not in facts.series
    assert [d.detail["answer"] for d in facts.of_kind("flame")] == ["holds"]


def test_a_charge_is_mixed_from_its_lots_as_they_were_that_day(full: Run, manure: Lot) -> None:
    charge = run_facts(full).first_charge
    assert charge is not None
    assert charge.blend is not None
    assert [p.mass_kg for p in charge.parts] == pytest.approx([5.0, 0.45359237])
    assert charge.water_kg == pytest.approx(11.0)
    assert charge.mass_kg == pytest.approx(16.45359237)
    two_days = lot_as_kept(manure, date(2026, 4, 1)).ageing.feedstock
    assert charge.parts[0].feedstock == two_days
    solids = sum(p.mass_kg * p.feedstock.value("TS") for p in charge.parts)
    assert charge.blend.TS.value == pytest.approx(solids / charge.mass_kg, rel=1e-9)


def test_a_charge_that_was_not_written_down_says_so(run: Run) -> None:
    record_event(run, "charge", "16 kg", at=day(0))
    charge = run_facts(run).first_charge
    assert charge is not None
    assert (charge.mass_kg, charge.blend) == (16.0, None)
    assert charge.volume_m3 == pytest.approx(0.016)
    assert "not written down" in charge.why_unknown


def test_the_gas_space_is_what_the_slurry_leaves(run: Run) -> None:
    record_event(run, "charge", "16 kg", detail={"filled_to": "16.5 L"}, at=day(0))
    record_reading(run, "slurry_temperature", "36", at=day(1))
    space = run_facts(run).headspace
    assert space is not None
    assert space.volume_m3.value == pytest.approx(0.0085)
    assert space.temperature_c.value == 36.0


def test_levels_temperatures_and_emptying_reach_the_gas_ledger(full: Run) -> None:
    log = run_facts(full).holder_log
    assert [r.way for r in log.readings] == ["level"] * 5
    assert {round(r.temperature_c or 0.0, 2) for r in log.readings[:4]} == {17.78}
    assert [(e.kind, e.level_after) for e in log.events] == [("started", None), ("emptied", 0.0)]
    drum = log.holder
    assert isinstance(drum, FloatingCylinder)
    # The same by hand for day 1: 30 mm of a 150 mm bore at the altitude's pressure and 64 F.
    warm = 17.7778
    pressure = 93.8698 + drum.gauge_pressure_kpa(0.03, warm)
    factor = dry_normal_factor(warm, pressure, 1.0)
    by_hand = 1e3 * float(drum.gas_volume_m3(0.03, temperature_c=warm)) * float(factor)
    assert _litres(full)[1] == pytest.approx(by_hand, rel=1e-4)


def test_a_series_of_daily_gas_and_its_running_total_give_the_same_gas(run: Run) -> None:
    daily = _litres(_counted(run, "collected", [0.0, 1.5, 2.0, 0.5]))
    other = Run.objects.create(
        name="Goat 2", site=run.site, vessel=run.vessel, started_at=run.started_at
    )
    total = _litres(_counted(other, "counter", [0.0, 1.5, 3.5, 4.0]))
    assert daily == total
    assert daily[-1] > 0.0


def test_a_counter_that_did_not_start_at_zero_counts_from_where_it_stood(run: Run) -> None:
    from_zero = _litres(_counted(run, "counter", [0.0, 1.5, 3.5]))
    other = Run.objects.create(
        name="Goat 2", site=run.site, vessel=run.vessel, started_at=run.started_at
    )
    assert _litres(_counted(other, "counter", [812.0, 813.5, 815.5])) == from_zero


def test_a_counter_not_read_at_the_start_is_said_to_miss_gas(run: Run) -> None:
    run.holder = None
    run.save(why="a counter without set-up")
    for days, value in ((3, 10.0), (4, 12.0)):
        record_reading(run, "counter", value, unit="L", at=day(days))
    facts = run_facts(run)
    assert any("not read at the start" in note for note in facts.notes)
    assert facts.holder_log.events == ()


def test_feeds_and_draw_offs_change_the_slurry(run: Run) -> None:
    record_event(run, "charge", "16 kg", at=day(0))
    record_event(run, "feed", "1 kg", at=day(3))
    record_event(run, "draw_off", "1.2 L", at=day(4))
    record_reading(run, "level", "30 mm", at=day(5))
    changes = [e.slurry_change_m3 for e in run_facts(run).holder_log.events]
    assert changes == pytest.approx([0.0, 0.001, -0.0012])


def test_a_feed_of_nothing_is_no_feed(run: Run) -> None:
    parts = [{"feedstock": "bread_stale", "mass_kg": 0.0}]
    record_event(run, "feed", detail={"parts": parts}, at=day(3))
    facts = run_facts(run)
    assert len(facts.events) == 1
    assert facts.charges == ()


def test_gas_used_through_a_meter_and_gas_let_out_by_eye_are_told_apart(run: Run) -> None:
    record_reading(run, "level", "130 mm", at=day(1))
    record_event(run, "gas_used", "1.5 L", detail={"level_after": "40 mm"}, at=day(1.01))
    record_event(run, "gas_vented", detail={"level_after": "10 mm"}, at=day(2))
    record_event(run, "overflow", at=day(3))
    events = run_facts(run).holder_log.events[1:]
    assert [(e.kind, e.metered_m3, e.level_after) for e in events] == [
        ("used", pytest.approx(0.0015), pytest.approx(0.04)),
        ("vented", None, pytest.approx(0.01)),
        ("overflowed", None, None),
    ]


def test_a_run_without_a_holder_says_that_gas_cannot_be_measured(run: Run) -> None:
    run.holder = None
    run.save(why="none built yet")
    record_reading(run, "ph", "7", at=day(1))
    facts = run_facts(run)
    assert facts.holder_log.holder is None
    assert any("No gas holder" in note for note in facts.notes)


def test_a_planned_run_has_facts_without_a_log(run: Run) -> None:
    run.started_at = None
    run.save(why="planned")
    facts = run_facts(run)
    assert facts.series == {}
    assert facts.charges == ()


def test_a_set_up_that_cannot_be_built_is_noted_and_does_not_stop_the_rest(run: Run) -> None:
    assert run.holder is not None
    run.holder.dimensions = {"bore_m": 0.15}
    run.holder.save(why="half filled in")
    record_reading(run, "ph", "7", at=day(1))
    facts = run_facts(run)
    assert any("travel_m" in note for note in facts.notes)
    assert facts.series["ph"].value.tolist() == [7.0]


def test_a_retracted_event_reaches_no_ledger(run: Run) -> None:
    record_reading(run, "level", "130 mm", at=day(1))
    emptied = record_event(run, "holder_emptied", "0 mm", at=day(1.01)).record
    retract(emptied, reason="it was the other cylinder")
    assert [e.kind for e in run_facts(run).holder_log.events] == ["started"]


def test_facts_take_few_queries_however_long_the_log(full: Run) -> None:
    lines = [f"{day(6) + timedelta(minutes=n):%Y-%m-%d %H:%M},{n % 200}" for n in range(2000)]
    log = read_table(("time,level (mm)\n" + "\n".join(lines) + "\n").encode(), "log.csv")
    take_in(full, log, suggest_layout(log))
    with CaptureQueriesContext(
        connection,
    ) as queries:
        facts = run_facts(full)
    assert facts.series["level"].value.size == 2005
    assert np.all(np.diff(facts.series["level"].day) >= 0)
    assert len(queries) <= 5
