"""A log refuses by name what cannot be, and can be put back to an earlier day."""

from typing import Any

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Counted, Read, RunLog
from marshlight.errors import InputError
from marshlight.process.model import Digester, DrawOff, Feed, Flow, Holder, inoculum, water

BARREL = Digester(0.2, Holder("bag", 0.3))
SLURRY = inoculum("digested cattle manure", 0.1)


def log(**changed: Any) -> RunLog:
    return RunLog(**{"digester": BARREL, "charge": SLURRY, "today": 10.0, **changed})


def counted(**changed: Any) -> Counted:
    usual = {
        "start_d": [0.0, 1.0],
        "end_d": [1.0, 2.0],
        "gas_m3": [0.1, 0.2],
        "u_m3": [0.01, 0.01],
        "at_least": [False, True],
    }
    return Counted(**{**usual, **changed})


@pytest.mark.parametrize(
    ("field", "make"),
    [
        ("today", lambda: log(today=-1.0)),
        ("today", lambda: log(today=float("nan"))),
        ("lively", lambda: log(lively=(2.0, 0.5))),
        ("food", lambda: log(food=(0.0, 2.0))),
        ("events", lambda: log(events=(DrawOff(11.0, 0.01),))),
        ("events", lambda: log(events=(Flow(1.0, water(0.01)),))),
        ("flame", lambda: log(flame=((1.0, "blue"),))),
        ("flame", lambda: log(flame=((12.0, "holds"),))),
        ("ph", lambda: log(ph=Read([11.0], [7.0], [0.1]))),
        ("gas", lambda: log(gas=counted(end_d=[1.0, 12.0]))),
        ("gas", lambda: counted(end_d=[1.0, 0.5])),
        ("gas", lambda: counted(u_m3=[0.01, 0.0])),
        ("gas", lambda: counted(gas_m3=[0.1])),
        ("gas", lambda: counted(gas_m3=[0.1, float("inf")])),
        ("readings", lambda: Read([1.0], [7.0, 7.1], [0.1])),
        ("readings", lambda: Read([1.0], [7.0], [-0.1])),
        ("readings", lambda: Read([1.0], [float("nan")], [0.1])),
        ("step", lambda: Read([1.0], [7.0], [0.1], -0.5)),
    ],
)
def test_what_cannot_be_is_refused_by_name(field: str, make: Any) -> None:
    with pytest.raises(InputError) as refused:
        make()
    assert refused.value.field == field


def test_an_earlier_day_knows_nothing_of_what_came_after() -> None:
    whole = log(
        events=(Feed(3.0, water(0.01)), Feed(6.0, water(0.01))),
        gas=counted(),
        ph=Read([1.0, 8.0], [7.0, 7.2], [0.1, 0.1], 0.5),
        flame=((2.0, "none"), (9.0, "holds")),
        acids=Read([9.0], [1.0], [0.1]),
        liquid_m3=0.12,
    )
    then = whole.until(5.0)
    assert then.today == 5.0
    assert [event.day for event in then.events] == [3.0]
    assert then.gas is not None
    assert len(then.gas) == 2
    assert then.ph is not None
    assert (then.ph.day.tolist(), then.ph.step) == ([1.0], 0.5)
    assert then.flame == ((2.0, "none"),)
    assert then.acids is None
    assert then.liquid_m3 is None
    assert whole.until(1.5).gas is not None
    assert len(whole.until(1.5).gas or ()) == 1
    assert whole.until(0.5).gas is None


def test_readings_are_counted_but_for_warmth() -> None:
    read = log(
        gas=counted(), flame=((2.0, "none"),), slurry_c=Read([1.0], [30.0], [0.5]),
        ph=Read(np.arange(3.0), np.full(3, 7.0), np.full(3, 0.1)),
    )  # fmt: skip
    assert read.readings == 6
    assert not read.fed
    assert log(events=(Feed(3.0, water(0.01)),)).fed
