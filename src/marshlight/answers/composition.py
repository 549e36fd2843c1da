"""How much methane the gas holds now, from every recent test that says something about it."""

from collections.abc import Iterator

from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.measure import (
    Analyser,
    Co2Absorption,
    Evidence,
    FlameTest,
    MethaneShare,
    absorbed_share,
    methane_share,
)
from marshlight.notebook.bridge import RunRecords
from marshlight.notebook.bridge.series import DetailedReading

# The make-up of the gas changes over days: an older test speaks of another gas. Our choice.
RECENT_D = 2.0
# A hand-held analyser's usual specification; common practice, no source.
_ANALYSER_U = 0.02
_USUAL_GAS_C = 20.0
_TESTS = ("flame", "analyser", "co2_absorption", "lab")
_LAB_GASES = {"methane": "CH4", "carbon_dioxide": "CO2"}


def composition_of(records: RunRecords) -> MethaneShare | None:
    """Combine the newest tests of the gas; None where there is none.

    Parameters
    ----------
    records : RunRecords
        The run's log.

    Returns
    -------
    MethaneShare or None
        From the newest test and those of the two days before it.
    """
    tests = [reading for reading in records.detailed if reading.kind in _TESTS]
    found = [(reading.day, evidence) for reading in tests for evidence in evidence_of(reading)]
    if not found:
        return None
    newest = max(day for day, _ in found)
    return methane_share([evidence for day, evidence in found if day >= newest - RECENT_D])


def evidence_of(reading: DetailedReading) -> Iterator[Evidence]:
    """Read one test as evidence; a test that contradicts itself says nothing."""
    try:
        if reading.kind == "flame":
            yield FlameTest(str(reading.detail["answer"]))
        elif reading.kind == "analyser":
            yield from _analyser(reading)
        elif reading.kind == "co2_absorption":
            yield Co2Absorption(_absorbed(reading))
        elif reading.detail.get("analyte") in _LAB_GASES and reading.value is not None:
            yield Analyser(_LAB_GASES[reading.detail["analyte"]], reading.value, _ANALYSER_U)
    except (InputError, KeyError, TypeError):
        return


def _analyser(reading: DetailedReading) -> Iterator[Evidence]:
    shown = {
        "CH4": reading.value,
        "CO2": reading.detail.get("carbon_dioxide"),
        "O2": reading.detail.get("oxygen"),
    }
    for gas, share in shown.items():
        if share is not None:
            # Oxygen cells drift less than infrared benches.
            yield Analyser(gas, float(share), _ANALYSER_U / 4 if gas == "O2" else _ANALYSER_U)


def _absorbed(reading: DetailedReading) -> Estimate:
    before, after = reading.detail.get("before"), reading.detail.get("after")
    if before and after is not None:
        return absorbed_share(float(before), float(after), temperature_c=_USUAL_GAS_C)
    if reading.value is None:
        raise KeyError("no share and no volumes")
    return Estimate(reading.value, _ANALYSER_U)
