"""All commands, in the order that `marshlight --help` lists them."""

from marshlight.cli import looking, log, mix, trial, set_up, files  # isort: skip
from marshlight.cli import people, matter, service  # isort: skip

__all__ = ["files", "log", "looking", "matter", "mix", "people", "service", "set_up", "trial"]
