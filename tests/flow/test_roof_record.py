"""The record, one entry, and putting it right, without script."""

from __future__ import annotations

import json
from typing import Any

import pytest

from qa.record.registry import Kind
from qa.services.access import Role
from qa.services.field_words import KIND_WORDS
from qa.services.originals import hand_in
from qa.web import clock
from tests.examples import full
from tests.flow.roof_visitor import OpenPage, RoofSite
from tests.house import jpeg


def entry_of(roof: RoofSite, kind: str, **fields: Any) -> str:
    return roof.add(kind, **fields).entry


def page_of(roof: RoofSite, entry: str, role: Role = Role.INSTALLER) -> OpenPage:
    return roof.as_(role).open(f"{roof.job}/record/{entry}")


def correct(roof: RoofSite, entry: str, role: Role = Role.INSTALLER) -> OpenPage:
    return roof.as_(role).open(f"{roof.job}/record/{entry}/correct")


def photo_of(roof: RoofSite) -> str:
    actor = roof.site.actor(Role.INSTALLER)
    path = roof.site.installation.settings.instance / "photo.jpg"
    path.write_bytes(jpeg(7))
    photo = hand_in(roof.site.installation, actor, path, name="photo.jpg", now=clock.now())
    entry_of(roof, "photo", original=photo.sha256, file=...)
    return photo.sha256


def test_record_tells_every_entry_last_first(roof: RoofSite) -> None:
    entry_of(roof, "note", text="Dry all day.")
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/record")
    assert page.text.index("Dry all day.") < page.text.index("opened: Garage roof")
    first = roof.as_(Role.INSTALLER).open(f"{roof.job}/record?order=first")
    assert first.text.index("opened: Garage roof") < first.text.index("Dry all day.")


def test_record_is_narrowed_by_stage_and_kind(roof: RoofSite) -> None:
    entry_of(roof, "measurement", stage="deck", check="deck.moisture", value=14, unit="%")
    entry_of(roof, "note", text="Dry all day.", stage="survey")
    person = roof.as_(Role.INSTALLER)
    of_deck = person.open(f"{roof.job}/record?stage=deck").text
    assert "Moisture content" in of_deck
    assert "Dry all day" not in of_deck
    notes = person.open(f"{roof.job}/record?kind=note").text
    assert "Dry all day" in notes
    assert "Moisture content" not in notes
    both = person.open(f"{roof.job}/record?kind=note&stage=deck").text
    assert "Nothing of that kind is recorded" in both


@pytest.mark.parametrize(
    "query", ["stage=x", "kind=%3Cscript%3E", "page=-3", "order='--", "stage="]
)
def test_nonsense_in_the_address_shows_every_entry(roof: RoofSite, query: str) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/record?{query}")
    assert page.status == 200
    assert "opened: Garage roof" in page.text


def test_long_record_has_pages(roof: RoofSite, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("qa.web.roof.record.A_PAGE", 2)
    for text in ("One", "Two", "Three"):
        entry_of(roof, "note", text=text)
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/record?kind=note")
    assert "Note: Three" in page.text
    assert "Note: One" not in page.text
    assert f"{roof.job}/record?page=2&amp;kind=note" in page.text


def test_entry_shows_its_fields_times_and_seal(roof: RoofSite) -> None:
    entry = entry_of(roof, "mix", kg=4.25, lot="resin-9")
    found = next(one for one in roof.read().job.entries if one.id == entry)
    page = page_of(roof, entry)
    assert "4.25 kg" in page.text
    assert "Nell Sample" in page.text
    assert str(found.hash) in page.text
    assert str(found.prev) in page.text
    assert "atalyst dose at the deck temperature" in page.text


@pytest.mark.parametrize("kind", [kind for kind in Kind if kind not in ("job", "photo")])
def test_every_kind_of_entry_has_its_page_and_its_form(roof: RoofSite, kind: Kind) -> None:
    entry_of(roof, "instrument")
    entry_of(roof, "lot")
    if kind in (Kind.DISPOSITION, Kind.CLOSURE):
        entry_of(roof, "nonconformity")
    if kind is Kind.ANNOTATION:
        photo_of(roof)
    first = roof.read().job.opening.id
    photos = roof.read().job.photos
    special: dict[Kind, dict[str, Any]] = {
        Kind.CORRECTION: {"corrects": roof.read().job.areas[0].id, "body": full("area")},
        Kind.CLOSURE: {"entries": [first]},
        Kind.ANNOTATION: {"photo": photos[0].id} if photos else {},
    }
    told = special.get(kind, {})
    if kind in (Kind.INSTRUMENT, Kind.LOT, Kind.AREA):
        told = {kind.value: "another"}
    if kind is Kind.ERASURE:
        return
    who = {Kind.DISPOSITION: Role.SUPERVISOR, Kind.HANDOVER: Role.SUPERVISOR}
    role = who.get(kind, Role.INSTALLER)
    entry = roof.add(kind.value, role=role, **told).entry
    page = page_of(roof, entry, role)
    assert page.status == 200
    assert KIND_WORDS[kind] in page.text
    if kind not in (Kind.CORRECTION, Kind.ANNOTATION):  # marks are drawn, on a page of their own
        form = correct(roof, entry, role)
        assert form.status == 200
        unchanged = form.send(reason="To see.")
        assert unchanged.status_code == 400
        assert "Nothing was changed" in unchanged.text


def test_opening_is_put_right_and_keeps_its_crew(roof: RoofSite) -> None:
    opening = roof.read().job.opening
    form = correct(roof, opening.id)
    answer = form.send(reason="She moved.", body_site_address="2 Invented Lane")
    page = roof.as_(Role.INSTALLER).follow(answer)
    assert "She moved." in page.text
    assert "<del>1 Invented Lane</del> <ins>2 Invented Lane</ins>" in page.text
    now = roof.read().job.opening
    assert now.body.crew == opening.body.crew
    assert now.body.specification == opening.body.specification
    assert "2 Invented Lane" in roof.as_(Role.INSTALLER).open("/").text


def test_photo_is_put_right_and_keeps_its_file(roof: RoofSite) -> None:
    photo_of(roof)
    (photo,) = roof.read().job.photos
    answer = correct(roof, photo.id).send(reason="Wrong words.", body_caption="The gutter side")
    page = roof.as_(Role.INSTALLER).follow(answer)
    assert "The gutter side" in page.text
    (now,) = roof.read().job.photos
    assert (now.body.sha256, now.body.file) == (photo.body.sha256, photo.body.file)


def test_withdrawn_entry_stays_readable(roof: RoofSite) -> None:
    entry = entry_of(roof, "note", text="Wrong roof.")
    answer = correct(roof, entry).send(reason="Another job.", step="withdraw")
    page = roof.as_(Role.INSTALLER).follow(answer)
    assert "was withdrawn and counts no more" in page.text
    assert "Wrong roof." in page.text
    assert not roof.read().job.notes
    again = correct(roof, entry).send(reason="It was right after all.", body_text="Wrong roof!")
    assert "Wrong roof!" in roof.as_(Role.INSTALLER).follow(again).text


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"reason": ""}, "This is missing"),
        ({"reason": "x", "step": "burn"}, "is none of these"),
        ({"reason": "x", "body_kg": "-3"}, "a mix weighs more than nothing"),
        ({"reason": "x", "body_kg": "1e9"}, "at most 5000 kg"),
        ({"reason": "x", "body_kg": "four"}, "is no figure"),
        ({"reason": "x", "body_kg": ""}, "is missing"),
        ({"reason": "x", "body_stage": "deck"}, "a mix is made for bandage"),
        ({"reason": "x", "body_emptied_at": "noon"}, "This is no time"),
        ({"reason": "x", "body_area": "attic"}, "is none of these"),
    ],
)
def test_impossible_correction_keeps_what_was_typed(
    roof: RoofSite, typed: dict[str, str], told: str
) -> None:
    entry = entry_of(roof, "mix")
    answer = correct(roof, entry).send(**typed)
    assert answer.status_code == 400
    assert told in answer.text
    assert len(roof.read().job.entries) == 3
    for value in typed.values():
        assert value in answer.text


def test_bays_and_instruments_are_ticked(roof: RoofSite) -> None:
    entry = entry_of(roof, "mix", bays=["r1b1", "r1b2"])
    form = correct(roof, entry)
    assert form.fields["body_bays"] == ["r1b1", "r1b2"]
    assert form.send(reason="One more.", body_bays=["r1b1", "r1b2", "r1b3"]).status_code == 303
    assert roof.read().job.mixes[0].body.bays == ("r1b1", "r1b2", "r1b3")
    assert correct(roof, entry).send(reason="x", body_bays=["attic"]).status_code == 400


def test_row_of_a_list_is_put_right_field_by_field(roof: RoofSite) -> None:
    area = roof.read().job.areas[0]
    first, *others = area.body.edges
    form = correct(roof, area.id)
    assert form.fields["body_edges_0_edge"] == [first.edge]
    assert form.send(reason="Measured again.", body_edges_0_length_m="5,5").status_code == 303
    now = roof.read().job.areas[0].body.edges
    assert (now[0].length_m, now[0].kind, now[1:]) == (5.5, first.kind, tuple(others))


def test_row_is_added_and_emptied_rows_go(roof: RoofSite) -> None:
    area = roof.read().job.areas[0]
    rows = len(area.body.edges)
    more = {"edge": "e9", "kind": "flashing", "length_m": "2"}
    form = correct(roof, area.id)
    typed = {f"body_edges_0_{name}": "" for name in more}
    typed |= {f"body_edges_{rows}_{name}": value for name, value in more.items()}
    assert form.send(reason="Another.", **typed).status_code == 303
    now = roof.read().job.areas[0].body.edges
    assert [edge.edge for edge in now] == [*(e.edge for e in area.body.edges[1:]), "e9"]


def test_fault_in_a_row_stands_at_its_field_though_one_before_is_gone(roof: RoofSite) -> None:
    area = roof.read().job.areas[0]
    rows = len(area.body.edges)
    gone = {f"body_edges_0_{name}": "" for name in ("edge", "kind", "length_m")}
    answer = correct(roof, area.id).send(
        reason="x", **gone, **{f"body_edges_{rows}_edge": "e9", f"body_edges_{rows}_kind": ""}
    )
    assert answer.status_code == 400
    assert f'href="#body_edges_{rows}_kind"' in answer.text


def test_form_sent_twice_corrects_once(roof: RoofSite) -> None:
    form = correct(roof, entry_of(roof, "note", text="Dri."))
    for _ in range(2):
        assert form.send(reason="Spelling.", body_text="Dry.").status_code == 303
    assert len(roof.read().job.corrections) == 1
    other = form.send(reason="Spelling.", body_text="Drier.")
    assert other.status_code == 409
    assert "Read what the record holds" in other.text


def test_entry_is_corrected_by_who_may_record_it(roof: RoofSite) -> None:
    signed = entry_of(roof, "sign_off", stage="survey", decision="complete")
    assert correct(roof, signed).status == 200
    assert correct(roof, signed, Role.OFFICE).status == 403
    assert "Put it right</a>" not in page_of(roof, signed, Role.OFFICE).text
    note = entry_of(roof, "note")
    assert correct(roof, note, Role.OFFICE).status == 200


def test_correction_itself_is_not_corrected(roof: RoofSite) -> None:
    note = entry_of(roof, "note")
    fixed = entry_of(roof, "correction", corrects=note, body={"text": "So."})
    page = page_of(roof, fixed)
    assert "The entry that it corrects" in page.text
    assert correct(roof, fixed).status == 404


def test_photo_is_sent_small_and_whole(roof: RoofSite) -> None:
    sha256 = photo_of(roof)
    client, address = roof.as_(Role.INSTALLER).client, f"{roof.job}/photos/{sha256}"
    with client.get(f"{address}/list") as small:
        assert small.mimetype == "image/jpeg"
        assert small.headers["Cache-Control"].startswith("private")
        seen = {"If-None-Match": small.headers["ETag"]}
    with client.get(f"{address}/list", headers=seen) as again:
        assert again.status_code == 304
    with client.get(f"{address}/original") as original:
        assert original.data == jpeg(7)
        assert original.headers["Content-Disposition"].startswith("attachment")
        assert original.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("what", ["0" * 64 + "/list", "{sha256}/huge", "..%2f..%2fseal.key/list"])
def test_photo_that_is_none_answers_404(roof: RoofSite, what: str) -> None:
    sha256 = photo_of(roof)
    path = f"{roof.job}/photos/{what.format(sha256=sha256)}"
    assert roof.as_(Role.INSTALLER).client.get(path).status_code == 404


def test_pages_show_no_personal_value_in_the_sealed_entry(roof: RoofSite) -> None:
    page = page_of(roof, roof.read().job.opening.id)
    written = page.text.partition('<pre class="written"')[2]
    assert "Invented Lane" not in written
    assert "digest" in written
    assert json.dumps("Garage roof").replace('"', "&#34;") in written
