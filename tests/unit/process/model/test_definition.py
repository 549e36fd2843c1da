import random
from functools import cache

import pytest
from tests.unit.process.model.test_expression import evaluate

from marshlight.process.model.definition import BENCHMARK, SMALL, Model, assemble
from marshlight.process.model.parameters import parameter_set

VARIANTS = (BENCHMARK, SMALL)


@cache
def model_of(name: str) -> Model:
    return assemble({v.name: v for v in VARIANTS}[name])


def some_parameters(name: str, seed: int) -> dict[str, float]:
    rng = random.Random(seed)
    held = parameter_set(name).parameters
    return {key: p.value * rng.uniform(0.5, 1.5) for key, p in held.items()}


@pytest.mark.parametrize("name", ["benchmark", "small"])
def test_every_reaction_closes_in_every_element_whatever_the_parameters(name):
    model = model_of(name)
    for seed in range(3):
        values = some_parameters(name, seed)
        for reaction in model.reactions:
            for element in model.variant.elements:
                held = model.contents[element]
                terms = [
                    evaluate(amount, values) * evaluate(held[component], values)
                    for component, amount in reaction.changes.items()
                ]
                gap = abs(sum(terms)) / max(*map(abs, terms), 1e-12)
                assert gap < 1e-12, f"{reaction.name} does not close in {element}"


@pytest.mark.parametrize("name", ["benchmark", "small"])
def test_the_kernel_and_the_definition_name_the_same_things(name):
    from marshlight.process.model.kernel import layout

    model, place = model_of(name), layout(name)
    assert place.states == model.states
    assert place.settings == model.settings
    assert place.observables == tuple(model.observables)


@pytest.mark.parametrize("name", ["benchmark", "small"])
def test_every_parameter_of_a_set_is_one_the_model_uses(name):
    unused = set(parameter_set(name).parameters) - set(model_of(name).settings)
    # The small model has no lumped composites; their constants stay in the set it is based on.
    composites = {"C_xc", "N_xc", "k_dis", "f_sI", "f_xI", "f_ch", "f_pr"}
    assert unused <= (composites if name == "small" else set())
