"""What was erased is shown by no link any more, and the packs that showed it are not given out."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator

import pytest

from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.erasing import erase
from qa.services.linking import Face
from qa.services.pack_making import ask_for_pack
from qa.services.packing import PackKind
from qa.web import clock
from tests.flow.link_holder import Holder, add_photo, holder, photo_with_place
from tests.flow.roof_visitor import RoofSite

ERASED = ("A. Client", "1 Invented Lane")
SIZES = ("list", "print", "screen", "original")


@pytest.fixture
def digest(roof: RoofSite) -> str:
    """A photograph that is going to be erased."""
    return add_photo(roof, photo_with_place(), stage="deck", caption="The boards")


def have_a_pack_made(roof: RoofSite) -> None:
    house, office = roof.site.installation, roof.site.actor(Role.OFFICE)
    ask_for_pack(house, office, roof.job_id, PackKind.HANDOVER, now=clock.now())
    work_all(house, now=clock.now())


def erase_all(roof: RoofSite, digest: str) -> None:
    house, first = roof.site.installation, roof.read().record.entries[0].id
    erase(
        house, roof.site.actor(Role.OFFICE), roof.job_id,
        disclosures=[(first, "/client/name"), (first, "/site/address")], photos=[digest],
        reason="Asked for.", entry_id=house.new_id(), now=clock.now(),
    )  # fmt: skip
    work_all(house, now=clock.now())


def everything(roof: RoofSite, one: Holder, *below: str) -> Iterator[bytes]:
    """All that a link answers: pages, entries, files, and what lies in its zip files."""
    for path in below:
        status, content = one.fetch(path)
        assert status == 200, path
        yield content
        if path.endswith(".zip"):
            with zipfile.ZipFile(io.BytesIO(content)) as packed:
                yield from map(packed.read, packed.namelist())


def test_no_link_shows_what_was_erased(roof: RoofSite, digest: str) -> None:
    owner, insurer = holder(roof, Face.HOMEOWNER), holder(roof, Face.INSURER, names=True)
    pages = {
        owner: ("", "inspections", "report", "care.ics"),
        insurer: (
            "", "record", "questions", "folder.zip", "folder-with-names.zip",
            *(f"record/{entry.id}" for entry in roof.read().job.entries),
        ),
    }  # fmt: skip
    before = b"".join(b"".join(everything(roof, one, *pages[one])) for one in pages)
    assert all(word.encode() in before for word in ERASED)
    erase_all(roof, digest)
    for one, paths in pages.items():
        for content in everything(roof, one, *paths):
            assert not [word for word in ERASED if word.encode() in content]
        assert {one.fetch(f"photos/{digest}/{size}")[0] for size in SIZES} == {404}
    assert "The boards" in insurer.open("record").text


def test_owner_is_offered_the_pack_made_since(roof: RoofSite, digest: str) -> None:
    owner = holder(roof, Face.HOMEOWNER)
    have_a_pack_made(roof)
    before = owner.fetch("pack.pdf")[1]
    erase_all(roof, digest)
    assert owner.fetch("pack.pdf")[0] == 404
    assert "The firm has not made a new one yet" in owner.open().text
    have_a_pack_made(roof)
    text = owner.open().text
    assert "Something was erased from the record on" in text
    assert "save this one in its place" in text
    after = owner.fetch("pack.pdf")[1]
    assert after.startswith(b"%PDF-")
    assert after != before


def test_firm_is_told_why_an_old_pack_is_not_there(roof: RoofSite, digest: str) -> None:
    have_a_pack_made(roof)
    erase_all(roof, digest)
    office = roof.as_(Role.OFFICE)
    text = office.open(f"{roof.job}/packs").text
    assert "its PDF was erased with it" in text
    assert "SHA-256 of the PDF" in text
    assert "Save the PDF" not in text
    assert office.open(f"{roof.job}/packs/1").status == 404
