"""`laidtrue person`: the keeper's way to people, from the first owner to the last day."""

from __future__ import annotations

from pathlib import Path

import pytest

from qa.cli import main
from qa.services.accepting import accept
from qa.services.installation import open_installation
from qa.settings import INSTANCE_VARIABLE, Settings
from qa.web import clock
from tests.accounts import PASSWORD

OWNER = ("--firm", "Invented Roofs", "--name", "Pat Sample", "--email", "pat@firm.example")


@pytest.fixture
def instance(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A fresh installation's folder."""
    monkeypatch.setenv(INSTANCE_VARIABLE, str(tmp_path / "instance"))
    return tmp_path / "instance"


def accept_as(instance: Path, said: str) -> None:
    token = said.strip().rpartition("/")[2]
    installation = open_installation(Settings(instance=instance))
    accept(installation, token, name="Pat Sample", password=PASSWORD, now=clock.now())
    installation.store.engine.dispose()


def test_first_owner_gets_a_link_that_works(
    instance: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["person", "list"]) == 0
    assert "Nobody is here yet" in capsys.readouterr().out
    assert main(["person", "add", *OWNER, "--role", "owner"]) == 0
    said = capsys.readouterr().out
    assert "Send this link to Pat Sample <pat@firm.example>" in said
    accept_as(instance, said)
    assert main(["person", "list"]) == 0
    listed = capsys.readouterr().out
    assert listed == ("Invented Roofs: Pat Sample (pat), owner; pat@firm.example, password only\n")


def test_new_password_reset_and_end_name_the_person(
    instance: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["person", "add", *OWNER, "--role", "owner"])
    accept_as(instance, capsys.readouterr().out)
    assert main(["person", "password", "pat@firm.example"]) == 0
    assert "/invitations/" in capsys.readouterr().out
    assert main(["person", "reset", "pat@firm.example"]) == 0
    assert "Pat Sample signs in with the password alone" in capsys.readouterr().out
    assert main(["person", "end", "pat@firm.example"]) == 2
    assert "last owner" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["person", "end", "nobody@firm.example"], "Nobody signs in with nobody@firm.example"),
        (["person", "add", *OWNER, "--role", "office"], "first person must be an owner"),
        (["person", "code", "no secret"], "no secret of an authenticator"),
    ],
)
def test_what_cannot_be_done_is_said(
    instance: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], sentence: str
) -> None:
    assert main(arguments) == 2
    assert sentence in capsys.readouterr().err


def test_code_needs_no_installation(instance: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["person", "code", "GEZD", "GNBV", "GY3T", "QOJQ", "GEZDGNBVGY3TQOJQ"]) == 0
    assert len(capsys.readouterr().out.strip()) == 6
    assert not instance.exists()
