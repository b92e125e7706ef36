"""Events against a real HTTP server: what arrives, in which order, and what becomes of the rest."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime, timedelta
from hashlib import sha256
from hmac import new as hmac
from ipaddress import ip_network
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from qa.errors import ConflictError
from qa.services.access import Actor, Role
from qa.services.confirming import Confirmation
from qa.services.delivery import tidy, work_all
from qa.services.linking import Face, make_link, open_link
from qa.services.messages import write_message
from qa.services.pack_making import ask_for_pack
from qa.services.packing import PackKind
from qa.services.recording import record
from qa.services.webhook_delivery import GIVEN_UP_AFTER, delay_after
from qa.services.webhook_events import Event
from qa.services.webhook_reading import webhook_of, webhooks_of
from qa.services.webhooks import (
    FORMER_SIGNS,
    NewSecret,
    end_webhook,
    go_on,
    make_webhook,
    pause,
    renew_secret,
    send_again,
    send_trial,
)
from qa.store.deliveries import KEPT, Delivery
from qa.web.api.description import description
from tests.accounts import acting, add_account
from tests.house import NOON, House, open_house
from tests.receiver import Receiver, receiving
from tests.roof_job import RoofJob
from tests.unit.store.entry_rows import ON_SQLITE

LOOPBACK = ip_network("127.0.0.0/8")
SOON = timedelta(seconds=1)


@pytest.fixture
def house(tmp_path: Path, database_url: str) -> Iterator[House]:
    """A house whose operator allows events to go to this machine."""
    house = open_house(tmp_path / "instance", database_url)
    settings = replace(house.installation.settings, webhook_networks=(LOOPBACK,))
    yield replace(house, installation=replace(house.installation, settings=settings))
    house.installation.store.engine.dispose()


@pytest.fixture
def owner(house: House) -> Actor:
    add_account(house.installation, "firm-1", "ivy", Role.OWNER)
    return acting(house.installation, "firm-1", "ivy")


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    with receiving() as receiver:
        yield receiver


def proven(now: datetime = NOON) -> Confirmation:
    return Confirmation(proven_at=now)


def hook(house: House, owner: Actor, receiver: Receiver, *events: Event) -> NewSecret:
    return make_webhook(
        house.installation, owner, proven(),
        address=receiver.address, events=events or tuple(Event), now=NOON,
    )  # fmt: skip


def kinds(receiver: Receiver) -> list[str]:
    return [json.loads(one.body)["kind"] for one in receiver.arrived]


def sent(house: House, owner: Actor, made: NewSecret) -> tuple[Delivery, ...]:
    return webhook_of(house.installation, owner, made.webhook_id).deliveries


def told(receiver: Receiver) -> list[dict[str, Any]]:
    """What has arrived, each as the interface's description says that it is."""
    events = [json.loads(one.body) for one in receiver.arrived]
    for event, one in zip(events, receiver.arrived, strict=True):
        schema = {"$ref": f"#/components/schemas/event_{event['kind']}"}
        Draft202012Validator({**description(), **schema}).validate(event)
        names = ("Laidtrue-Id", "Laidtrue-Number", "Laidtrue-Event")
        assert [one.headers[name] for name in names] == [
            event["id"], str(event["number"]), event["kind"]
        ]  # fmt: skip
    return events


def work(house: House, now: datetime = NOON) -> None:
    work_all(house.installation, now=now)


def test_job_from_its_start_to_a_refusal_is_told_in_order(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    hook(house, owner, receiver)
    job = RoofJob.started(house)
    entry = job.add("conditions", stage="laminate", deck_c=2)
    job.add("sign_off", stage="deck", decision="complete", statement="Done.")
    job.add("sign_off", by=house.omar, stage="deck", decision="refused", statement="Wet.")
    work(house, job.clock)
    events = told(receiver)
    assert [one["kind"] for one in events][:3] == [
        "job_started", "entry_recorded", "finding_outside"
    ]  # fmt: skip
    assert [one["number"] for one in events] == list(range(1, len(events) + 1))
    assert {one["job"] for one in events} == {job.id}
    assert (events[1]["entry"], events[1]["seq"], events[1]["hash"]) == (entry.entry, 1, entry.hash)
    assert (events[2]["check"], events[2]["entry"]) == ("conditions.deck_temperature", entry.entry)
    decided = [one for one in events if one["kind"] == "stage_decided"]
    assert [(one["stage"], one["decision"]) for one in decided] == [("deck", "refused")]
    assert "stage_signed" in [one["kind"] for one in events]


@ON_SQLITE
def test_message_and_pack_are_told(
    house: House, owner: Actor, receiver: Receiver, tmp_path: Path
) -> None:
    job = RoofJob.equipped(house)
    hook(house, owner, receiver, Event.MESSAGE_ARRIVED, Event.PACK_READY)
    made = make_link(
        house.installation, house.omar, job.id, face=Face.INSURER, recipient="Ann", now=NOON
    )
    token = made.address.split("/")[-2]
    link = open_link(house.installation, Face.INSURER, token, address="192.0.2.7", now=NOON)
    write_message(house.installation, link, "Who released the deck?", now=NOON)
    ask_for_pack(house.installation, house.omar, job.id, PackKind.HANDOVER, now=NOON)
    work(house)
    work(house, NOON + SOON)
    message, pack = told(receiver)
    assert (message["kind"], message["face"]) == ("message_arrived", "insurer")
    assert (pack["kind"], pack["pack"], pack["pack_kind"]) == ("pack_ready", 1, "handover")
    assert house.installation.papers.path(pack["sha256"]).exists()


@ON_SQLITE
def test_nothing_that_a_person_wrote_is_sent(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    hook(house, owner, receiver)
    job = RoofJob.started(house, title="Quillonbury", site={"address": "17 Quillonbury Rise"})
    job.add("note", text="Quillonbury is slow.")
    job.add("area", name="Quillonbury", area="quillonbury")
    work(house, job.clock)
    assert len(receiver.arrived) == 3
    for one in receiver.arrived:
        whole = f"{one.path} {one.headers} {one.body!r}".lower()
        assert not any(word in whole for word in ("quillonbury", "ines", "omar", "invented"))


@ON_SQLITE
def test_only_what_was_chosen_is_sent(house: House, owner: Actor, receiver: Receiver) -> None:
    hook(house, owner, receiver, Event.STAGE_SIGNED)
    job = RoofJob.equipped(house)
    job.add("sign_off", stage="deck", decision="complete", statement="Done.")
    work(house, job.clock)
    assert kinds(receiver) == ["stage_signed"]


def test_nothing_is_told_of_what_was_refused(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    job = RoofJob.equipped(house)
    made = hook(house, owner, receiver)
    good, bad = job.draft("note"), job.draft("note", text="")
    with pytest.raises(Exception, match="text"):
        record(house.installation, house.ines, job.id, [good, bad], now=job.clock)
    assert sent(house, owner, made) == ()
    job.send([good])
    job.send([good])
    assert len(sent(house, owner, made)) == 1


@ON_SQLITE
def test_another_firm_is_told_of_nothing(house: House, owner: Actor, receiver: Receiver) -> None:
    made = hook(house, owner, receiver)
    add_account(house.installation, "firm-2", "eve", Role.OWNER)
    eve = acting(house.installation, "firm-2", "eve")
    RoofJob.started(replace(house, ines=house.rival))
    work(house)
    assert (receiver.arrived, webhooks_of(house.installation, eve)) == ([], ())
    with pytest.raises(Exception, match="not there"):
        webhook_of(house.installation, eve, made.webhook_id)


@ON_SQLITE
def test_both_secrets_sign_for_two_days_after_a_change(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    first = hook(house, owner, receiver)
    second = renew_secret(
        house.installation, owner, first.webhook_id, proven(), at_once=False, now=NOON
    )
    for now in (NOON, NOON + FORMER_SIGNS):
        send_trial(house.installation, owner, first.webhook_id, now=now)
        work(house, now)
    signed = []
    for one in receiver.arrived:
        head = f"{one.headers['Laidtrue-Id']}.{one.headers['Laidtrue-Timestamp']}."
        whole = head.encode() + one.body
        right = {
            made: hmac(made.secret.encode(), whole, sha256).hexdigest() for made in (first, second)
        }
        signed.append([right[second], right[first]])
    got = [one.headers["Laidtrue-Signature"].split(",") for one in receiver.arrived]
    assert got == [signed[0], signed[1][:1]]


def test_receiver_that_is_down_loses_nothing_and_keeps_the_order(
    house: House, owner: Actor
) -> None:
    with receiving() as away:
        made = hook(house, owner, away)
    job = RoofJob.equipped(house)
    now = job.clock
    for failures in range(1, 9):
        work(house, now)
        work(house, now)
        webhook = webhook_of(house.installation, owner, made.webhook_id).webhook
        assert webhook.failures == failures
        assert webhook.next_at == now + delay_after(failures)
        now += delay_after(failures)
    head = sent(house, owner, made)[-1]
    assert (head.number, head.attempts, head.state) == (1, 8, "waiting")
    assert head.fault == "It cannot be reached, or broke the connection off."
    assert [one.attempts for one in sent(house, owner, made)[:-1]] == [0, 0, 0]
    job.add("note", text="One more.")
    with receiving(away.port) as back:
        work(house, now)
    assert [json.loads(one.body)["number"] for one in back.arrived] == [1, 2, 3, 4, 5]
    assert {one.state for one in sent(house, owner, made)} == {"delivered"}


def test_two_workers_and_a_writer_lose_nothing_and_double_nothing(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    job = RoofJob.equipped(house)
    hook(house, owner, receiver, Event.ENTRY_RECORDED)
    is_written = threading.Event()

    def deliver() -> None:
        while not is_written.is_set():
            work(house, job.clock)

    with ThreadPoolExecutor(2) as workers:
        done = [workers.submit(deliver) for _ in range(2)]
        try:
            for number in range(12):
                job.add("note", text=f"Note {number}.")
        finally:
            is_written.set()
        for one in done:
            one.result()
    work(house, job.clock)
    assert [event["number"] for event in told(receiver)] == list(range(1, 13))


@ON_SQLITE
def test_attempt_again_carries_the_same_id_and_body(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    receiver.statuses = [500, 503]
    hook(house, owner, receiver)
    RoofJob.started(house)
    for minutes in (0, 1, 3):
        work(house, NOON + timedelta(minutes=minutes))
    assert len(receiver.arrived) == 3
    assert len({(one.headers["Laidtrue-Id"], one.body) for one in receiver.arrived}) == 1


@ON_SQLITE
def test_redirect_is_not_followed(house: House, owner: Actor, receiver: Receiver) -> None:
    receiver.statuses = [302]
    made = hook(house, owner, receiver)
    RoofJob.started(house)
    work(house)
    assert [one.path for one in receiver.arrived] == ["/events?from=roofs"]
    (one,) = sent(house, owner, made)
    assert (one.state, one.status) == ("waiting", 302)
    assert "Nothing is followed" in one.fault
    assert "secret" not in str(one)


@ON_SQLITE
def test_receiver_that_is_gone_is_asked_no_more_until_told_to(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    receiver.statuses = [410]
    made = hook(house, owner, receiver)
    job = RoofJob.equipped(house)
    for days in range(9):
        work(house, job.clock + timedelta(days=days))
    webhook = webhook_of(house.installation, owner, made.webhook_id).webhook
    assert (len(receiver.arrived), webhook.state) == (1, "paused")
    assert "410" in webhook.because
    with pytest.raises(ConflictError, match="paused"):
        send_trial(house.installation, owner, made.webhook_id, now=job.clock)
    later = job.clock + timedelta(days=9)
    go_on(house.installation, owner, made.webhook_id, now=later)
    work(house, later)
    assert len(receiver.arrived) == 5


def test_what_happens_in_a_pause_waits_for_its_end(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    made = hook(house, owner, receiver)
    pause(house.installation, owner, made.webhook_id)
    job = RoofJob.equipped(house)
    work(house, job.clock)
    assert receiver.arrived == []
    go_on(house.installation, owner, made.webhook_id, now=job.clock)
    work(house, job.clock)
    assert len(receiver.arrived) == 4


def test_given_up_after_days_is_seen_and_sent_again_by_hand(house: House, owner: Actor) -> None:
    with receiving() as away:
        made = hook(house, owner, away)
    RoofJob.started(house)
    now = NOON
    while now <= NOON + GIVEN_UP_AFTER + timedelta(hours=7):
        work(house, now)
        seen = webhook_of(house.installation, owner, made.webhook_id)
        now = seen.webhook.next_at or now + timedelta(hours=6)
    (one,) = seen.deliveries
    assert (one.state, seen.webhook.next_at) == ("given_up", None)
    assert one.fault.startswith("Given up after 5 days. ")
    assert 20 < one.attempts < 40
    with receiving(away.port) as back:
        send_again(house.installation, owner, made.webhook_id, one.id, now=now)
        work(house, now)
    assert [json.loads(got.body)["id"] for got in back.arrived] == [one.id]
    assert sent(house, owner, made)[0].state == "delivered"


def test_ended_webhook_gets_nothing_and_keeps_no_secret(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    made = hook(house, owner, receiver)
    job = RoofJob.started(house)
    end_webhook(house.installation, owner, made.webhook_id, proven(), now=NOON)
    job.add("note")
    work(house, job.clock)
    assert receiver.arrived == []
    assert webhooks_of(house.installation, owner) == ()


@ON_SQLITE
def test_private_network_is_asked_for_nothing_unless_allowed(
    house: House, owner: Actor, receiver: Receiver
) -> None:
    made = hook(house, owner, receiver)
    closed = replace(house.installation.settings, webhook_networks=())
    house = replace(house, installation=replace(house.installation, settings=closed))
    RoofJob.started(house)
    work(house)
    assert receiver.arrived == []
    assert "private network" in sent(house, owner, made)[0].fault


def test_old_deliveries_are_tidied_away(house: House, owner: Actor, receiver: Receiver) -> None:
    made = hook(house, owner, receiver)
    RoofJob.started(house)
    work(house)
    pause(house.installation, owner, made.webhook_id)
    RoofJob.started(house, job="J-2")
    tidy(house.installation, now=NOON + KEPT + SOON)
    assert [one.state for one in sent(house, owner, made)] == ["given_up"]
