"""All commands, in the order that `marshlight --help` lists them."""

from marshlight.cli import looking, advice, log, mix, trial, set_up, files, people  # isort: skip
from marshlight.cli import nightly  # isort: skip
from marshlight.cli import outlook, diagnosis, simulate, flame, heat, safety, matter, service  # isort: skip

__all__ = [
    "advice",
    "diagnosis",
    "files",
    "flame",
    "heat",
    "log",
    "looking",
    "matter",
    "mix",
    "nightly",
    "outlook",
    "people",
    "safety",
    "service",
    "set_up",
    "simulate",
    "trial",
]
