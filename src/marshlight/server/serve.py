"""Serving the pages: the next free port, a log-in beyond loopback, granian or waitress."""

import ipaddress
import os
import socket
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from marshlight.errors import InputError, MarshlightError

PORTS_TO_TRY = 20
APPLICATION = "marshlight.server.wsgi:application"


def is_loopback(host: str) -> bool:
    """Say whether only this machine can reach the address.

    Examples
    --------
    >>> is_loopback("127.0.0.1"), is_loopback("localhost"), is_loopback("0.0.0.0")
    (True, True, False)
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def free_port(host: str, port: int) -> int:
    """Find the first free port from the wanted one upwards.

    Parameters
    ----------
    host : str
        The address to listen on.
    port : int
        The wanted port, 1 to 65535.

    Returns
    -------
    int
        A port that could be bound a moment ago.

    Raises
    ------
    InputError
        If the port is not a port, the address is not this machine's, or twenty ports are busy.
    """
    if not 1 <= port <= 65535:
        raise InputError("port", port, "1 to 65535", "Choose another port")
    last = min(port + PORTS_TO_TRY, 65536)
    for candidate in range(port, last):
        try:
            family, kind, proto, _, address = socket.getaddrinfo(
                host, candidate, type=socket.SOCK_STREAM
            )[0]
        except socket.gaierror as error:
            raise InputError("host", host, "an address of this machine", "Check it") from error
        with socket.socket(family, kind, proto) as probe:
            # Without this a port that was used a moment ago looks busy for a minute.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(address)
            except OSError:
                continue
            return candidate
    raise InputError(
        "port", port, f"a free one from {port} to {last - 1}", "Choose another with --port"
    )


def serve(
    host: str = "127.0.0.1",
    port: int = 8640,
    *,
    certificate: Path | None = None,
    key: Path | None = None,
    say: Callable[[str], None] = print,
) -> None:
    """Serve the notebook's pages until stopped.

    Parameters
    ----------
    host : str
        Address to listen on. Beyond loopback every page asks for a log-in.
    port : int
        Wanted port; when it is busy the next free one is taken, and said.
    certificate, key : Path, optional
        PEM files for https.
    say : callable
        Told each line a person should read.

    Raises
    ------
    MarshlightError
        If it would listen beyond loopback while nobody has an account.
    """
    chosen = free_port(host, port)
    loopback = is_loopback(host)
    _set_environment(host, loopback=loopback, https=certificate is not None)
    _prepare(loopback=loopback)
    if chosen != port:
        say(f"Port {port} is busy; using {chosen} instead.")
    for line in welcome(host, chosen, https=certificate is not None):
        say(line)
    _run(host, chosen, certificate=certificate, key=key)


def welcome(host: str, port: int, *, https: bool) -> list[str]:
    """Say where the pages are and who can reach them."""
    scheme = "https" if https else "http"
    shown = "localhost" if is_loopback(host) or host in ("0.0.0.0", "::") else host
    lines = [f"marshlight is at {scheme}://{shown}:{port}/"]
    if is_loopback(host):
        lines.append("Only this machine can reach it; no log-in is needed.")
    else:
        elsewhere = "" if shown != "localhost" else f" at {scheme}://{_own_names(host)[-1]}:{port}/"
        lines.append(
            f"Others on the network can reach it{elsewhere}; every page asks for a log-in."
        )
        if not https:
            lines.append(
                "Passwords cross the network in the clear: give a certificate, or serve on a "
                "network you trust."
            )
    return [*lines, "Stop it with Ctrl-C."]


def _set_environment(host: str, *, loopback: bool, https: bool) -> None:
    """Tell the settings, also those of worker processes, how the pages are reached."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "marshlight.server.settings"
    os.environ["MARSHLIGHT_LOOPBACK"] = "1" if loopback else "0"
    os.environ["MARSHLIGHT_HTTPS"] = "1" if https else "0"
    os.environ["MARSHLIGHT_AHEAD"] = "1"
    if not loopback:
        given = os.environ.get("MARSHLIGHT_HOSTS", "")
        os.environ["MARSHLIGHT_HOSTS"] = ",".join(filter(None, [given, *_own_names(host)]))


def _own_names(host: str) -> list[str]:
    """List the names and addresses by which others may call this machine."""
    if host not in ("0.0.0.0", "::"):
        return [host]
    name = socket.gethostname()
    names = [name, f"{name}.local"]
    with suppress(socket.gaierror):
        names += sorted({str(info[4][0]) for info in socket.getaddrinfo(name, None)})
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        # Nothing is sent: the system only says which own address it would send from.
        probe.connect(("192.0.2.1", 9))
        names.append(probe.getsockname()[0])
    return names


def _prepare(*, loopback: bool) -> None:
    import django
    from django.conf import settings
    from django.core.management import call_command

    django.setup()
    # The terminal may have read the settings before it was known how the pages are reached; a
    # server in this process (waitress) goes by these.
    settings.MARSHLIGHT_LOOPBACK = loopback
    settings.MARSHLIGHT_AHEAD = True
    settings.ALLOWED_HOSTS += filter(None, os.environ.get("MARSHLIGHT_HOSTS", "").split(","))
    call_command("migrate", interactive=False, verbosity=0)
    from marshlight.server.accounts import has_accounts

    if not loopback and not has_accounts():
        raise MarshlightError(
            "Nobody has an account yet, so nobody could log in. Make one first with "
            "`marshlight account NAME`, or serve on 127.0.0.1."
        )


def _run(host: str, port: int, *, certificate: Path | None, key: Path | None) -> None:
    try:
        from granian import Granian
        from granian.constants import Interfaces
    except ImportError:
        if certificate is not None:
            raise MarshlightError("Serving https needs granian; install it.") from None
        _run_waitress(host, port)
        return
    # One worker: SQLite has one writer anyway, and answers are kept in the worker's memory.
    Granian(
        APPLICATION,
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=4,
        log_access=False,
        log_level="warning",
        ssl_cert=certificate,
        ssl_key=key,
    ).serve()


def _run_waitress(host: str, port: int) -> None:
    from waitress import serve as waitress_serve

    from marshlight.server.wsgi import application

    waitress_serve(application, host=host, port=port, threads=4)
