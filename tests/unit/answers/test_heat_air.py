"""The air around a vessel: typed, logged or usual."""

import numpy as np
import pytest

from marshlight.answers.heat import heat
from marshlight.answers.heat_air import read_series, repeated
from marshlight.errors import InputError

DAY = "0 10; 4 8; 8 12; 12 18; 16 20; 20 14; 24 10"


def test_a_series_repeats_itself_day_after_day() -> None:
    air = repeated(*read_series(DAY))
    assert air.period_d == 1.0
    assert air.at([0.5, 1.5, 40.5]).tolist() == [18.0, 18.0, 18.0]


def test_dates_are_read_with_their_time_of_day() -> None:
    rows = "when,celsius\n" + "\n".join(
        f"2026-03-0{1 + h // 24} {h % 24:02d}:00,{h}" for h in range(30)
    )
    day, value = read_series(rows)
    assert day[0] % 1.0 == 0.0
    assert day[-1] - day[0] == pytest.approx(29.0 / 24.0)
    assert value.tolist() == list(range(30))
    # The newest whole day is what repeats.
    assert repeated(day, value).at([5.0 / 24.0, 6.0 / 24.0]) == pytest.approx([29.0, 6.0])


def test_any_unit_may_be_written() -> None:
    assert read_series("0 50 F; 1 10")[1] == pytest.approx([10.0, 10.0])


@pytest.mark.parametrize("text", ["0 10; noon 12", "0 10; 1", "1 900", ""])
def test_what_cannot_be_read_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        repeated(*read_series(text))


def test_half_a_day_is_too_little() -> None:
    with pytest.raises(InputError, match="over a day"):
        repeated(np.linspace(0.0, 0.4, 12), np.full(12, 12.0))


@pytest.mark.django_db
def test_a_typed_series_stands_for_the_air() -> None:
    typed = {"heater": "none", "air": "typed", "series": DAY.replace("20;", "44;")}
    warm = heat(typed)
    plain = heat({**typed, "series": DAY})
    assert warm.told.sections[0].figures[0].value > plain.told.sections[0].figures[0].value


@pytest.mark.django_db
def test_a_wrong_series_is_said_beside_its_field() -> None:
    assert set(heat({"air": "typed", "series": "0 cold"}).told.problems) == {"series"}
    assert set(heat({"air": "logged"}).told.problems) == {"air"}
