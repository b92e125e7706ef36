"""A worker whose disk fails at every call once: full, or broken.

    python -m tests.durability.faulty_worker INSTANCE ACKNOWLEDGED ERROR

For k = 1, 2, … it records a round in which the k-th call to the disk fails, then the same round on
a sound disk, until a round needs fewer than k calls. Prints how many calls failed, and each answer
that was no sentence for a person.
"""

from __future__ import annotations

import ctypes
import errno
import sys
from functools import partial
from pathlib import Path

from qa.errors import LaidtrueError
from qa.services.installation import Installation, open_installation
from qa.settings import Settings
from tests.durability.worker import Acknowledge, begin_job, record_round

PIECES, WHOLE = 1, 3
MOST_CALLS = 500


def _main(instance: str, acknowledged: str, error: str) -> None:
    recorder = ctypes.CDLL(None)
    recorder.disk_calls.restype = ctypes.c_long
    recorder.disk_fail.argtypes = (ctypes.c_long, ctypes.c_int)
    installation = open_installation(Settings(instance=Path(instance)))
    with Path(acknowledged).open("w", encoding="utf-8", buffering=1) as file:
        acknowledge = partial(print, file=file)
        job_id = begin_job(installation, acknowledge)
        failed = 0
        for way in (PIECES, WHOLE):
            for nth in range(1, MOST_CALLS):
                recorder.disk_fail(nth, getattr(errno, error))
                _round(installation, job_id, nth * 4 + way, acknowledge)
                needed = recorder.disk_calls()
                recorder.disk_fail(0, 0)
                if needed < nth:
                    break
                failed += 1
                record_round(installation, job_id, nth * 4 + way, acknowledge)
                _report_leftovers(installation)
    _say(f"failed {failed}")


def _round(installation: Installation, job_id: str, number: int, acknowledge: Acknowledge) -> None:
    try:
        record_round(installation, job_id, number, acknowledge)
    except LaidtrueError:
        return
    except Exception as fault:  # noqa: BLE001 - this is what is looked for
        _say(f"no sentence: {type(fault).__name__}: {fault}")


def _report_leftovers(installation: Installation) -> None:
    for path in (installation.settings.originals / "arriving").iterdir():
        _say(f"left behind: {path.name}")


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")


if __name__ == "__main__":
    _main(*sys.argv[1:])
