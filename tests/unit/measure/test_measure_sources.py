"""Every result can list what it rests on, and every key it lists exists."""

import pytest

from marshlight.apparatus import HOLDER_KINDS
from marshlight.estimate import Estimate
from marshlight.matter.atmosphere import pressure_from_altitude, pressure_from_station
from marshlight.measure import (
    AirShare,
    AlkaliCapture,
    Analyser,
    Co2Absorption,
    FlameTest,
    GasDensity,
    Headspace,
    methane_share,
)
from marshlight.sources import source
from unit.measure.conftest import DRUM, START, Log, levels


def test_a_ledger_lists_its_sources(log: Log) -> None:
    space = Headspace(Estimate(0.008, 0.0002), Estimate(36.0, 0.5))
    air = pressure_from_altitude(640.0)
    ledger = log(levels((1.0, 0.1)), START, headspace=space, barometer=air)
    assert {"hafner_2020_doc_201", "icao_7488", DRUM.liquid.source} <= set(ledger.sources)
    assert "mixed_headspace" in ledger.sources
    assert all(source(key).citation for key in ledger.sources)


def test_a_methane_share_lists_its_sources() -> None:
    found = methane_share([FlameTest("holds"), Co2Absorption(Estimate(0.39, 0.012))])
    assert found.sources[0] == "share_prior"
    assert "flame_practice" in found.sources
    assert len(set(found.sources)) == len(found.sources)


@pytest.mark.parametrize(
    "thing",
    [
        *HOLDER_KINDS.values(),
        AirShare,
        AlkaliCapture,
        Analyser,
        Co2Absorption,
        FlameTest,
        GasDensity,
    ],
)
def test_every_holder_and_test_names_sources_that_exist(thing: type) -> None:
    assert thing.SOURCES  # type: ignore[attr-defined]
    assert all(source(key).how for key in thing.SOURCES)  # type: ignore[attr-defined]


def test_a_reports_pressure_names_its_sources() -> None:
    for reduced in (True, False):
        found = pressure_from_station(97.0, 640.0, reduced_to_sea_level=reduced)
        assert all(source(key) for key in found.sources)
