"""Liquids: what is poured into a digester."""

import pickle

import pytest

from marshlight.process.model import Feed, inoculum, water


def test_a_liquid_travels_to_another_process_and_arrives_whole() -> None:
    sent = inoculum("digested cattle manure", 0.004) + water(0.002)
    arrived = pickle.loads(pickle.dumps(Feed(3.0, sent)))
    assert arrived == Feed(3.0, sent)
    with pytest.raises(TypeError):
        arrived.liquid.amounts["fibre"] = 0.0
