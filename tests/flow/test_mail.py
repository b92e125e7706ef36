"""E-mail against a real SMTP server: who is told of what; a server that is away loses nothing."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from email import message_from_bytes, policy
from email.message import EmailMessage
from pathlib import Path

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.handlers import Message as Handler

from qa.record.fields import Json
from qa.record.registry import Kind
from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.installation import Installation
from qa.services.inviting import invite
from qa.services.linking import Face, open_link
from qa.services.look_dates import TOLD_BEFORE
from qa.services.messages import write_message
from qa.services.recording import Draft, record
from qa.services.reminding import remind
from qa.services.typed_people import read_person
from qa.settings import MailServer, MailTls
from qa.store import outbox
from qa.web import clock
from tests.flow.two_firms import TwoFirms, make_two_firms


class Box(Handler):
    """Keeps what arrives."""

    def __init__(self) -> None:
        super().__init__()
        self.messages: list[EmailMessage] = []

    def prepare_message(self, session: object, envelope: object) -> EmailMessage:
        return message_from_bytes(envelope.content, policy=policy.default)  # type: ignore[attr-defined]

    def handle_message(self, message: EmailMessage) -> None:
        self.messages.append(message)

    def to(self) -> list[str]:
        return sorted(message["To"] for message in self.messages)


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port: int = taken.getsockname()[1]
    return port


@pytest.fixture(scope="module")
def port() -> int:
    return free_port()


@pytest.fixture(scope="module")
def firms(
    tmp_path_factory: pytest.TempPathFactory, migrated_file: Path, port: int
) -> Iterator[TwoFirms]:
    firms = make_two_firms(tmp_path_factory.mktemp("mail"), migrated_file)
    work_all(firms.installation, now=clock.now())
    yield firms
    firms.close()


@pytest.fixture
def house(firms: TwoFirms, port: int) -> Installation:
    """The firms' installation, which sends through the server of the test."""
    firms.restore()
    server = MailServer(
        host="127.0.0.1", port=port, sender="records@firm.example", tls=MailTls.NONE
    )
    settings = replace(firms.installation.settings, mail=server)
    house = replace(firms.installation, settings=settings)
    work_all(firms.installation, now=clock.now())
    return house


@pytest.fixture
def box(port: int) -> Iterator[Box]:
    box = Box()
    controller = Controller(box, hostname="127.0.0.1", port=port)
    controller.start()
    yield box
    controller.stop()


def invited(house: Installation, firms: TwoFirms) -> str:
    person = read_person(email="una@new.example", name="Una Sample", roles=("installer",))
    return invite(house, firms.ours.actors[Role.OWNER], person, now=clock.now()).address


def signed(house: Installation, firms: TwoFirms, role: Role, decision: str) -> None:
    body = {"stage": "deck", "decision": decision, "statement": "Seen."}
    draft = Draft(id=house.new_id(), kind=Kind.SIGN_OFF, at=clock.now(), body=body)
    record(house, firms.ours.actors[role], firms.ours.values["job"], [draft], now=clock.now())


def test_invitation_brings_the_link(house: Installation, firms: TwoFirms, box: Box) -> None:
    link = invited(house, firms)
    work_all(house, now=clock.now())
    (message,) = box.messages
    assert message["To"] == "una@new.example"
    assert link in message.get_content()
    assert "Una Sample" in message.get_content()


def test_nothing_personal_waits_in_the_outbox(house: Installation, firms: TwoFirms) -> None:
    link = invited(house, firms)
    with house.store.reading() as session:
        subjects = [task.subject for task in outbox.tasks(session) if task.task == "mail"]
    assert subjects
    assert not any("una" in one.lower() or link[-64:] in one for one in subjects)


def test_supervisors_hear_of_a_stage_that_waits(
    house: Installation, firms: TwoFirms, box: Box
) -> None:
    signed(house, firms, Role.INSTALLER, "complete")
    work_all(house, now=clock.now())
    assert box.to() == ["supervisor-ours@firm.example"]
    assert "waits for your release" in box.messages[0]["Subject"]


def test_crew_hears_of_a_refusal(house: Installation, firms: TwoFirms, box: Box) -> None:
    signed(house, firms, Role.INSTALLER, "complete")
    signed(house, firms, Role.SUPERVISOR, "refused")
    work_all(house, now=clock.now())
    assert box.to() == ["installer-ours@firm.example", "supervisor-ours@firm.example"]


def test_server_that_is_away_loses_nothing(house: Installation, firms: TwoFirms, port: int) -> None:
    invited(house, firms)
    now = clock.now()
    for _ in range(12):
        work_all(house, now=now)
        now += timedelta(hours=2)
    box = Box()
    controller = Controller(box, hostname="127.0.0.1", port=port)
    controller.start()
    try:
        work_all(house, now=now)
        work_all(house, now=now + timedelta(hours=3))
    finally:
        controller.stop()
    assert box.to() == ["una@new.example"]


def test_server_without_tls_gets_nothing_where_tls_is_asked_for(
    house: Installation, firms: TwoFirms, box: Box
) -> None:
    mail = house.settings.mail
    assert mail is not None
    careful = replace(mail, tls=MailTls.STARTTLS)
    house = replace(house, settings=replace(house.settings, mail=careful))
    invited(house, firms)
    work_all(house, now=clock.now())
    assert box.messages == []
    with house.store.reading() as session:
        (waiting,) = [
            task for task in outbox.tasks(session) if task.task == "mail" and not task.done_at
        ]
    assert waiting.gave_up_at is None


def test_old_invitation_is_not_sent_any_more(
    house: Installation, firms: TwoFirms, box: Box
) -> None:
    invited(house, firms)
    work_all(house, now=clock.now() + timedelta(days=8))
    assert box.messages == []


def test_off_by_default_nothing_is_written(firms: TwoFirms) -> None:
    firms.restore()
    invited(firms.installation, firms)
    with firms.installation.store.reading() as session:
        assert not [task for task in outbox.tasks(session) if task.task == "mail"]


def written(house: Installation, firms: TwoFirms) -> None:
    token, now = firms.ours.values["owner_token"], clock.now()
    link = open_link(house, Face.HOMEOWNER, token, address="192.0.2.7", now=now)
    write_message(house, link, "A brown stain above the bed.", now=now)


def test_office_and_supervisors_hear_of_a_message(
    house: Installation, firms: TwoFirms, box: Box
) -> None:
    written(house, firms)
    work_all(house, now=clock.now())
    assert box.to() == ["office-ours@firm.example", "supervisor-ours@firm.example"]
    text = box.messages[0].get_content()
    assert re.search(r"http://localhost/jobs/[0-9a-f-]{36}/messages/[0-9a-f-]{36}", text)
    assert "stain" not in text


DUE = date(2027, 5, 3)


def looked(house: Installation, firms: TwoFirms, next_due: date, entry: str | None = None) -> str:
    """A look at the roof that names the next, or the same look put right."""
    body: dict[str, Json] = {"finding": "Sound.", "next_due": next_due.isoformat()}
    kind = Kind.INSPECTION
    if entry is not None:
        kind, body = Kind.CORRECTION, {"corrects": entry, "reason": "Mistyped.", "body": body}
    draft = Draft(id=house.new_id(), kind=kind, at=clock.now(), body=body)
    record(house, firms.ours.actors[Role.OFFICE], firms.ours.values["job"], [draft],
           now=clock.now())  # fmt: skip
    return draft.id


def reminded(house: Installation, on: date) -> None:
    now = datetime(on.year, on.month, on.day, 8, tzinfo=UTC)
    remind(house, now=now)
    work_all(house, now=now)


FIRM = ["office-ours@firm.example", "owner-ours@firm.example"]


def test_office_and_owner_hear_once_of_a_look_that_is_due(
    house: Installation, firms: TwoFirms, box: Box
) -> None:
    looked(house, firms, DUE)
    reminded(house, DUE - TOLD_BEFORE - timedelta(days=1))
    assert box.messages == []
    for days in (28, 27, 1, 0, -5):
        reminded(house, DUE - timedelta(days=days))
    assert box.to() == FIRM
    assert "is due on 3 May 2027" in box.messages[0]["Subject"]


def test_look_that_was_put_off_is_told_of_again(
    house: Installation, firms: TwoFirms, box: Box
) -> None:
    entry = looked(house, firms, DUE)
    reminded(house, DUE - timedelta(days=20))
    looked(house, firms, DUE + timedelta(days=60), entry)
    reminded(house, DUE)
    assert box.to() == FIRM
    reminded(house, DUE + timedelta(days=60))
    assert box.to() == sorted(FIRM * 2)


def test_look_put_off_before_its_mail_went_is_not_told(
    house: Installation, firms: TwoFirms, box: Box
) -> None:
    entry = looked(house, firms, DUE)
    now = datetime(2027, 4, 20, 8, tzinfo=UTC)
    assert remind(house, now=now) == 1
    looked(house, firms, DUE + timedelta(days=365), entry)
    work_all(house, now=now)
    assert box.messages == []


def test_look_is_told_once_e_mail_is_there(house: Installation, firms: TwoFirms, box: Box) -> None:
    looked(firms.installation, firms, DUE)
    late = datetime(2027, 5, 10, 8, tzinfo=UTC)
    assert remind(firms.installation, now=late) == 0
    reminded(house, late.date())
    assert box.to() == FIRM
    assert "was due on 3 May 2027" in box.messages[0]["Subject"]
