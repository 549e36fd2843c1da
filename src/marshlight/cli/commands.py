"""All commands, in the order that `marshlight --help` lists them."""

from marshlight.cli import looking, log, mix, set_up, files, people, matter, service  # isort: skip

__all__ = ["files", "log", "looking", "matter", "mix", "people", "service", "set_up"]
