"""The invented demonstration world: never real, never evidence that the engine is right."""

from marshlight.demo.load import DEMO_SITE, SEED, demo_is_loaded, load_demo

__all__ = ["DEMO_SITE", "SEED", "demo_is_loaded", "load_demo"]
