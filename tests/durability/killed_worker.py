"""Workers that are killed in the middle of whatever they do, one after the other.

    python -m tests.durability.killed_worker INSTANCE KILLS

Each is a fresh process that opens the installation as it was left. Prints what was acknowledged.
"""

from __future__ import annotations

import os
import random
import signal
import sys

from tests.durability.worker import work

ENDLESS = 1_000_000
MOST_LINES = 40


def _main(instance: str, kills: str) -> None:
    chosen = random.Random("kills")
    for _ in range(int(kills)):
        sys.stdout.write(_one(instance, chosen.randrange(1, MOST_LINES)))


def _one(instance: str, lines: int) -> str:
    """Runs a worker until it has acknowledged so much, kills it, and answers all that it told."""
    reading, writing = os.pipe()
    worker = os.fork()
    if worker == 0:
        os.close(reading)
        work(instance, writing, ENDLESS)
        os._exit(1)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as told:
        first = [told.readline() for _ in range(lines)]
        os.kill(worker, signal.SIGKILL)
        _, status = os.waitpid(worker, 0)
        assert os.WTERMSIG(status) == signal.SIGKILL
        return "".join(first) + told.read()


if __name__ == "__main__":
    _main(*sys.argv[1:])
