"""The pages of webhooks by hand: one registered, tried, paused, given another secret, and ended."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator, Mapping
from html import unescape
from ipaddress import ip_network
from pathlib import Path
from typing import Any, cast

import pytest
from flask import Flask

from qa import create_app
from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.installation import Installation, open_installation
from qa.settings import Settings
from qa.web import clock
from tests.accounts import add_account, add_firm
from tests.flow.account_visitor import Visitor, visitor
from tests.receiver import Arrived, Receiver, receiving

Check = Callable[[str, Mapping[str, str], bytes], bool]


@pytest.fixture
def installation(tmp_path: Path, migrated_file: Path) -> Iterator[Installation]:
    """An installation whose operator allows events to this machine, with an office."""
    shutil.copyfile(migrated_file, tmp_path / "laidtrue.db")
    allowed = (ip_network("127.0.0.0/8"),)
    opened = open_installation(
        Settings(instance=tmp_path, origin="http://localhost", webhook_networks=allowed)
    )
    add_account(opened, add_firm(opened, "Invented Roofs"), "ona", Role.OFFICE)
    yield opened
    opened.store.engine.dispose()


@pytest.fixture
def app(installation: Installation) -> Flask:
    return create_app(installation.settings, installation=installation)


@pytest.fixture
def office(app: Flask) -> Visitor:
    visit = visitor(app)
    visit.sign_in("ona")
    return visit


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    with receiving() as receiver:
        yield receiver


def secret_on(visit: Visitor) -> str:
    found = re.search(r'class="token">(laidtrue_hook_[\w-]{43})<', visit.page.text)
    assert found is not None, visit.text
    return found[1]


def go_to_webhook(visit: Visitor) -> None:
    visit.open("/webhooks")
    found = re.search(r'href="(/webhooks/[0-9a-f-]{36})"', visit.page.text)
    assert found is not None, visit.text
    visit.open(found[1])


def register(visit: Visitor, receiver: Receiver) -> str:
    visit.open("/webhooks")
    visit.send(address=receiver.address, events=["job_started", "stage_signed"])
    return secret_on(visit)


def try_it(visit: Visitor, installation: Installation) -> None:
    visit.send(f"{visit.path}/trial")
    work_all(installation, now=clock.now())


def check_of_the_help(app: Flask) -> Check:
    page = app.test_client().get("/help/webhooks").text
    found = re.search(r'<pre[^>]*id="check"[^>]*>(.*?)</pre>', page, re.DOTALL)
    assert found is not None
    names: dict[str, Any] = {}
    exec(unescape(found[1]), names)
    return cast("Check", names["comes_from_here"])


def test_office_registers_tries_and_reads_what_came_of_it(
    installation: Installation, office: Visitor, receiver: Receiver
) -> None:
    office.open("/me")
    assert 'href="/webhooks"' in office.page.text
    secret = register(office, receiver)
    go_to_webhook(office)
    assert secret not in office.page.text
    assert "Nothing yet" in office.text
    assert "A job was started A stage was signed off" in office.text
    try_it(office, installation)
    assert receiver.arrived[0].headers["Laidtrue-Event"] == "trial"
    go_to_webhook(office)
    assert re.search(r"1\. A trial Delivered on [^.]* UTC 1 attempt", office.text)


def test_lines_of_the_help_tell_ours_from_others(
    app: Flask, installation: Installation, office: Visitor, receiver: Receiver
) -> None:
    secret = register(office, receiver)
    go_to_webhook(office)
    try_it(office, installation)
    comes_from_here = check_of_the_help(app)
    one = receiver.arrived[0]
    assert comes_from_here(secret, one.headers, one.body)
    assert not comes_from_here(secret + "x", one.headers, one.body)
    assert not comes_from_here(secret, one.headers, one.body + b" ")
    for name in ("Laidtrue-Id", "Laidtrue-Timestamp"):
        other = {**one.headers, name: str(int(clock.now().timestamp()) - 301)}
        assert not comes_from_here(secret, other, one.body)
    office.open(f"{office.path}/secret")
    office.send()
    second = secret_on(office)
    go_to_webhook(office)
    assert "signs too until" in office.text
    try_it(office, installation)
    last: Arrived = receiver.arrived[1]
    assert comes_from_here(secret, last.headers, last.body)
    assert comes_from_here(second, last.headers, last.body)


def test_secret_that_somebody_knows_ends_at_once(
    app: Flask, installation: Installation, office: Visitor, receiver: Receiver
) -> None:
    known = register(office, receiver)
    go_to_webhook(office)
    office.open(f"{office.path}/secret")
    office.send(at_once="yes")
    go_to_webhook(office)
    try_it(office, installation)
    one = receiver.arrived[0]
    assert not check_of_the_help(app)(known, one.headers, one.body)


def test_pause_given_up_and_sent_again(
    installation: Installation, office: Visitor, receiver: Receiver
) -> None:
    register(office, receiver)
    receiver.statuses = [410]
    go_to_webhook(office)
    here = office.path
    try_it(office, installation)
    office.open(here)
    assert "there no more" in office.text
    assert "Waits until the webhook goes on" in office.text
    office.send(f"{here}/go-on")
    work_all(installation, now=clock.now())
    found = re.search(rf'href="({here}/deliveries/[^"]+)"', office.page.text)
    assert found is not None
    office.open(found[1])
    assert "&#34;kind&#34;:&#34;trial&#34;" in office.page.text
    office.send(f"{found[1]}/again")
    office.send(f"{here}/pause")
    assert "Nothing is sent until you let it go on" in office.text
    work_all(installation, now=clock.now())
    assert len(receiver.arrived) == 2
    office.send(f"{here}/go-on")
    work_all(installation, now=clock.now())
    assert len({one.headers["Laidtrue-Id"] for one in receiver.arrived}) == 1
    assert len(receiver.arrived) == 3


def test_events_are_chosen_anew_and_the_end_is_an_end(office: Visitor, receiver: Receiver) -> None:
    register(office, receiver)
    go_to_webhook(office)
    here = office.path
    office.open(f"{here}/events")
    assert len(re.findall(r'type="checkbox"[^>]*checked', office.page.text)) == 2
    office.send(events=["pack_ready"])
    assert "A pack is ready" in office.text
    office.open(f"{here}/events")
    office.send()
    assert (office.page.status_code, "Choose at least one" in office.text) == (400, True)
    office.open(f"{here}/end")
    office.send()
    assert office.path == "/webhooks"
    assert office.open(here).status_code == 404


@pytest.mark.parametrize(
    ("address", "word"),
    [
        ("office.example", "Write the whole address"),
        ("https://10.0.0.8/hook", "private network"),
        ("http://office.example/hook", "Begin the address with https"),
        ("", "missing"),
    ],
)
def test_address_that_will_not_do_comes_back_as_it_was_typed(
    office: Visitor, address: str, word: str
) -> None:
    office.open("/webhooks")
    office.send(address=address, events=["pack_ready"])
    assert office.page.status_code == 400
    assert word in office.text
    assert f'value="{address}"' in office.page.text
