"""The locks committed name digests, no addresses, and what pyproject.toml asks for."""

from __future__ import annotations

import re
import tomllib

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from qa.bootstrap.commands import ROOT
from qa.bootstrap.lock import DEVELOPMENT, LOCKING, RUNTIME, Lock, Pin, pins

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
ASKED = {
    "runtime": PROJECT["project"]["dependencies"],
    "development": [
        *PROJECT["project"]["dependencies"],
        *PROJECT["dependency-groups"]["development"],
    ],
    "locking": PROJECT["dependency-groups"]["locking"],
}
LOCKS = pytest.mark.parametrize("lock", [RUNTIME, DEVELOPMENT, LOCKING], ids=lambda lock: lock.name)


def _text(lock: Lock) -> str:
    return lock.path(ROOT).read_text(encoding="utf-8")


@LOCKS
def test_every_pin_carries_a_digest(lock: Lock) -> None:
    entries = re.split(r"^(?=[A-Za-z0-9])", _text(lock), flags=re.MULTILINE)[1:]
    assert len(entries) == len(pins(_text(lock)))
    assert all(re.search(r"--hash=sha256:[0-9a-f]{64}", entry) for entry in entries)


@LOCKS
def test_lock_holds_no_address_and_no_path(lock: Lock) -> None:
    assert not re.search(r"://|--(extra-)?index|--find-links|(^|\s)/\w", _text(lock))


@LOCKS
def test_lock_meets_what_the_project_asks(lock: Lock) -> None:
    locked: dict[str, set[str]] = {}
    for pin in pins(_text(lock)):
        locked.setdefault(canonicalize_name(pin.package), set()).add(pin.version)
    for asked in map(Requirement, ASKED[lock.name]):
        versions = locked.get(canonicalize_name(asked.name), set())
        assert versions, f"{asked} is not locked: run python3 -m qa lock"
        assert all(asked.specifier.contains(version) for version in versions), asked


def test_development_locks_the_same_runtime() -> None:
    runtime: set[Pin] = set(pins(_text(RUNTIME)))
    assert runtime <= set(pins(_text(DEVELOPMENT)))


def test_packages_built_from_source_are_locked() -> None:
    assert set(DEVELOPMENT.sources) <= {pin.package for pin in pins(_text(DEVELOPMENT))}
