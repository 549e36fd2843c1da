"""The triangle: words for mixtures, the way a gas space fills, and what opening does."""

import numpy as np
import pytest

from marshlight.decide.safety import (
    TUBE,
    WIDEST,
    Mixture,
    gas_space_path,
    holder_mixture,
    let_air_in,
    lower_limit_at,
    purge,
    words,
)
from marshlight.errors import InputError


def test_a_mixture_gets_one_of_five_words_and_none_of_them_is_safe() -> None:
    shares = np.linspace(0.0, 1.0, 60)
    methane, co2 = (axis.ravel() for axis in np.meshgrid(shares, shares))
    inside = methane + co2 <= 1.0
    found = set(words(methane[inside], co2[inside]).tolist())
    assert found == {
        "explosive",
        "uncertain",
        "too rich",
        "too little gas",
        "too much carbon dioxide",
    }


def test_where_sources_disagree_the_mixture_is_uncertain() -> None:
    assert Mixture(0.16, 0.0).word == "uncertain"
    assert Mixture(0.046, 0.0).word == "uncertain"
    assert Mixture(0.066, 0.28).word == "uncertain"
    assert Mixture(0.10, 0.07).word == "explosive"


def test_the_widest_region_holds_the_narrow_one() -> None:
    shares = np.linspace(0.0, 0.5, 200)
    methane, co2 = (axis.ravel() for axis in np.meshgrid(shares, shares))
    assert not np.any(TUBE.contains(methane, co2) & ~WIDEST.contains(methane, co2))


def test_a_new_gas_space_is_uncertain_then_explosive_then_uncertain_then_too_rich() -> None:
    path = gas_space_path([0.0, 10.0], [0.0, 2.0], [0.6, 0.6])
    assert [span.word for span in path.spans] == ["uncertain", "explosive", "uncertain"]
    assert all(span.over for span in path.spans)
    assert path.last.word == "too rich"
    burning = path.spans[1]
    assert burning.from_turnover == pytest.approx(0.091, abs=0.005)
    assert burning.to_turnover == pytest.approx(0.226, abs=0.005)
    assert burning.from_day == pytest.approx(5.0 * 0.091, abs=0.03)


def test_carbon_dioxide_first_makes_the_way_uncertain_and_never_clear() -> None:
    path = gas_space_path([0.0, 1.0, 2.0], [0.0, 0.5, 1.5], [0.2, 0.2, 0.6])
    assert [span.word for span in path.spans] == ["uncertain"]


def test_a_space_still_on_its_way_is_not_over() -> None:
    path = gas_space_path([0.0, 1.0], [0.0, 0.15], [0.6, 0.6])
    assert path.spans[-1].word == "explosive"
    assert not path.spans[-1].over


def test_opening_a_working_digester_walks_back_through_the_explosive_range() -> None:
    opened = let_air_in(Mixture(0.58, 0.40))
    assert opened.crosses
    assert 0.7 < opened.from_air < 0.8 < opened.to_air < 0.95
    assert "explosive" in opened.sentence


def test_even_a_gas_that_would_not_cross_is_not_called_harmless() -> None:
    opened = let_air_in(Mixture(0.10, 0.80))
    assert not opened.crosses
    assert "treat it as explosive all the same" in opened.sentence


def test_a_holder_holds_more_air_than_the_space_it_came_from() -> None:
    path = gas_space_path([0.0, 5.0], [0.0, 1.0], [0.6, 0.6])
    caught = holder_mixture(path)
    assert caught.air > path.last.air
    assert caught.word in {"uncertain", "too rich"}
    assert holder_mixture(path, from_turnover=0.8).methane > caught.methane


def test_a_gas_too_poor_to_burn_never_enters() -> None:
    assert purge(0.15).enters is None
    assert purge(0.60).enters < purge(0.60, boundary=TUBE).enters  # type: ignore[operator]


def test_impossible_rows_are_refused() -> None:
    with pytest.raises(InputError, match="gas passed"):
        gas_space_path([0.0, 1.0], [0.0, -1.0], [0.6, 0.6])
    with pytest.raises(InputError, match="gas passed"):
        gas_space_path([0.0, 1.0], [0.5, 1.0], [0.6, 0.6])
    with pytest.raises(InputError, match="gas"):
        Mixture(0.8, 0.4)
    with pytest.raises(InputError, match="holder"):
        holder_mixture(gas_space_path([0.0], [0.0], [0.6]))
    with pytest.raises(InputError, match="temperature_c"):
        lower_limit_at(500.0)
