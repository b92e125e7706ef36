"""Every text of every page can be translated: in a language that marks texts, none is without.

And every time that a page tells is one of the site's clock, and the page names its zone.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

import lxml.html
import pytest
from flask.testing import FlaskClient
from lxml import etree

from qa.services.access import Role
from qa.services.reading import ReadJob, read_job
from qa.texts.catalogue import ENGLISH
from tests.flow.browser import ACTING_AS, ServedSite, served
from tests.pictures.jobs import MORNING, clock_at, put_job_of_small_photos
from tests.pictures.objects import Address, addresses
from tests.texts.data import Data, strings_below_the_site, strings_in
from tests.texts.gathering import Said, gather
from tests.texts.pseudo import TAG, pseudo
from tests.texts.unmarked import unmarked

NAMES = (
    "Laidtrue", "Laidtrue Id", "Laidtrue Number", "Laidtrue Event", "Laidtrue Timestamp",
    "Laidtrue Signature", "CSV", "jsonl", "toml", "ASTM", "BS", "DIN", "ISO", "RH",
    "Average", "Figures", "Steps", "Report", "Question", "Phone", "Deck surface °C", "Humidity",
    "Stage", "Unit", "Value", "Weight", "Authority", "pieces", "layer of", "days", "row", "photos",
    "General figures, used until the firm enters its supplier's data sheet. The supplier",
    "personal", "outlet", "published", "common practice", "project choice", "none",
)  # fmt: skip
"""What is called so in every language; names of charts, messages and fields, which are given below
the site; names of a passkey and of a logger's columns in the fixture."""
OTHER_TIMES = {"roof-logger_file", "roof-mix_made"}
"""Pages with readings of a logger, and with times that are reckoned, on the site's clock too."""
HEADERS = {"Accept-Language": TAG}
NO_TEXTS = {302, 303, 405}
_TIME = re.compile(r"(?<![\dT:])(?:[01]\d|2[0-3]):[0-5]\d(?!\d)")
_SECRET = re.compile(r"\b[A-Z2-7]{4}(?: [A-Z2-7]{4}){7}\b|(?<=[Nn]o\. )[0-9a-f]{6}|^[0-9a-f]{6}$")
"""Secrets for an authenticator, and the last six figures of an id, which may all be letters."""


@dataclass(frozen=True, kw_only=True)
class MarkedSite:
    """A site that speaks the language of the marks, its pages, and what is data on them."""

    site: ServedSite
    pages: tuple[Address, ...]
    data: Data
    read: ReadJob

    def client(self, viewer: Role | None) -> FlaskClient:
        """A browser of somebody, without scripts."""
        client = self.site.app.test_client()
        if viewer is not None:
            client.set_cookie(ACTING_AS, self.site.marks[viewer], domain="localhost")
        return client

    def faults(self, viewer: Role | None, *, sends: bool = False) -> Iterator[str]:
        """What stands without a mark on any page, as it is opened or as its form comes back."""
        client = self.client(viewer)
        for page in self.pages:
            ask = client.post if sends else client.get
            headers = {**HEADERS, "Origin": self.site.origin}
            with ask(page.path, base_url=self.site.origin, headers=headers) as answer:
                if answer.status_code not in NO_TEXTS and "html" in answer.content_type:
                    yield from (f"{page.name}: {text}" for text in self.texts(answer.get_data()))

    def texts(self, page: bytes) -> list[str]:
        """What stands on a page without a mark and is no data."""
        found = (_SECRET.sub("", text) for text in unmarked(page))
        return sorted(text for text in found if not self.data.covers(text))


@contextmanager
def marked(place: Path, migrated_file: Path, until: datetime | None) -> Iterator[MarkedSite]:
    instance = place / "instance"
    instance.mkdir()
    shutil.copyfile(migrated_file, instance / "laidtrue.db")
    with served(instance) as site, clock_at(MORNING):
        job = put_job_of_small_photos(site, place, until=until)
        read = read_job(site.installation, site.actor(Role.OWNER), job)
        pages, _ = addresses(site, read)
        speak_marks(site, gather())
        yield MarkedSite(site=site, pages=pages, data=Data(known_strings(read)), read=read)


def speak_marks(site: ServedSite, texts: list[Said]) -> None:
    """Lets a site speak the language of the marks beside English."""
    own = site.app.extensions["laidtrue"]
    own.installation = replace(site.installation, languages=(ENGLISH, pseudo(texts)))
    site.app.config["WTF_CSRF_ENABLED"] = False


def times_on(page: bytes) -> set[str]:
    """The times of day that a person reads on a page."""
    document = lxml.html.document_fromstring(page.decode())
    etree.strip_elements(document, "pre", "script", "style", "svg", with_tail=False)
    return set(_TIME.findall(document.text_content()))


def of_another_clock(read: ReadJob) -> set[str]:
    """Times that entries would have in UTC, and none of them has on the site."""
    moments = [at for entry in read.job.entries for at in (entry.at, entry.received_at) if at]
    there = {f"{at.astimezone(read.job.time_zone):%H:%M}" for at in moments}
    now = f"{MORNING.astimezone(read.job.time_zone):%H:%M}"
    return {f"{at.astimezone(UTC):%H:%M}" for at in moments} - there - {now}


def known_strings(read: ReadJob) -> Iterator[str]:
    yield from strings_below_the_site()
    yield from NAMES
    for entry in read.job.entries:
        yield from strings_in(entry.written)


@pytest.fixture(scope="module")
def in_hand(tmp_path_factory: pytest.TempPathFactory, migrated_file: Path) -> Iterator[MarkedSite]:
    with marked(tmp_path_factory.mktemp("in-hand"), migrated_file, MORNING) as site:
        yield site


@pytest.mark.parametrize("viewer", [None, Role.INSTALLER, Role.SUPERVISOR, Role.OWNER])
def test_every_text_of_a_job_in_hand_is_marked(in_hand: MarkedSite, viewer: Role | None) -> None:
    assert "\n".join(in_hand.faults(viewer)) == ""


def test_every_text_of_a_job_handed_over_is_marked(tmp_path: Path, migrated_file: Path) -> None:
    with marked(tmp_path, migrated_file, None) as site:
        assert "\n".join(site.faults(Role.SUPERVISOR)) == ""


def test_every_text_of_a_form_that_comes_back_is_marked(in_hand: MarkedSite) -> None:
    assert "\n".join(in_hand.faults(Role.SUPERVISOR, sends=True)) == ""


def test_page_that_tells_a_time_names_its_zone(in_hand: MarkedSite) -> None:
    client, faults, told = in_hand.client(Role.SUPERVISOR), [], 0
    foreign = of_another_clock(in_hand.read)
    for page in in_hand.pages:
        with client.get(page.path, base_url=in_hand.site.origin) as answer:
            if answer.status_code in NO_TEXTS or "html" not in answer.content_type:
                continue
            times, text = times_on(answer.get_data()), answer.get_data(as_text=True)
        told += bool(times)
        if times and "Europe/London" not in text and "UTC" not in text:
            faults.append(f"{page.name} names no zone: {sorted(times)[:3]}")
        if times & foreign and page.name not in OTHER_TIMES:
            faults.append(f"{page.name} tells times of another clock: {sorted(times & foreign)}")
    assert "\n".join(faults) == ""
    assert told > 20


def test_text_that_lost_its_mark_is_found(in_hand: MarkedSite) -> None:
    texts = [said for said in gather() if said.english != "Help"]
    speak_marks(in_hand.site, texts)
    page = in_hand.client(None).get("/sign-in", base_url=in_hand.site.origin, headers=HEADERS)
    speak_marks(in_hand.site, gather())
    assert in_hand.texts(page.get_data()) == ["Help"]


def test_value_put_into_a_text_must_be_data(in_hand: MarkedSite) -> None:
    assert in_hand.texts("<p>⟦Saved by⟧ Nell Sample ⟦today⟧</p>".encode()) == []
    assert in_hand.texts("<p>⟦Saved by⟧ a kind soul ⟦today⟧</p>".encode()) == ["a kind soul"]
    assert in_hand.texts('<p>⟦Saved⟧ <b aria-label="Press"></b></p>'.encode()) == ["Press"]


def test_most_texts_would_be_missed_without_a_mark(in_hand: MarkedSite) -> None:
    texts = {said.english for said in gather()}
    plain = {re.sub(r"<[^>]*>|%\(\w+\)s", "", text) for text in texts}
    assert sum(map(in_hand.data.covers, plain)) < 0.3 * len(plain)
