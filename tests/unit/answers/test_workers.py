"""One setting moves an ensemble to a cluster; the results stay the same."""

import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import ExitStack
from pathlib import Path

import numpy as np
import pytest

from marshlight.answers.workers import workers
from marshlight.errors import InputError
from marshlight.matter import find
from marshlight.process.model import (
    SMALL_DIGESTER,
    Digester,
    Ensemble,
    EnsembleCancelled,
    Holder,
    ensemble,
    inoculum,
    liquid_from_feedstock,
)
from marshlight.process.model.ensemble import CHUNK

MEMBERS = 2500
DRUM = Digester(0.012, Holder("floating", capacity_m3=0.05, gauge_kpa=0.2), 36.0)
CHARGE = inoculum("digested cattle manure", 0.005) + liquid_from_feedstock(find("goat manure"), 0.3)


def go(executor: Executor | None, **more: object) -> Ensemble:
    draws = SMALL_DIGESTER.draw(np.random.default_rng(3), MEMBERS)
    return ensemble(
        DRUM,
        CHARGE,
        days=np.linspace(0.0, 60.0, 13),
        draws=draws,
        watch=("pH", "gas_methane"),
        executor=executor,
        **more,  # type: ignore[arg-type]
    )


@pytest.fixture(scope="module")
def cluster() -> Iterator[Executor]:
    with workers("local:2") as executor:
        assert executor is not None
        yield executor


def test_without_the_setting_this_machine_does_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("MARSHLIGHT_CLUSTER", raising=False)
    with workers() as executor:
        assert executor is None


@pytest.mark.parametrize("setting", ["local:", "local:none", "local:0"])
def test_a_setting_that_says_nothing_is_refused(setting: str) -> None:
    with pytest.raises(InputError, match="MARSHLIGHT_CLUSTER"), workers(setting):
        pass


@pytest.mark.slow
def test_a_cluster_gives_the_same_results_bit_for_bit(cluster: Executor) -> None:
    told: list[int] = []
    here = go(None)
    there = go(cluster, progress=lambda done, _: told.append(done))
    assert np.array_equal(here.values, there.values)
    assert told == sorted(told)
    assert told[-1] == MEMBERS


def _hears_ctrl_c() -> bool:
    return signal.getsignal(signal.SIGINT) is not signal.SIG_IGN


@pytest.mark.slow
def test_ctrl_c_is_for_the_process_that_keeps_the_results(cluster: Executor) -> None:
    assert _hears_ctrl_c()
    assert not cluster.submit(_hears_ctrl_c).result()


@pytest.mark.slow
def test_a_worker_killed_midway_loses_nothing(cluster: Executor) -> None:
    here = go(None)
    # One of the two processes that this test's own cluster started.
    victim = cluster.submit(os.getpid).result()
    assert victim != os.getpid()
    killed: list[int] = []

    def kill_one(done: int, _: int) -> None:
        if done > CHUNK and not killed:
            killed.append(done)
            os.kill(victim, signal.SIGKILL)

    there = go(cluster, progress=kill_one)
    assert 0 < killed[0] < MEMBERS / 2
    assert np.array_equal(here.values, there.values)


@pytest.mark.slow
def test_a_cancel_is_heard_and_work_still_to_do_is_called_back(cluster: Executor) -> None:
    with pytest.raises(EnsembleCancelled, match=f"of {MEMBERS} members"):
        go(cluster, cancelled=lambda: True)


def started(part: str, *options: str, folder: Path) -> subprocess.Popen[bytes]:
    """Start a scheduler or a worker as one does by hand, on the loopback only."""
    command = [sys.executable, "-m", "distributed.cli.dask_" + part, *options, "--no-dashboard"]
    with (folder / f"{part}.log").open("ab") as log:
        return subprocess.Popen(command, cwd=folder, stdout=log, stderr=log)


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """Give the address of a scheduler with two workers, all processes of their own."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    where = f"tcp://127.0.0.1:{port}"
    with ExitStack() as running:

        def keep(process: subprocess.Popen[bytes]) -> None:
            running.callback(process.wait, 20)
            running.callback(process.terminate)

        hosts = ("--host", "127.0.0.1")
        keep(started("scheduler", *hosts, "--port", str(port), folder=tmp_path))
        for name in ("first", "second"):
            # No nanny: the process started here is the worker.
            choice = ("--nthreads", "1", "--no-nanny", "--name", name)
            keep(started("worker", where, *hosts, *choice, folder=tmp_path))
        yield where


@pytest.mark.slow
def test_a_scheduler_at_an_address_gives_the_same_results(
    address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MARSHLIGHT_CLUSTER", address)
    with workers() as there:
        assert there is not None
        found = go(there)
        asked = [
            there.submit(os.getpid, workers=[name], pure=False) for name in ("first", "second")
        ]
        pids = {answer.result() for answer in asked}
    assert len(pids) == 2
    assert os.getpid() not in pids
    assert np.array_equal(go(None).values, found.values)


@pytest.mark.slow
def test_an_address_where_nobody_answers_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("marshlight.answers.workers._WAIT_S", 0.5)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    with (
        pytest.raises(InputError, match="a scheduler that runs"),
        workers(f"tcp://127.0.0.1:{port}"),
    ):
        pass
