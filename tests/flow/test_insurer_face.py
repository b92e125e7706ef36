"""The insurer's side: the record in its order, what it proves, originals, folder, questions."""

from __future__ import annotations

import io
import zipfile
from datetime import timedelta

import pytest
from sqlalchemy import text as sql

from qa.record.reading import PERSONAL_FILE
from qa.services.access import Role
from qa.services.linking import Face
from qa.services.messages import messages_of
from qa.web import clock
from tests.flow.link_holder import Holder, add_photo, holder, photo_with_place
from tests.flow.roof_visitor import RoofSite
from tests.flow.test_owner_face import ESCAPED, MARKUP

NAMES = ("A. Client", "1 Invented Lane", "Nell Sample", "Orla Specimen")


@pytest.fixture
def reader(roof: RoofSite) -> Holder:
    return holder(roof, Face.INSURER)


def folder(one: Holder, name: str = "folder.zip") -> zipfile.ZipFile:
    status, content = one.fetch(name)
    assert status == 200
    return zipfile.ZipFile(io.BytesIO(content))


def test_first_page_checks_the_chain_and_says_what_it_is_worth(
    roof: RoofSite, reader: Holder
) -> None:
    text = reader.open().text
    assert "It holds." in text
    assert roof.read().job.head in text
    assert "Anything against whoever holds the database" in text
    assert "no time stamp or signature of a third party" in text


def test_names_are_withheld_unless_the_firm_ticked_them(roof: RoofSite, reader: Holder) -> None:
    named = holder(roof, Face.INSURER, names=True)
    first = roof.read().job.entries[0].id
    for below in ("", "record", f"record/{first}", "questions"):
        assert not [name for name in NAMES if name in reader.open(below).text], below
    shown = named.open().text + named.open("record").text
    assert [name for name in NAMES if name in shown] == list(NAMES)


def test_folder_comes_with_names_only_where_they_are_shown(roof: RoofSite, reader: Holder) -> None:
    named = holder(roof, Face.INSURER, names=True)
    with folder(reader) as without, folder(named, "folder-with-names.zip") as whole:
        assert not [one for one in without.namelist() if one.endswith(PERSONAL_FILE)]
        everything = b"".join(without.read(one) for one in without.namelist()).decode()
        assert not [name for name in NAMES if name in everything]
        assert [one for one in whole.namelist() if one.endswith(PERSONAL_FILE)]
    assert reader.fetch("folder-with-names.zip")[0] == 404


def test_original_comes_byte_for_byte(roof: RoofSite, reader: Holder) -> None:
    content = photo_with_place()
    digest = add_photo(roof, content)
    with reader.visitor.client.get(f"{reader.path}photos/{digest}/original") as answer:
        assert answer.data == content
        assert "attachment" in answer.headers["Content-Disposition"]
        assert answer.mimetype == "application/octet-stream"
    entry = roof.read().job.photos[0].id
    assert digest in reader.open(f"record/{entry}").text
    with folder(reader) as zipped:
        assert content in [zipped.read(one) for one in zipped.namelist()]


def test_both_times_stand_with_their_difference(roof: RoofSite, reader: Holder) -> None:
    late = roof.add("note", at=clock.now() - timedelta(days=2, hours=3, minutes=1))
    ahead = roof.add("note", at=clock.now() + timedelta(hours=5))
    assert "received 2 days 3 h later" in reader.open(f"record/{late.entry}").text
    assert "ahead of its receipt, which cannot be" in reader.open(f"record/{ahead.entry}").text
    listed = reader.open("record").text
    assert "received at once" in listed
    assert "received 2 days 3 h later" in listed


def test_correction_stands_with_both_versions(roof: RoofSite, reader: Holder) -> None:
    first = roof.add("note", text="The deck was wet.")
    roof.add(
        "correction", corrects=first.entry, reason="Wrong word.", body={"text": "The deck was dry."}
    )
    text = reader.open(f"record/{first.entry}").text
    for told in ("The deck was wet.", "The deck was dry.", "Wrong word.", "installer"):
        assert told in text
    roof.add("correction", corrects=first.entry, reason="No note at all.", body=None)
    assert "was withdrawn" in reader.open(f"record/{first.entry}").text


def test_broken_chain_is_told(roof: RoofSite, reader: Holder) -> None:
    roof.add("note", text="The deck was wet.")
    with roof.site.installation.store.engine.begin() as connection:
        guards = connection.execute(
            sql("SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'entry'")
        ).scalars()
        for guard in list(guards):
            connection.execute(sql(f"DROP TRIGGER {guard}"))
        connection.execute(
            sql("UPDATE entry SET written = replace(written, 'deck was wet', 'deck was dry')")
        )
    text = reader.open().text
    assert "It does not hold." in text
    assert "its content was changed" in text


def test_question_and_answer_are_shown_to_both(roof: RoofSite, reader: Holder) -> None:
    assert reader.open("questions").send(text=f"Who? {MARKUP}").status_code == 303
    (question,) = messages_of(roof.site.installation, roof.site.actor(Role.OFFICE), roof.read())
    firm = roof.as_(Role.OFFICE)
    page = firm.open(f"{roof.job}/messages/{question.id}")
    assert page.send(answer=f"Orla. {MARKUP}").status_code == 303
    for shown in (reader.open("questions").text, firm.open(page.path).text):
        assert ESCAPED in shown
        assert "<script>alert" not in shown
        assert "It stands in the record." in shown
    assert "Came by the insurer’s link" in reader.open("record").text
    again = firm.client.post(page.path, data={**page.fields, "answer": "Another."})
    assert again.status_code == 409


def test_markup_in_the_record_is_shown_as_it_was_typed(roof: RoofSite, reader: Holder) -> None:
    entries = [
        roof.add("note", text=MARKUP),
        roof.add("lot", lot="lot-x", product=MARKUP, batch_number=MARKUP),
        roof.add("instrument", instrument="gauge", name=MARKUP),
        roof.add("nonconformity", description=MARKUP),
    ]
    for below in ("record", *(f"record/{one.entry}" for one in entries)):
        text = reader.open(below).text
        assert ESCAPED in text
        assert "<script" not in text


@pytest.mark.parametrize("below", ["record/nothing", "record?page=2", "photos/x/list", "no"])
def test_what_is_not_there_is_said_plainly(reader: Holder, below: str) -> None:
    page = reader.open(below)
    if "?" in below:
        assert "The record ends before this page." in page.text
    else:
        assert page.status == 404


def test_what_was_outside_leads_to_its_entries(roof: RoofSite, reader: Holder) -> None:
    wet = roof.add("measurement", value=22.0, area="main").entry
    corrected = roof.add("note", text="One.").entry
    change = roof.add("correction", corrects=corrected, reason="Slip.", body={"text": "Two."}).entry
    text = reader.open().text
    found = text.index("22 %; limit at most 18 %")
    assert text.index(f'href="{reader.path}record/{wet}"') > found
    assert f'href="{reader.path}record/{change}"' in text
    listed = reader.open("record").text
    assert listed.count(">outside limits</span>") == 1


def test_record_shows_its_photographs_small(roof: RoofSite, reader: Holder) -> None:
    digest = add_photo(roof, photo_with_place())
    assert f'<img src="{reader.path}photos/{digest}/list" alt="" loading="lazy"' in (
        reader.open("record").text
    )
