"""What the addresses of the site are filled with: objects of the job that is shown."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from urllib.parse import urlsplit

from werkzeug.routing import Rule

from qa.record.job import Job
from qa.services.access import Role
from qa.services.confirming import Confirmation
from qa.services.inviting import invite
from qa.services.linking import Face, make_link, open_link
from qa.services.logger_files import take_logger_file
from qa.services.messages import messages_of, write_message
from qa.services.originals import hand_in
from qa.services.pack_making import packs_of
from qa.services.reading import ReadJob
from qa.services.specification_drafts import (
    LineChange,
    begin_draft,
    change_line,
    line_of_draft,
    read_draft,
)
from qa.services.specifications import make_version
from qa.services.trial_runs import ask_for_trial, trial_of, try_next_jobs
from qa.services.typed_people import TypedPerson
from qa.services.waiting_photos import bring_in, waiting_in
from qa.services.webhook_events import Event
from qa.services.webhooks import make_webhook, send_trial
from qa.store.api_tokens import ApiToken, add_token
from qa.store.deliveries import (
    DELIVERED,
    GIVEN_UP,
    WAITING,
    last_deliveries,
    note_attempt,
)
from qa.store.proving import Passkey, add_passkey
from qa.store.webhooks import hold_webhook, plan
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from qa.web import clock
from qa.web.csv_files import CSV_OF
from tests.camera import shot
from tests.flow.browser import ServedSite
from tests.house import jpeg
from tests.specifications import firm_file, with_limit

NOT_PAGES = frozenset(
    {
        "site.asset",
        "site.healthy",
        "site.ready",
        "uploads.piece",
        "desk.next_release",
        "desk.trial_state",
        "desk.draft_trial_state",
    }
    | {one.endpoint for lists in CSV_OF.values() for one in lists}
)

NOT_THERE = frozenset({"owner.pdf", "roof.interruption", "roof.pack", "roof.pack_state"})
"""What a job that was just taken in does not have."""
OWN = Role.OWNER
"""Whose passkey and token they are that a page is about."""


WRITTEN = {
    Face.HOMEOWNER: "There is a brown stain on the ceiling of the room, beside the wall.",
    Face.INSURER: "Who released the laminate, and on which readings?",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """A page of the site.

    Attributes:
        name: for the picture's file.
        path: with every part filled in.
    """

    name: str
    path: str


def addresses(site: ServedSite, read: ReadJob) -> tuple[tuple[Address, ...], tuple[str, ...]]:
    """Every page that can be shown, and the endpoints for which the job has no object."""
    shown: list[Address] = []
    without: list[str] = []
    values = _values(site, read)
    for rule in sorted(site.app.url_map.iter_rules(), key=lambda rule: rule.rule):
        is_page = rule.endpoint not in NOT_PAGES and not rule.endpoint.startswith("api.")
        if "GET" not in (rule.methods or ()) or not is_page:
            continue
        filled = _filled(rule, values)
        if filled is None:
            without.append(rule.endpoint)
        else:
            shown.append(Address(name=rule.endpoint.replace(".", "-"), path=filled))
    shown.extend(_besides(read))
    return tuple(shown), tuple(without)


def _filled(rule: Rule, values: Mapping[str, str | None]) -> str | None:
    path = rule.rule
    for argument in rule.arguments:
        name = f"{rule.endpoint} {argument}"
        value = values[name] if name in values else values.get(argument)
        if value is None:
            return None
        for written in (f"<{argument}>", f"<int:{argument}>", f"<path:{argument}>"):
            path = path.replace(written, value)
    return path


def _values(site: ServedSite, read: ReadJob) -> Mapping[str, str | None]:
    """A value for each argument; one that only an endpoint uses is named after it."""
    job = read.job
    packs = packs_of(site.installation, site.actor(Role.OWNER), read.id)
    pack = str(packs[0].number) if packs else None
    return {
        "job": read.id,
        "stage": str(read.stage_in_hand or Stage.LAMINATE),
        "roof.checks stage": str(_stage_with_checks(read)),
        "roof.check stage": str(_stage_with_checks(read)),
        "roof.check check": _check_of(read, _stage_with_checks(read)),
        "area": _first(job.areas, "area"),
        "bay": _repaired_bay(job),
        "mix": _first(job.mixes, "mix"),
        "lot": _first(job.lots, "lot"),
        "instrument": _first(job.instruments, "instrument"),
        "number": str(job.nonconformities[0].body.number) if job.nonconformities else None,
        "roof.pack number": pack,
        "roof.pack_state number": pack,
        "entry": _outside_entry(read),
        "roof.interruption entry": job.interruptions[0].entry.id if job.interruptions else None,
        "sha256": job.photos[0].body.sha256 if job.photos else None,
        "size": "screen",
        "key": "tam",
        "specification": _specification(site),
        "version": "1",
        "draft": _draft(site),
        "line": "chart.resin_dose",
        "token": _token(site),
        "batch": job.lots[0].body.batch_number if job.lots else None,
        "passkey": _passkey(site),
        "api_token": _api_token(site),
        "logger_file": _logger_file(site, read),
        **_webhook(site),
        "waiting_photo": _waiting_photo(site, read),
        **_by_links(site, read, has_pack=any(one.is_made for one in packs)),
    }


def _besides(read: ReadJob) -> Iterator[Address]:
    """Pages worth a second look: every stage of the job, and what is not there."""
    for stage in Stage:
        name = f"roof-stage-{stage}"
        yield Address(name=name, path=f"/jobs/{read.id}/stages/{stage}")
    yield Address(name="error-404", path="/nowhere")


def _first(recorded: tuple[object, ...], attribute: str) -> str | None:
    return str(getattr(recorded[0].body, attribute)) if recorded else None  # type: ignore[attr-defined]


def _stage_with_checks(read: ReadJob) -> Stage:
    stages = [read.stage_in_hand or Stage.LAMINATE, *Stage]
    return next(stage for stage in stages if _checks_of(read, stage))


def _checks_of(read: ReadJob, stage: Stage) -> list[str]:
    checks = read.specification.checks.items()
    return [key for key, check in checks if stage in check.stages]


def _check_of(read: ReadJob, stage: Stage) -> str:
    return _checks_of(read, stage)[0]


def _repaired_bay(job: Job) -> str:
    """A bay that was looked at twice, or the first."""
    bays = [examination.body.bay for examination in job.examinations]
    return next((bay for bay in bays if bays.count(bay) > 1), "r1b1")


def _outside_entry(read: ReadJob) -> str:
    outside = (found for found in read.assessment.findings if found.verdict is Verdict.OUTSIDE)
    return next((found.entries[0] for found in outside if found.entries), read.job.entries[0].id)


def _by_links(site: ServedSite, read: ReadJob, *, has_pack: bool) -> dict[str, str | None]:
    """A link of each face, with what was written by it."""
    house, owner, now = site.installation, site.actor(Role.OWNER), clock.now()
    tokens = {}
    for face, recipient in ((Face.HOMEOWNER, "A. Client (invented)"), (Face.INSURER, "A reader")):
        made = make_link(house, owner, read.id, face=face, recipient=recipient, now=now)
        tokens[face] = made.address.split("/")[-2]
        link = open_link(house, face, tokens[face], address="192.0.2.7", now=now)
        photo = io.BytesIO(jpeg()) if face is Face.HOMEOWNER else None
        write_message(house, link, WRITTEN[face], photo, now=now)
    messages = messages_of(house, owner, read)
    named = make_link(
        house, owner, read.id,
        face=Face.INSURER, recipient="An expert", shows_personal=True, now=now,
    )  # fmt: skip
    return {
        "insurer.folder_with_names reader_token": named.address.split("/")[-2],
        "owner_token": tokens[Face.HOMEOWNER],
        "owner.pdf owner_token": tokens[Face.HOMEOWNER] if has_pack else None,
        "reader_token": tokens[Face.INSURER],
        "message": next(one.id for one in messages if one.face is Face.HOMEOWNER),
    }


def _token(site: ServedSite) -> str:
    person = TypedPerson(
        email="new@level-and-lap.example", name="Una Thought-Up", roles=(Role.INSTALLER,)
    )
    link = invite(site.installation, site.actor(Role.OWNER), person, now=clock.now())
    return urlsplit(link.address).path.rpartition("/")[2]


def _specification(site: ServedSite) -> str:
    """The key of a version that the firm has made: a stricter limit than the job's."""
    content = with_limit(firm_file(), "check.deck.moisture", "upper", "12")
    supervisor = site.actor(Role.SUPERVISOR)
    note = "The board maker’s sheet asks for less."
    return make_version(site.installation, supervisor, content, note=note, now=clock.now()).key


def _draft(site: ServedSite) -> str:
    """A draft in which a limit was changed, and its trial run."""
    house, supervisor, now = site.installation, site.actor(Role.SUPERVISOR), clock.now()
    draft = begin_draft(house, supervisor, "general-grp", 1, named="our-limits", now=now)
    line = line_of_draft(read_draft(house, supervisor, draft), "check.deck.moisture")
    source = "A board maker’s sheet, edition 3 of May 2026 (invented)."
    table = {**line.table, "upper": 12.0, "basis": "published", "source": source}
    change = LineChange(path=line.path, table=table, seen=line.mark)
    change_line(house, supervisor, draft, change, now=now)
    content = read_draft(house, supervisor, draft).kept.content
    ask_for_trial(house, supervisor, content, now=now)
    run = trial_of(house, supervisor, content)
    assert run is not None
    keep = try_next_jobs(house, run.kept.id, now)
    with house.store.writing() as session:
        keep(session)
    return draft


def _passkey(site: ServedSite) -> str:
    """A passkey that nobody can sign in with."""
    key = Passkey(
        id=site.installation.new_id(), person_id=site.actor(OWN).person_id,
        credential_id=site.installation.new_id().encode(), public_key=b"none", sign_count=0,
        name="Phone", created_at=clock.now(), used_at=None,
    )  # fmt: skip
    with site.installation.store.writing() as session:
        add_passkey(session, key)
    return key.id


def _logger_file(site: ServedSite, read: ReadJob) -> str:
    """Readings from a quarter to the first mix on, one a minute for up to two days, with a gap."""
    begins = min((mix.at for mix in read.job.mixes), default=read.job.opening.at)
    lines = ["Logger 3 (invented)", "Time;Air °C;Humidity %RH;Deck surface °C"]
    until = min((clock.now() - begins) // timedelta(minutes=1), 2 * 24 * 60)
    for minute in range(-15, max(until, 1)):
        if not 60 <= minute < 100:
            at = begins.astimezone(read.job.time_zone) + timedelta(minutes=minute)
            figures = f"{14 + minute % 90 / 10:.1f};{60 + minute % 280 / 10:.1f};16.5"
            lines.append(f"{at:%d/%m/%Y %H:%M};{figures.replace('.', ',')}")
    written = io.BytesIO("\n".join(lines).encode())
    return take_logger_file(site.installation, site.actor(Role.INSTALLER), written, now=clock.now())


def _webhook(site: ServedSite) -> dict[str, str]:
    """A webhook whose program is away since one event arrived, and another was given up."""
    house, owner, now = site.installation, site.actor(OWN), clock.now()
    made = make_webhook(
        house, owner, Confirmation(proven_at=now),
        address="https://office.example/roofs?from=site",
        events=[Event.STAGE_SIGNED, Event.STAGE_DECIDED, Event.FINDING_OUTSIDE], now=now,
    )  # fmt: skip
    for _ in range(3):
        send_trial(house, owner, made.webhook_id, now=now)
    with house.store.writing() as session:
        row = hold_webhook(session, made.webhook_id)
        assert row is not None
        row.failures = 3
        plan(session, made.webhook_id, now + timedelta(hours=1))
        away, given_up, delivered = last_deliveries(session, made.webhook_id, most=3)
        for one, state, status, fault in (
            (delivered, DELIVERED, 200, ""),
            (given_up, GIVEN_UP, 500, "Given up after 5 days. It answered 500."),
            (away, WAITING, None, "It did not answer within 10 seconds."),
        ):
            note_attempt(session, one.id, state=state, status=status, fault=fault, now=now)
    return {"webhook": made.webhook_id, "delivery": given_up.id}


def _waiting_photo(site: ServedSite, read: ReadJob) -> str:
    """Pictures that wait: three soon after a bay was examined, one without a time."""
    installation, installer, now = site.installation, site.actor(Role.INSTALLER), clock.now()
    looks = [one.at for one in read.job.examinations] or [read.job.opening.at]
    zone = read.job.time_zone
    times = [at.astimezone(zone) + timedelta(minutes=2) for at in looks[:3]]
    for shade, taken in enumerate((*times, None), start=700):
        name = f"IMG_{shade}.jpg"
        content = io.BytesIO(shot(shade, taken))
        photo = hand_in(installation, installer, content, name=name, now=now)
        bring_in(installation, installer, read.id, photo.sha256, name=name, now=now)
    return waiting_in(installation, installer, read, now=now).photos[0].id


def _api_token(site: ServedSite) -> str:
    """A token that no program has."""
    someone, now = site.actor(OWN), clock.now()
    token = ApiToken(
        id=site.installation.new_id(), firm_id=someone.firm_id, person_id=someone.person_id,
        token_hash=site.installation.new_id(), name="Stock book", created_at=now,
        expires_at=now + timedelta(days=30),
    )  # fmt: skip
    with site.installation.store.writing() as session:
        add_token(session, token)
    return token.id
