"""Dangerous inputs, each with what is said to it; a number that is typed is refused by itself."""

from collections.abc import Callable

import pytest

from marshlight.apparatus import Vessel
from marshlight.apparatus.cleaning import air_dose
from marshlight.apparatus.heat import (
    Danger,
    Heater,
    Outside,
    body_of,
    dangers_of,
    usual_stand,
    usual_wrap,
)
from marshlight.decide.safety import (
    all_cautions,
    hold_time,
    refusal_of,
    refusals,
    require_heater,
    require_outdoors,
    require_relief,
)
from marshlight.errors import InputError
from marshlight.sources import source


def dangers(
    heater: Heater, *, safeguard: str = "unknown", liquids: bool = True, cut_out: bool = False
) -> tuple[Danger, ...]:
    """Look at a heater on a 10 L vessel in foam, in a warm room."""
    body = body_of(
        Vessel.given(volume_m3=0.01),
        slurry_m3=0.0066,
        wrap=usual_wrap("eps", 0.025),
        stand=usual_stand("table"),
        heater_place=heater.place,
    )
    return dangers_of(
        body,
        heater,
        Outside(24.0, 24.0),
        safeguard=safeguard,
        made_for_liquids=liquids,
        cut_out=cut_out,
    )


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (lambda: require_outdoors("cellar"), "never let out in a room"),
        (lambda: air_dose(0.15, h2s_share=2e-3, methane=0.6), "Do not dose so much air"),
        (lambda: hold_time(38.0, solids=0.05), "No time-temperature rule reaches below 50 degC"),
        (lambda: hold_time(49.9, solids=0.05), "does not make digestate safe"),
        (lambda: require_relief(sealed=True, relief=False), "never closed without a relief"),
        (lambda: require_heater(dangers(Heater("cable", 50.0))), "second, independent cut-out"),
        (lambda: require_heater(dangers(Heater("cable", 50.0))), "past boiling"),
        (lambda: require_heater(dangers(Heater("cable", 5.0, 65.0))), "kept above 60 degC"),
        (
            lambda: require_heater(dangers(Heater("cable", 5.0, 37.0), safeguard="no")),
            "without a residual-current device",
        ),
        (
            lambda: require_heater(dangers(Heater("immersed", 5.0, 37.0), liquids=False)),
            "No improvised immersion heater",
        ),
    ],
    ids=[
        *("indoors", "15 % air", "38 degC", "49.9 degC", "sealed", "unregulated", "boils"),
        *("65 degC", "no residual-current device", "improvised"),
    ],
)
def test_a_dangerous_number_is_refused_with_its_reason(
    typed: Callable[[], object], said: str
) -> None:
    with pytest.raises(InputError, match="cannot be used") as refused:
        typed()
    assert said in str(refused.value)
    assert refused.value.remedy


def test_what_is_not_dangerous_passes() -> None:
    require_outdoors("outdoors")
    require_relief(sealed=True, relief=True)
    require_relief(sealed=False, relief=False)
    require_heater(dangers(Heater("cable", 5.0, 37.0), safeguard="yes"))


def test_a_thermostat_that_may_stick_is_warned_of_but_not_refused() -> None:
    found = dangers(Heater("cable", 50.0, 37.0))
    require_heater(found)
    assert "Fit a second, separate cut-out" in found[0].text
    fitted = dangers(Heater("cable", 50.0, 37.0), cut_out=True)
    assert "only the second cut-out stops the vessel" in fitted[0].text


def test_a_cut_out_alone_is_no_thermostat() -> None:
    with pytest.raises(InputError, match="without a thermostat"):
        require_heater(dangers(Heater("cable", 50.0), cut_out=True))


@pytest.mark.parametrize(
    ("act", "key"),
    [
        ("vent it indoors", "indoor_venting"),
        ("dose 15 % air", "air_overdose"),
        ("climb into the digester", "entering"),
        ("enter the vessel", "entering"),
        ("pasteurise at 40 degC", "cool_pasteurising"),
        ("seal the drum with no relief", "sealed_rigid"),
        ("test the flame at the lid", "flame_at_vessel"),
        ("look for a leak with a lighter", "flame_leak_test"),
        ("use an immersion heater", "immersion_heater"),
        ("weld the tank", "hot_work"),
        ("spread human waste on crops", "night_soil_crops"),
        ("dry out the iron sponge indoors", "sponge_indoors"),
        ("fill a gas bottle", "bottling"),
        ("trust my nose", "nose_as_alarm"),
        ("set the thermostat to 65", "hot_set_point"),
        ("plug the heater in without rcd", "unprotected_mains"),
    ],
)
def test_an_act_in_plain_words_meets_its_refusal(act: str, key: str) -> None:
    found = refusal_of(act)
    assert found is not None
    assert found.key == key


def test_an_unknown_act_gets_no_blessing() -> None:
    assert refusal_of("whistle a tune") is None


@pytest.mark.parametrize("key", list(refusals()))
def test_a_refusal_says_no_why_and_what_instead(key: str) -> None:
    refusal = refusals()[key]
    assert refusal.says.startswith(("No", "Not "))
    assert refusal.why.endswith(".")
    assert refusal.instead.endswith(".")
    assert refusal.caution_key in all_cautions()
    assert source(refusal.source).citation
    assert "safe" not in f"{refusal.says} {refusal.instead}".lower()
