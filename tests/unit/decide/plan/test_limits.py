"""Limits as shipped: each end with a source, and the user's ends in their place."""

import pytest

from marshlight.decide.plan import aims, limits_for
from marshlight.errors import InputError
from marshlight.sources import source


@pytest.mark.parametrize("aim", list(aims()))
def test_every_end_of_every_limit_has_a_source(aim: str) -> None:
    for limit in limits_for(aim).values():
        for end, key in ((limit.low, limit.source_low), (limit.high, limit.source_high)):
            if abs(end) != float("inf"):
                assert source(key).citation, limit.key


def test_the_surest_start_is_stricter_in_every_limit_it_changes() -> None:
    usual, sure = limits_for("most_gas"), limits_for("surest_start")
    assert sure["inoculum"].low > usual["inoculum"].low
    for key in ("acid", "lipid", "ammonia"):
        assert sure[key].high < usual[key].high


def test_the_user_s_end_is_firm_and_says_so() -> None:
    limit = limits_for("most_gas", {"carbon_nitrogen": (20.0, None)})["carbon_nitrogen"]
    assert limit.low_firm
    assert limit.low == 20.0
    assert limit.source_low == "set_by_user"
    assert not limit.high_firm


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"solid": (None, 0.1)}, "limit"),
        ({"solids": (0.2, 0.1)}, "low end below the high end"),
        ({"solids": (None, float("nan"))}, "low end below the high end"),
        ({"solids": (None, -0.1)}, "from zero up"),
    ],
)
def test_ends_that_cannot_be_are_refused(
    changes: dict[str, tuple[float | None, float | None]], words: str
) -> None:
    with pytest.raises(InputError, match=words):
        limits_for("most_gas", changes)
