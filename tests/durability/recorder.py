"""Runs a worker with the recorder preloaded, and reads what it wrote down."""

from __future__ import annotations

import os
import shutil
import struct
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
SOURCE = Path(__file__).with_name("disk_log.c")
_HEAD = struct.Struct("<BiqII")


class Op(IntEnum):
    """What was asked of the disk; as in `disk_log.c`."""

    OPEN = 1
    CLOSE = 2
    WRITE = 3
    TRUNCATE = 4
    SYNC = 5
    RENAME = 6
    LINK = 7
    UNLINK = 8
    MKDIR = 9
    RMDIR = 10
    UNKNOWN = 11


@dataclass(frozen=True, slots=True)
class Change:
    """One record of the log; `first` is a path or data, `second` the other path."""

    op: Op
    descriptor: int
    number: int
    first: bytes
    second: bytes


def build_recorder(folder: Path) -> Path:
    """Compiles the recorder; a machine without a compiler fails the tests."""
    compiler = shutil.which("cc") or shutil.which("gcc")
    assert compiler, "These tests need a C compiler; install gcc."
    library = folder / "disk_log.so"
    command = [compiler, "-O1", "-shared", "-fPIC", "-Wall", "-o", str(library), str(SOURCE)]
    subprocess.run([*command, "-ldl", "-lpthread"], check=True, capture_output=True)
    return library


def run_recorded(recorder: Path, instance: Path, work: Path, arguments: list[str]) -> list[Change]:
    """Runs the worker on an instance folder, and answers every change that it asked for."""
    log = work / "disk.log"
    environment = {
        **os.environ,
        "LD_PRELOAD": str(recorder),
        "LAID_DISK_ROOT": str(instance),
        "LAID_DISK_LOG": str(log),
        "LAID_DISK_ACKS": str(work / "acknowledged"),
    }
    run_module("worker", [str(instance), str(work / "acknowledged"), *arguments], environment)
    return list(read_log(log.read_bytes()))


def run_module(name: str, arguments: list[str], environment: dict[str, str]) -> str:
    """Runs a module of these tests as a process to its end, and answers what it printed."""
    command = [sys.executable, "-m", f"tests.durability.{name}", *arguments]
    done = subprocess.run(
        command, cwd=CHECKOUT, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def read_log(log: bytes) -> Iterator[Change]:
    """Every record of a log."""
    at = 0
    while at < len(log):
        op, descriptor, number, first, second = _HEAD.unpack_from(log, at)
        at += _HEAD.size
        middle, end = at + first, at + first + second
        yield Change(Op(op), descriptor, number, log[at:middle], log[middle:end])
        at = end
