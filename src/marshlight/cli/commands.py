"""All commands, in the order that `marshlight --help` lists them."""

from marshlight.cli import log, matter, mix, service, set_up

__all__ = ["log", "matter", "mix", "service", "set_up"]
