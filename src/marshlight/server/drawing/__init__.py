"""Drawings made from a run's own numbers, as SVG text; no browser needed to test them."""

from marshlight.server.drawing.vessel import draw_vessel

__all__ = ["draw_vessel"]
