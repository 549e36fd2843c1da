"""A terminal to type in: runs a command in this process and gives back what it printed."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from typer.testing import CliRunner

from marshlight.cli import commands  # noqa: F401  (registers the commands)
from marshlight.cli.main import app
from marshlight.errors import MarshlightError


@dataclass(frozen=True)
class Said:
    """What a command printed, and the error it ended with, if any."""

    text: str
    error: MarshlightError | None

    @property
    def data(self) -> Any:
        """Read the printed JSON."""
        return json.loads(self.text)


@pytest.fixture
def terminal(db: None) -> Callable[..., Said]:
    """Type a command."""

    def run(*words: str) -> Said:
        done = CliRunner().invoke(app, list(words))
        if done.exception and not isinstance(done.exception, (MarshlightError, SystemExit)):
            raise done.exception
        error = done.exception if isinstance(done.exception, MarshlightError) else None
        return Said(done.output, error)

    return run


@pytest.fixture
def bench(terminal: Callable[..., Said]) -> Callable[..., Said]:
    """Type in a notebook that has a site, a drum, a cylinder, a lot and a run."""
    terminal("set-up", "site", "name=Hill barn", "altitude=640 m")
    terminal("set-up", "vessel", "name=Drum 1", "volume=25 L", "tall=45 cm")
    terminal(
        "set-up", "holder", "name=Cylinder 1", "kind=floating",
        "bore=110 mm", "travel=420 mm", "mass=300 g",
    )  # fmt: skip
    terminal("set-up", "lot", "name=Manure", "feedstock=goat manure with straw", "amount=20 kg")
    terminal(
        "set-up", "run", "name=Goat 1", "vessel=Drum 1", "holder=Cylinder 1",
        "started_at=2026-05-01 08:00",
    )  # fmt: skip
    return terminal
