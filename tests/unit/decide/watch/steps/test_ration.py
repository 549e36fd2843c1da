"""The feeding plan: what binds, and that a bolder keeper never gets less."""

import pytest

from drums import LEVEL_M3
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps import FeedingPlan, Food, feeding_plan, fewer
from marshlight.decide.watch.steps.ration import SHORTEST_STAY_D, USUAL_SHARE_A_DAY
from marshlight.errors import InputError
from marshlight.process.model import Liquid, water

Made = tuple[Lives, RunLog]


def plan(made: Made, food: Food, *, limit: float = 0.1, every_d: float = 7.0) -> FeedingPlan:
    lives, log = made
    return feeding_plan(
        lives, log, food, every_d=every_d, limit=limit, seed=2, level_m3=LEVEL_M3, horizon_d=21
    )


def test_rich_food_is_bound_by_the_risk(sound: Made, bread: Liquid) -> None:
    found = plan(sound, Food(bread))
    assert found.binds == "risk"
    assert found.best.amount_kg > 0.0
    assert found.best.risk.share <= 0.1
    higher = [r for r in found.tried if r.amount_kg > found.best.amount_kg]
    assert min(higher, key=lambda r: r.amount_kg).risk.share > 0.1
    assert found.best.mean_m3_d > found.unfed.mean_m3_d


def test_water_is_bound_by_the_stay_or_brings_nothing(sound: Made) -> None:
    found = plan(sound, Food(water(0.001)))
    assert found.binds in ("stay", "gas")
    assert found.best.amount_kg * 0.001 <= 7.0 / SHORTEST_STAY_D * LEVEL_M3 + 1e-9


def test_what_is_at_hand_binds(sound: Made, bread: Liquid) -> None:
    found = plan(sound, Food(bread, stock_kg=0.03))
    assert found.binds == "stock"
    assert found.best.amount_kg == pytest.approx(0.01)


def test_a_drum_on_its_way_to_sour_gets_nothing(lost: Made, bread: Liquid) -> None:
    found = plan(lost, Food(bread))
    assert found.binds == "already"
    assert found.best.amount_kg == 0.0


@pytest.mark.parametrize("limit", [0.0, 0.6])
def test_a_limit_that_is_none_is_refused(sound: Made, bread: Liquid, limit: float) -> None:
    with pytest.raises(InputError):
        plan(sound, Food(bread), limit=limit)


def test_where_too_few_lives_tell_the_risk_no_more_than_is_usual_is_fed(sound: Made) -> None:
    lives, log = sound
    found = plan((fewer(lives, 12), log), Food(water(0.001)), limit=0.05)
    assert found.binds in ("few", "gas")
    assert max(r.amount_kg for r in found.tried) * 0.001 <= (
        7.0 * USUAL_SHARE_A_DAY * LEVEL_M3 + 1e-9
    )
    assert not found.above_usual


def test_unfed_is_told_by_all_lives_as_everywhere_else(sound: Made, bread: Liquid) -> None:
    lives, _ = sound
    assert plan(sound, Food(bread)).unfed.risk.of == len(lives)


def test_a_search_that_is_no_longer_wanted_ends(sound: Made, bread: Liquid) -> None:
    lives, log = sound
    tried: list[int] = []

    def enough() -> None:
        tried.append(1)
        if len(tried) == 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        feeding_plan(
            lives, log, Food(bread), every_d=7.0, limit=0.1, seed=2, level_m3=LEVEL_M3,
            horizon_d=21, before_each=enough,
        )  # fmt: skip
    assert len(tried) == 3
