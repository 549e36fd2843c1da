"""Every kind is described fully and in units that exist."""

import pytest

from marshlight.errors import InputError
from marshlight.notebook.kinds import EVENTS, READINGS, Kind, event_kind, reading_kind
from marshlight.units import QUANTITIES, parse

KINDS = [*READINGS.values(), *EVENTS.values()]


def _measures(kind: Kind) -> list[object]:
    found = [kind.measure, *kind.measures.values(), *(d.measure for d in kind.details)]
    return [measure for measure in found if measure is not None]


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.key)
def test_a_kinds_units_are_on_the_white_list_and_its_ranges_make_sense(kind: Kind) -> None:
    for measure in _measures(kind):
        assert measure.quantity in QUANTITIES
        parse("1", measure.quantity, field=kind.words, unit=measure.unit)
        for span in (measure.usual, measure.possible):
            assert span is None or span[0] < span[1]
        if measure.usual and measure.possible:
            assert measure.possible[0] <= measure.usual[0] < measure.usual[1] <= measure.possible[1]


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.key)
def test_a_kind_asks_a_question_and_says_its_name(kind: Kind) -> None:
    assert kind.ask.endswith("?")
    assert kind.words
    assert len({d.name for d in kind.details}) == len(kind.details)
    if kind.measure_by:
        asked = kind.detail(kind.measure_by)
        assert asked is not None
        assert set(asked.choices) == set(kind.measures)
        assert asked.required


def test_an_unknown_kind_is_refused_with_the_list() -> None:
    with pytest.raises(InputError, match="slurry_temperature"):
        reading_kind("colour")
    with pytest.raises(InputError, match="draw_off"):
        event_kind("dance")
