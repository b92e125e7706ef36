"""A missing part is installed where that is allowed, and else named with the command to type."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from qa.bootstrap.machine import Outcome
from qa.bootstrap.parts import CHECKS, PACKS, missing
from qa.bootstrap.provision import PAUSES_S, provide
from qa.errors import SetupError
from tests.unit.bootstrap.fake_machine import FakeMachine

LIBRARIES = {"libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0"}
PROGRAMS = {"initdb", "chromium", "pdftoppm", "qpdf", "gcc"}


def _installing(fake: FakeMachine, gained: set[str], good_from_try: int = 1) -> None:
    """Let the fake's package manager succeed from a given try on."""
    tries: list[Sequence[str]] = []

    def answer(command: Sequence[str]) -> Outcome:
        if "install" not in command:
            return Outcome(status=100, text="one source did not answer")
        tries.append(command)
        if len(tries) < good_from_try:
            return Outcome(status=100, text="…\nE: could not fetch the archives\n")
        fake.has |= gained
        return Outcome(status=0)

    fake.answer = answer


def _refusal(fake: FakeMachine) -> str:
    with pytest.raises(SetupError) as refused:
        provide(PACKS, fake.machine())
    return str(refused.value)


def test_nothing_is_run_when_nothing_is_missing() -> None:
    fake = FakeMachine(has=LIBRARIES | PROGRAMS | {"apt-get"}, elevation=())
    provide((*PACKS, *CHECKS), fake.machine())
    assert (fake.commands, fake.said) == ([], [])


def test_any_name_of_a_part_is_enough() -> None:
    fake = FakeMachine(has=(PROGRAMS - {"chromium"}) | {"chromium-browser"})
    assert missing(CHECKS, fake.machine()) == ()


def test_root_installs_only_what_is_missing() -> None:
    fake = FakeMachine(has={"apt-get", "libpango-1.0.so.0"}, elevation=())
    _installing(fake, LIBRARIES)
    provide(PACKS, fake.machine())
    update, install = fake.commands
    assert update[-1] == "update"
    assert install[-2:] == ("libpangoft2-1.0-0", "libharfbuzz-subset0")
    assert fake.said == [
        "Installing libpangoft2-1.0-0 libharfbuzz-subset0 for the text of the packs …"
    ]


def test_user_with_sudo_installs_through_sudo() -> None:
    fake = FakeMachine(has={"apt-get"}, elevation=("sudo", "-n"))
    _installing(fake, LIBRARIES)
    provide(PACKS, fake.machine())
    assert all(command[:2] == ("sudo", "-n") for command in fake.commands)


def test_user_without_rights_is_told_the_command() -> None:
    fake = FakeMachine(has={"apt-get"})
    assert _refusal(fake) == (
        "This machine lacks libpango-1.0.so.0, libpangoft2-1.0.so.0 and libharfbuzz-subset.so.0, "
        "needed for the text of the packs. Run this, then the same command again: "
        "sudo apt-get install --yes libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
    )
    assert fake.commands == []


def test_source_that_fails_once_is_asked_again() -> None:
    fake = FakeMachine(has={"apt-get"}, elevation=())
    _installing(fake, LIBRARIES, good_from_try=3)
    provide(PACKS, fake.machine())
    assert fake.pauses_s == list(PAUSES_S)


def test_source_that_keeps_failing_is_quoted() -> None:
    fake = FakeMachine(has={"apt-get"}, elevation=())
    _installing(fake, LIBRARIES, good_from_try=4)
    assert _refusal(fake).startswith("E: could not fetch the archives\nThis machine lacks")


def test_part_still_missing_after_installing_is_named() -> None:
    fake = FakeMachine(has={"apt-get"}, elevation=())
    _installing(fake, LIBRARIES - {"libharfbuzz-subset.so.0"})
    assert _refusal(fake).startswith("This machine lacks libharfbuzz-subset.so.0, needed")


def test_ubuntu_has_its_own_name_for_the_browser() -> None:
    fake = FakeMachine(
        distribution="ubuntu", has={"apt-get", *PROGRAMS} - {"chromium"}, elevation=()
    )
    _installing(fake, PROGRAMS)
    provide(CHECKS, fake.machine())
    assert fake.commands[-1][-1] == "chromium-browser"


def test_database_server_is_found_off_the_path() -> None:
    fake = FakeMachine(has=(PROGRAMS - {"initdb"}) | {"/usr/lib/postgresql/*/bin/initdb"})
    assert missing(CHECKS, fake.machine()) == ()


def test_part_of_two_packages_installs_both() -> None:
    fake = FakeMachine(has={"apt-get", *PROGRAMS} - {"gcc"}, elevation=())
    _installing(fake, PROGRAMS)
    provide(CHECKS, fake.machine())
    assert fake.commands[-1][-2:] == ("gcc", "libc6-dev")


def test_macos_installs_each_formula_once() -> None:
    fake = FakeMachine(system="Darwin", distribution="", has={"brew"})
    _installing(fake, LIBRARIES)
    provide(PACKS, fake.machine())
    assert fake.commands == [("brew", "install", "pango", "harfbuzz")]


def test_macos_without_brew_is_told_the_formula() -> None:
    fake = FakeMachine(system="Darwin", distribution="")
    assert _refusal(fake).endswith("brew install pango harfbuzz")


def test_unknown_system_is_told_in_words() -> None:
    fake = FakeMachine(distribution="other")
    assert _refusal(fake).endswith("on this system, then run the same command again.")
