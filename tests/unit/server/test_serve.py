"""Serving: busy ports, loopback, and what is said."""

import os
import socket
import stat
from pathlib import Path

import pytest

from marshlight.errors import InputError
from marshlight.server.secret import secret_key
from marshlight.server.serve import free_port, is_loopback, welcome


@pytest.mark.parametrize("host", ["127.0.0.1", "127.8.8.8", "::1", "localhost"])
def test_loopback_addresses_are_known(host: str) -> None:
    assert is_loopback(host)


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.4", "farm.local"])
def test_everything_else_is_beyond_loopback(host: str) -> None:
    assert not is_loopback(host)


def test_a_busy_port_gives_the_next_free_one() -> None:
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        if port > 65500:
            pytest.skip("no room above this port")
        assert port < free_port("127.0.0.1", port) <= port + 20


def test_a_port_that_is_none_is_refused() -> None:
    with pytest.raises(InputError, match="port"):
        free_port("127.0.0.1", 0)


def test_a_host_that_is_not_here_is_refused() -> None:
    with pytest.raises(InputError):
        free_port("203.0.113.77", 8640)


def test_the_welcome_says_who_can_reach_it() -> None:
    assert "no log-in is needed" in " ".join(welcome("127.0.0.1", 8640, https=False))
    away = " ".join(welcome("0.0.0.0", 8640, https=False))
    assert "asks for a log-in" in away
    assert "in the clear" in away
    assert "in the clear" not in " ".join(welcome("0.0.0.0", 8640, https=True))


def test_the_signing_key_is_made_once_for_its_owner_only(tmp_path: Path) -> None:
    environ = {"MARSHLIGHT_NOTEBOOK": str(tmp_path / "notebook.sqlite3")}
    first = secret_key(environ)
    assert len(first) >= 50
    assert secret_key(environ) == first
    made = tmp_path / "signing-key"
    if os.name == "posix":
        assert stat.S_IMODE(made.stat().st_mode) == 0o600
    assert [p.name for p in tmp_path.iterdir()] == ["signing-key"]


def test_a_given_signing_key_is_used_as_it_is(tmp_path: Path) -> None:
    environ = {
        "MARSHLIGHT_SECRET_KEY": "given",
        "MARSHLIGHT_NOTEBOOK": str(tmp_path / "notebook.sqlite3"),
    }
    assert secret_key(environ) == "given"
    assert not (tmp_path / "signing-key").exists()
