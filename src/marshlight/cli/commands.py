"""All commands, in the order that `marshlight --help` lists them."""

from marshlight.cli import files, log, matter, mix, service, set_up

__all__ = ["files", "log", "matter", "mix", "service", "set_up"]
