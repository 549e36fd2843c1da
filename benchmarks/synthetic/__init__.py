"""Invented digesters with known truth, healthy or with a fault, and the logs kept of them."""

from benchmarks.synthetic.digesters import KINDS, Setup, draw_setup
from benchmarks.synthetic.faults import FAULTS, Case, draw_case
from benchmarks.synthetic.life import Life, live
from benchmarks.synthetic.logbook import write_log
from benchmarks.synthetic.truth import Truth, draw_truth

__all__ = [
    "FAULTS",
    "KINDS",
    "Case",
    "Life",
    "Setup",
    "Truth",
    "draw_case",
    "draw_setup",
    "draw_truth",
    "live",
    "write_log",
]
