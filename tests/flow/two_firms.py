"""Two firms with a job each, and a visitor for every role: the ground of the test of every route.

The firms are alike and share nothing. Whatever a request changes is taken back by `restore`.
"""

from __future__ import annotations

import io
import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select

from qa import create_app
from qa.record.registry import Kind
from qa.services.access import Actor, Role
from qa.services.api_tokens import NewToken, make_token, tokens_of
from qa.services.confirming import Confirmation
from qa.services.installation import Installation, open_installation
from qa.services.inviting import invite
from qa.services.linking import Face, links_of, make_link, open_link
from qa.services.logger_files import take_logger_file
from qa.services.messages import messages_of, write_message
from qa.services.originals import hand_in
from qa.services.pack_making import ask_for_pack
from qa.services.packing import PackKind
from qa.services.reading import read_job
from qa.services.recording import Draft, record
from qa.services.specification_drafts import begin_draft
from qa.services.specifications import make_version
from qa.services.starting import start_job
from qa.services.typed_people import read_person
from qa.services.uploading import begin_upload
from qa.services.waiting_photos import bring_in, waiting_in
from qa.services.webhook_reading import webhook_of
from qa.services.webhooks import make_webhook, pause, send_trial
from qa.settings import Settings
from qa.store import accounts, papers, proving
from qa.store.invitations import open_in_firm
from qa.store.proving import Passkey
from qa.store.tables import PackRow
from qa.web import clock
from tests.accounts import acting, add_account, add_firm
from tests.examples import minimal
from tests.house import jpeg
from tests.specifications import firm_file

ORIGIN = "http://localhost"
SECRET = "Quillonbury"
"""Stands in the title of every job and in the name of every person of the other firm."""
NOBODY = None

Values = Mapping[str, str]


@dataclass(slots=True, kw_only=True)
class FirmOnSite:
    """A firm with a job, and everything that an address of the site can name.

    Attributes:
        actors: one person of each role.
        values: what stands in an address for a variable of that name, or for
            "endpoint variable" where an endpoint means something else by it.
    """

    actors: Mapping[Role, Actor]
    values: Values


@dataclass(slots=True, kw_only=True)
class TwoFirms:
    """A site with our firm and another one."""

    folder: Path
    installation: Installation
    app: Flask
    ours: FirmOnSite
    theirs: FirmOnSite
    _clients: dict[Role | None, FlaskClient] = field(default_factory=dict)
    _bearers: dict[Role, str] = field(default_factory=dict)

    def visitor(self, role: Role | None) -> FlaskClient:
        """A browser in which our firm's person of that role is signed in, or nobody."""
        if role not in self._clients:
            client = self.app.test_client()
            if role is not None:
                person = self.ours.actors[role]
                mark = _mark(self.installation, person)
                with client.session_transaction() as session:
                    session["mark"], session["proven"] = mark, int(clock.now().timestamp())
            self._clients[role] = client
        return self._clients[role]

    def token(self, role: Role | None) -> str:
        """The token that a page of that visitor carries."""
        page = self.visitor(role).get("/help").text
        found = re.search(r'name="csrf-token" content="([^"]+)"', page)
        assert found is not None
        return found[1]

    def bearer(self, role: Role) -> str:
        """A token that our firm's person of that role has made."""
        if role not in self._bearers:
            self._bearers[role] = new_token(self.installation, self.ours.actors[role]).token
        return self._bearers[role]

    def restore(self) -> None:
        """Takes back whatever was changed."""
        self.close()
        shutil.copyfile(self.folder / "before.db", self.folder / "laidtrue.db")
        self.installation = _open(self.folder)
        self.app.extensions["laidtrue"].installation = self.installation
        self._clients.clear()
        self._bearers.clear()

    def close(self) -> None:
        """Closes the database, so that its file is whole."""
        self.installation.store.engine.dispose()


def make_two_firms(folder: Path, migrated_file: Path) -> TwoFirms:
    """Makes the site in an empty folder."""
    shutil.copyfile(migrated_file, folder / "laidtrue.db")
    installation = _open(folder)
    ours = _firm(installation, "ours", "")
    theirs = _firm(installation, "theirs", f"{SECRET} ")
    installation.store.engine.dispose()
    shutil.copyfile(folder / "laidtrue.db", folder / "before.db")
    app = create_app(installation.settings, installation=installation)
    return TwoFirms(folder=folder, installation=installation, app=app, ours=ours, theirs=theirs)


def _open(folder: Path) -> Installation:
    return open_installation(Settings(instance=folder, origin=ORIGIN))


def _mark(installation: Installation, actor: Actor) -> str:
    with installation.store.reading() as session:
        account = accounts.account_by_id(session, actor.person_id)
    assert account is not None
    return account.session_mark


def _firm(installation: Installation, word: str, secret: str) -> FirmOnSite:
    firm_id = add_firm(installation, f"{secret}Invented Roofs {word}")
    actors = {role: _person(installation, firm_id, word, role) for role in Role}
    values = {
        **_of_people(installation, actors, word),
        **_of_the_job(installation, actors, word, secret),
        "specification": _specification(installation, actors[Role.SUPERVISOR], word, secret),
        "version": "1",
        "draft": begin_draft(
            installation,
            actors[Role.SUPERVISOR],
            "general-grp",
            1,
            named=f"draft-{word}",
            now=clock.now(),
        ),
        "line": "check.deck.moisture",
        "logger_file": take_logger_file(
            installation,
            actors[Role.INSTALLER],
            io.BytesIO(f"Time,Air {secret}\n2026-05-12 10:00,{len(word)}\n".encode()),
            now=clock.now(),
        ),
        **_of_webhooks(installation, actors[Role.OWNER], secret.strip()),
        "edition": "any",
        "digest": "0" * 64,
        "name": "site/mark.svg",
        "list_name": "record",
    }
    return FirmOnSite(actors=MappingProxyType(actors), values=MappingProxyType(values))


def _of_webhooks(installation: Installation, owner: Actor, secret: str) -> dict[str, str]:
    """A webhook that is paused, so that nobody is asked for anything, with a delivery."""
    now = clock.now()
    made = make_webhook(
        installation, owner, Confirmation(proven_at=now),
        address=f"https://office.example/{secret}", events=("job_started",), now=now,
    )  # fmt: skip
    send_trial(installation, owner, made.webhook_id, now=now)
    pause(installation, owner, made.webhook_id)
    (trial,) = webhook_of(installation, owner, made.webhook_id).deliveries
    return {"webhook": made.webhook_id, "delivery": trial.id}


def _specification(installation: Installation, actor: Actor, word: str, secret: str) -> str:
    content = firm_file(f"limits-{word}/1", title=f'"{secret}Limits"')
    return make_version(installation, actor, content, note=secret, now=clock.now()).key


def _person(installation: Installation, firm_id: str, word: str, role: Role) -> Actor:
    """A person with a second factor and a passkey, so that every role is in force."""
    key = f"{role.value}-{word}"
    actor = add_account(installation, firm_id, key, role)
    passkey = Passkey(
        id=f"passkey-{key}", person_id=actor.person_id, credential_id=key.encode(),
        public_key=b"key", sign_count=0, name="phone", created_at=clock.now(), used_at=None,
    )  # fmt: skip
    with installation.store.writing() as session:
        proving.add_passkey(session, passkey)
        accounts.set_authenticator(session, actor.person_id, b"sealed", step=0)
    return acting(installation, firm_id, key)


def _of_people(
    installation: Installation, actors: Mapping[Role, Actor], word: str
) -> dict[str, str]:
    now = clock.now()
    invitations = []
    for number in range(2):
        person = read_person(email=f"new{number}@{word}.example", name="New", roles=("installer",))
        link = invite(installation, actors[Role.OWNER], person, now=now)
        invitations.append(link.address.rpartition("/")[2])
    with installation.store.reading() as session:
        (waiting, *_) = open_in_firm(session, actors[Role.OWNER].firm_id, now=now)
    return {"key": f"installer-{word}", "token": invitations[0], "invitation": waiting.id}


def _make_pack(installation: Installation, actor: Actor, job: str, word: str) -> None:
    """A pack that is made, without the time that setting its pages takes."""
    ask_for_pack(installation, actor, job, PackKind.HANDOVER, now=clock.now())
    paper = installation.papers.put(f"%PDF-1.7 {word}".encode())
    with installation.store.writing() as session:
        pack = session.scalars(select(PackRow.id).where(PackRow.job_id == job)).one()
        edition = papers.PackEdition(program="test", entries=1, head="0" * 64)
        papers.begin_pack(session, pack, edition)
        papers.finish_pack(session, pack, sha256=paper.sha256, length=paper.bytes, now=clock.now())


def _token_id(installation: Installation, actor: Actor) -> str:
    """Makes a token of the person's and answers its id."""
    new_token(installation, actor)
    return tokens_of(installation, actor, now=clock.now())[0].id


def new_token(installation: Installation, actor: Actor) -> NewToken:
    """A token by which a program acts as the person."""
    now = clock.now()
    return make_token(
        installation, actor, Confirmation(proven_at=now), name="logger", days=30, now=now
    )


def _of_links(installation: Installation, owner: Actor, job: str, secret: str) -> dict[str, str]:
    """A link of each face, and a report with a photograph."""
    tokens = {}
    for face in Face:
        made = make_link(
            installation, owner, job, face=face, recipient=f"{secret}Someone", now=clock.now()
        )
        tokens[face] = made.address.split("/")[-2]
    link = open_link(
        installation, Face.HOMEOWNER, tokens[Face.HOMEOWNER], address="192.0.2.7", now=clock.now()
    )
    photo = io.BytesIO(jpeg(99))
    write_message(installation, link, f"{secret}A stain.", photo, now=clock.now())
    read = read_job(installation, owner, job)
    named = make_link(
        installation, owner, job,
        face=Face.INSURER, recipient="x", shows_personal=True, now=clock.now(),
    )  # fmt: skip
    return {
        "insurer.folder_with_names reader_token": named.address.split("/")[-2],
        "owner_token": tokens[Face.HOMEOWNER],
        "reader_token": tokens[Face.INSURER],
        "link": links_of(installation, owner, job)[0].id,
        "message": messages_of(installation, owner, read)[0].id,
    }


def _waiting_photo(installation: Installation, actor: Actor, job: str, sha256: str) -> str:
    bring_in(installation, actor, job, sha256, name="1.jpg", now=clock.now())
    read = read_job(installation, actor, job)
    return waiting_in(installation, actor, read, now=clock.now()).photos[0].id


def _of_the_job(
    installation: Installation, actors: Mapping[Role, Actor], word: str, secret: str
) -> dict[str, str]:
    """A job with something of every kind that an address can name."""
    installer, now = actors[Role.INSTALLER], clock.now()
    crew = [
        {"person": one.key, "name": f"{secret}Someone", "role": role.value}
        for role, one in actors.items()
        if role is not Role.OWNER
    ]
    job = start_job(
        installation, installer,
        minimal("job") | {"crew": crew, "title": f"{secret}Garage roof", "job": f"J-{word}"},
        entry_id=installation.new_id(), at=now, now=now,
    )  # fmt: skip
    photo = hand_in(installation, installer, io.BytesIO(jpeg(len(word))), name="1.jpg", now=now)
    area, mix = f"area-{word}", f"mix-{word}"
    bodies: list[tuple[str, dict[str, Any]]] = [
        ("area", minimal("area") | {"area": area}),
        ("instrument", minimal("instrument")),
        ("lot", minimal("lot") | {"batch_number": f"B {word}"}),
        ("lot", minimal("lot") | {"lot": "catalyst-1", "material": "catalyst", "unit": "l"}),
        ("measurement", minimal("measurement") | {"value": 40}),
        ("mix", minimal("mix") | {"area": area, "mix": mix}),
        ("nonconformity", minimal("nonconformity")),
        (
            "interruption",
            minimal("interruption") | {"from": (now - timedelta(hours=1)).isoformat()},
        ),
        ("photo", minimal("photo") | {"file": f"photos/{photo.sha256}.jpg"}),
    ]
    ids = {}
    for kind, body in bodies:
        original = photo.sha256 if kind == "photo" else None
        draft = Draft(
            id=installation.new_id(), kind=Kind(kind), at=now, body=body, original=original
        )
        record(installation, installer, job, [draft], now=now)
        ids[kind] = draft.id
    _make_pack(installation, actors[Role.OFFICE], job, word)
    return {
        **_of_links(installation, actors[Role.OWNER], job, secret),
        "job": job,
        "area": area,
        "bay": "r1b1",
        "stage": "deck",
        "check": "deck.moisture",
        "mix": mix,
        "batch": f"B {word}",
        "number": "1",
        "entry": ids["lot"],
        "roof.outside entry": ids["measurement"],
        "roof.interruption entry": ids["interruption"],
        "sha256": photo.sha256,
        "waiting_photo": _waiting_photo(installation, installer, job, photo.sha256),
        "size": "list",
        **{
            f"{role.value} upload": begin_upload(
                installation, actor, sha256=sha256(actor.key.encode()).hexdigest(),
                length=9, name="2.jpg", now=now,
            ).id
            for role, actor in actors.items()
            if role in (Role.INSTALLER, Role.SUPERVISOR)
        },
        **{f"{role.value} passkey": f"passkey-{one.key}" for role, one in actors.items()},
        **{
            f"{role.value} api_token": _token_id(installation, actor)
            for role, actor in actors.items()
        },
    }  # fmt: skip
