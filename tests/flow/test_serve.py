"""`laidtrue serve` as a process of its own: it answers, and ends cleanly."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path

import pytest

from qa.services.access import Role
from tests.flow.browser import ACTING_AS, ServedSite


@contextmanager
def serving(instance: Path, *arguments: str) -> Iterator[subprocess.Popen[str]]:
    """The command, running; killed where a test did not end it."""
    environment = {**os.environ, "LAIDTRUE_INSTANCE": str(instance), "PYTHONUNBUFFERED": "1"}
    command = [sys.executable, "-c", "import sys; from qa.cli import main; sys.exit(main())"]
    with subprocess.Popen(
        [*command, "serve", *arguments], env=environment, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as process:  # fmt: skip
        try:
            yield process
        finally:
            process.kill()


@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGTERM])
def test_site_answers_and_ends_cleanly(tmp_path: Path, ending: signal.Signals) -> None:
    with serving(tmp_path, "--port", "0") as process:
        assert process.stdout is not None
        told = process.stdout.readline()
        address = re.search(r"http://localhost:\d+", told)
        assert address, told
        with urllib.request.urlopen(f"{address[0]}/readyz", timeout=20) as answer:
            assert json.load(answer) == {"ready": True}
        process.send_signal(ending)
        out, err = process.communicate(timeout=30)
        assert (process.returncode, out) == (0, "Stopped.\n")
        assert [json.loads(line)["status"] for line in err.splitlines()] == [200]


def test_port_in_use_is_said_in_a_sentence(tmp_path: Path, site: ServedSite) -> None:
    port = site.origin.rpartition(":")[2]
    with serving(tmp_path, "--port", port) as process:
        _, err = process.communicate(timeout=30)
        assert process.returncode == 2
        assert f"Port {port} of 127.0.0.1 cannot be used" in err


def test_photograph_of_200_mb_gets_its_page(site: ServedSite) -> None:
    connection = HTTPConnection(site.origin.removeprefix("http://"), timeout=60)
    megabyte, size = b"\0" * 1024**2, 200 * 1024**2
    connection.putrequest("POST", "/jobs/new")
    connection.putheader("Cookie", f"{ACTING_AS}={site.marks[Role.INSTALLER]}")
    connection.putheader("Content-Type", "application/x-www-form-urlencoded")
    connection.putheader("Content-Length", str(size))
    connection.endheaders()
    for _ in range(200):
        connection.send(megabyte)
    answer = connection.getresponse()
    assert answer.status == 413
    assert "This is too large" in answer.read().decode()
    connection.close()
