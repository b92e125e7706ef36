"""Markup in every free text of a job: shown as typed wherever it is read, run and fetched nowhere.

Packs are rendered whole by the real program, and the interpreter itself is heard meanwhile: it
opens no file but its own and the job's, and calls nobody.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from html.parser import HTMLParser
from typing import Any

import pytest

from qa.packs.handover import handover_pack
from qa.packs.rendering import Document, render_pdf
from qa.packs.source import PackSource
from qa.packs.warranty import warranty_file
from qa.services.access import Role
from qa.services.linking import Face
from tests.flow.link_holder import add_photo, holder, photo_with_place
from tests.flow.roof_visitor import RoofSite
from tests.unit.packs.handover.sample_job import source_of
from tests.unit.packs.rendering.test_fetcher import is_own, watched
from tests.unit.packs.warranty.warranty_job import warranty_job

MARKUP = (
    "=x</p></dd><script>alert(1)</script><img src=file:///etc/passwd onerror=alert(1)>"
    "<link rel=stylesheet href=http://127.0.0.1:9/x><svg><image href='//127.0.0.1:9/x'/></svg>"
    "<style>@import url(http://127.0.0.1:9/x)</style>{{ 7*7 }}{% raw %}"
)
FREE = frozenset(
    {
        "title", "name", "address", "product", "batch_number", "serial", "measures", "caption",
        "text", "description", "reason", "statement", "authority", "limit", "protection", "note",
        "remark", "finding", "to", "competence",
    }
)  # fmt: skip
"""Fields into which people write whatever they like."""
POINTS = re.compile(r"passwd|127\.0\.0\.1")
OURS = re.compile(r"/[^/]")
PACKS = pytest.mark.parametrize("pack", [handover_pack, warranty_file])


class _Live(HTMLParser):
    """Notes what a browser would run, or fetch from where the markup points to."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside = tag if tag in ("script", "style") else ""
        for name, value in attrs:
            away = name.endswith(("src", "href")) and not OURS.match(value or "")
            points = away and POINTS.search(value or "")
            if name.startswith("on") or name == "style" or points:
                self.found.append(f"{tag} {name}={value}")

    def handle_data(self, data: str) -> None:
        if self._inside and ("alert(1)" in data or POINTS.search(data)):
            self.found.append(data)


def live(page: str) -> list[str]:
    """What of a page is more than words."""
    parser = _Live()
    parser.feed(page)
    return parser.found


def spoiled(value: Any, name: str = "") -> Any:
    """The same with the markup behind every free text."""
    if isinstance(value, dict):
        return {key: spoiled(inner, key) for key, inner in value.items()}
    if isinstance(value, list):
        return [spoiled(inner, name) for inner in value]
    return f"{value} {MARKUP}" if isinstance(value, str) and name in FREE else value


@PACKS
def test_pack_of_hostile_words_reads_no_file_and_calls_nobody(
    pack: Callable[[PackSource], Document],
) -> None:
    builder = warranty_job()
    for entry in builder.entries:
        entry["body"] = spoiled(entry["body"])
    source = source_of(builder.record())
    document = pack(source)
    assert document.html.count("&lt;script&gt;alert(1)") > 40
    assert [one for one in live(document.html) if POINTS.search(one) or "alert" in one] == []
    with watched() as watch:
        pdf = render_pdf(document)
    assert watch.connections == []
    assert [path for path in watch.files if not is_own(path)] == []
    assert b"root:" not in pdf


@pytest.fixture
def hostile(roof: RoofSite) -> RoofSite:
    """A job in which everything that can be written is markup and begins like a formula."""
    roof.add("lot", product=MARKUP, batch_number=MARKUP)
    roof.add("lot", lot="catalyst-1", material="catalyst", product=MARKUP, batch_number="C 88")
    roof.add("instrument", name=MARKUP, measures=MARKUP, serial=MARKUP)
    roof.add("mix")
    roof.add("measurement", value=22.0, area="main")
    roof.add("note", text=MARKUP, stage="deck")
    asked = "One more photo is asked for: "
    roof.add("note", text=f"{asked}{MARKUP}", stage="deck", role=Role.SUPERVISOR)
    roof.add("interruption", protection=MARKUP)
    digest = add_photo(roof, photo_with_place(), stage="deck", caption=MARKUP)
    roof.add("nonconformity", description=MARKUP, stage="deck", check="deck.moisture")
    roof.add(
        "disposition", role=Role.SUPERVISOR, decision="concession",
        reason=MARKUP, authority=MARKUP, limit=MARKUP,
    )  # fmt: skip
    photo = roof.read().job.photos[0].id
    roof.add("closure", statement=MARKUP, entries=[photo])
    roof.add("sign_off", stage="deck", decision="complete", statement=MARKUP)
    roof.add("sign_off", stage="deck", role=Role.SUPERVISOR, decision="refused", statement=MARKUP)
    roof.add("sign_off", stage="deck", decision="complete", statement=MARKUP)
    roof.add("inspection", role=Role.SUPERVISOR, finding=MARKUP, defect=True)
    for face, below in ((Face.HOMEOWNER, "report"), (Face.INSURER, "questions")):
        assert holder(roof, face).open(below).send(text=MARKUP).status_code == 303
    assert digest
    return roof


def test_every_page_of_the_job_shows_it_as_typed(hostile: RoofSite) -> None:
    job, photo = hostile.job, hostile.read().job.photos[0].body.sha256
    firm = hostile.as_(Role.SUPERVISOR)
    paths = [
        "/desk", f"/desk{job}", f"/desk{job}/photos/{photo}", f"/desk{job}/photos/ask",
        "/desk/releases", "/desk/findings", "/desk/messages", "/desk/batches", "/desk/search?q=x",
        "/desk/audit", f"{job}/findings", f"{job}/nonconformities/1", f"{job}/record",
        f"{job}/messages", f"{job}/stages/deck", f"{job}/stages/deck/release", f"{job}/lots",
        f"{job}/instruments", f"{job}/photos", job,
    ]  # fmt: skip
    shown = {path: firm.open(path) for path in paths}
    assert {path: page.status for path, page in shown.items() if page.status != 200} == {}
    assert {path: live(page.text) for path, page in shown.items() if live(page.text)} == {}
    assert sum("&lt;script&gt;alert(1)" in page.text for page in shown.values()) > 12


def test_links_show_it_as_typed(hostile: RoofSite) -> None:
    owner, insurer = holder(hostile, Face.HOMEOWNER), holder(hostile, Face.INSURER)
    pages = [owner.open(below) for below in ("", "report", "inspections")]
    entries = [f"record/{entry.id}" for entry in hostile.read().job.entries]
    pages += [insurer.open(below) for below in ("", "record", "questions", *entries)]
    assert {page.status for page in pages} == {200}
    assert [live(page.text) for page in pages if live(page.text)] == []
    assert sum("&lt;script&gt;alert(1)" in page.text for page in pages) > 15


@pytest.mark.parametrize("name", ["findings", "releases", "messages", "batches", "late", "packs"])
def test_no_cell_of_a_list_is_a_formula(hostile: RoofSite, name: str) -> None:
    answer = hostile.as_(Role.SUPERVISOR).client.get(f"/desk/{name}.csv")
    assert answer.status_code == 200
    cells = [cell for row in csv.reader(io.StringIO(answer.text, newline="")) for cell in row]
    assert [cell for cell in cells if cell.startswith(("=", "+", "-", "@", "\t", "\r"))] == []
