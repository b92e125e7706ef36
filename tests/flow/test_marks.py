"""Marks upon photos: drawn on a page, kept as an entry, shown on copies, never on an original."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from qa import create_app
from qa.errors import NotAllowedError, RecordError
from qa.photos.renditions import Size
from qa.record.kinds.marks import MarkType
from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.erasing import erase
from qa.services.installation import open_installation
from qa.services.linking import Face
from qa.services.marked_copies import marked_copy_path
from qa.services.originals import original_path, rendition_path
from qa.services.taking_in import take_in
from qa.services.taking_out import take_out
from qa.settings import Settings
from qa.web import clock
from tests.flow.browser import ServedSite, add_people, let_in_by_cookie
from tests.flow.link_holder import add_photo, holder, photo_with_place
from tests.flow.measuring import shortcomings
from tests.flow.roof_visitor import OpenPage, RoofSite, begin_roof
from tests.flow.test_owner_face import ESCAPED, MARKUP, require_clean

ARROW = "arrow; 20 25 45 45; Pinholes"
DRAWN = "Marked by Nell Sample"


@pytest.fixture
def roof_on_either(tmp_path: Path, database_url: str) -> Iterator[RoofSite]:
    """A site without a server, once on each kind of database."""
    settings = Settings(
        instance=tmp_path / "instance", database=database_url, origin="http://localhost:5000"
    )
    installation = open_installation(settings)
    app = create_app(settings, installation=installation)
    let_in_by_cookie(app, installation)
    marks = add_people(installation)
    yield begin_roof(
        ServedSite(origin=settings.origin, app=app, installation=installation, marks=marks)
    )
    installation.store.engine.dispose()


@pytest.fixture
def sha256(roof: RoofSite) -> str:
    return add_photo(roof, photo_with_place())


def page(roof: RoofSite, sha256: str, query: str = "", role: Role = Role.INSTALLER) -> OpenPage:
    return roof.as_(role).open(f"{roof.job}/photos/{sha256}/marks{query}")


def copy(roof: RoofSite, address: str) -> bytes:
    with roof.as_(Role.INSTALLER).client.get(address) as answer:
        return answer.data


def addresses(text: str) -> list[str]:
    """The addresses of marked copies on a page."""
    shown = (part.partition('"')[0] for part in text.split('src="')[1:])
    return [address for address in shown if "?marks=" in address]


def test_drawing_is_an_entry_and_its_photo_stays_untouched(roof_on_either: RoofSite) -> None:
    roof = roof_on_either
    content = photo_with_place()
    sha256 = add_photo(roof, content)
    before = roof.read()
    clean = copy(roof, f"{roof.job}/photos/{sha256}/screen")
    answer = page(roof, sha256).send(marks=f"{ARROW}\nmeasure; 30,5 70 60 70; 120 mm")
    shown = roof.as_(Role.INSTALLER).follow(answer)
    (annotation,) = roof.read().job.annotations
    assert annotation.body.photo == before.job.photos[0].id
    arrow, measure = annotation.body.marks
    assert (arrow.type, arrow.words) == (MarkType.ARROW, "Pinholes")
    assert measure.points == ((0.305, 0.7), (0.6, 0.7))
    assert measure.length_mm == 120
    assert DRAWN in shown.text
    assert "arrow: Pinholes; measure: 120 mm" in shown.text
    (marked,) = {copy(roof, address) for address in addresses(shown.text)}
    assert marked != clean
    require_clean(marked)
    assert copy(roof, f"{roof.job}/photos/{sha256}/screen") == clean
    assert copy(roof, f"{roof.job}/photos/{sha256}/original") == content
    assert roof.read().assessment.findings == before.assessment.findings


def test_marks_are_drawn_anew_and_taken_away_by_corrections(roof_on_either: RoofSite) -> None:
    roof = roof_on_either
    sha256 = add_photo(roof, photo_with_place())
    first = page(roof, sha256)
    first.send(marks=ARROW)
    (annotation,) = roof.read().job.annotations
    again = page(roof, sha256, f"?entry={annotation.id}", Role.SUPERVISOR)
    assert again.fields["marks"] == [ARROW]
    unchanged = again.send(reason="To see.")
    assert unchanged.status_code == 400
    assert "Nothing was changed" in unchanged.text
    assert "This is missing" in again.send(marks="circle; 10 10 30 40").text
    changed = again.send(marks="circle; 10 10 30 40", reason="It is a patch.")
    shown = roof.as_(Role.SUPERVISOR).follow(changed)
    assert "Marked by Orla Specimen" in shown.text
    gone = page(roof, sha256, f"?entry={annotation.id}")
    shown = roof.as_(Role.INSTALLER).follow(gone.send(marks="", reason="Repaired."))
    assert "Marked by" not in shown.text
    assert addresses(shown.text) == []
    job = roof.read().job
    assert [len(one.corrections) for one in job.annotations] == [2]
    entry = roof.as_(Role.INSTALLER).open(f"{roof.job}/record/{annotation.id}")
    assert "It is a patch." in entry.text
    assert "all taken away" in entry.text


def test_drawing_sent_twice_stands_once(roof: RoofSite, sha256: str) -> None:
    drawing = page(roof, sha256)
    drawing.send(marks=ARROW)
    answer = drawing.send(marks=ARROW)
    assert "stands once" in roof.as_(Role.INSTALLER).follow(answer).text
    assert len(roof.read().job.annotations) == 1


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Nothing is drawn yet"),
        ("cloud; 1 2 3 4", "begin with arrow, circle, text, measure, reference"),
        ("arrow; 1 2 3", "give two for each point"),
        ("arrow; 1 2 x 4", "is no figure"),
        (f"{ARROW}\narrow; 20 25 145 45", "Line 2: 145 lies outside the picture"),
        (f"{ARROW}\narrow; 20 25 −1 45", "Line 2: −1 lies outside the picture"),
        ("arrow; 20 25", "Line 1: it has 1 points; a mark “arrow” has 2 points"),
        ("measure; 20 25 45 45; long", "is no length; write it like 120 mm"),
        ("measure; 20 25 45 45", "Line 1: its length is missing; give the length, or draw"),
        ("text; 20 25", "Line 1: its text is missing"),
        ("\n".join([ARROW] * 10_000), "10000 marks are more than can be told apart"),
        (f"{ARROW} {'x' * 300_000}", "Line 1: its text has 300009 characters; it has room"),
    ],
)
def test_drawing_that_cannot_be_is_refused_with_all_that_was_typed(
    roof: RoofSite, sha256: str, typed: str, sentence: str
) -> None:
    answer = page(roof, sha256).send(marks=typed)
    assert answer.status_code == 400
    assert sentence in answer.text
    assert typed[:200].strip() in answer.text
    assert roof.read().job.annotations == ()


def test_two_megabytes_of_words_are_refused_in_a_sentence(roof: RoofSite, sha256: str) -> None:
    answer = page(roof, sha256).send(marks=f"{ARROW} {'x' * 2_000_000}")
    assert answer.status_code in (400, 413)
    assert "<h1>" in answer.text
    assert roof.read().job.annotations == ()


def test_photo_of_another_job_is_not_marked(roof: RoofSite, sha256: str) -> None:
    other = begin_roof(roof.site, job="J-OTHER")
    with pytest.raises(RecordError, match=r"annotation\.photo .* is no photo of this record"):
        other.add("annotation", photo=roof.read().job.photos[0].id)
    assert page(other, sha256).status == 404
    roof.add("annotation", photo=roof.read().job.photos[0].id)
    (annotation,) = roof.read().job.annotations
    add_photo(other, photo_with_place())
    assert page(other, sha256).status == 200
    assert page(other, sha256, f"?entry={annotation.id}").status == 404


def test_office_reads_marks_and_draws_none(roof: RoofSite, sha256: str) -> None:
    page(roof, sha256).send(marks=ARROW)
    (annotation,) = roof.read().job.annotations
    assert page(roof, sha256, role=Role.OFFICE).status == 403
    viewer = roof.as_(Role.OFFICE).open(f"/desk/jobs/{roof.job_id}/photos/{sha256}")
    assert "arrow: Pinholes" in viewer.text
    assert "/marks" not in viewer.text
    photo = roof.read().job.photos[0].id
    with pytest.raises(NotAllowedError, match="may not mark a photo"):
        roof.add("annotation", role=Role.OFFICE, photo=photo)
    correct = roof.as_(Role.INSTALLER).open(f"{roof.job}/record/{annotation.id}/correct")
    assert correct.status == 302


def test_viewer_of_the_desk_shows_the_photo_with_and_without(roof: RoofSite, sha256: str) -> None:
    page(roof, sha256).send(marks=f"{ARROW}\nreference; 10 90 60 90; 300 mm\nmeasure; 10 50 40 50")
    viewer = roof.as_(Role.SUPERVISOR).open(f"/desk/jobs/{roof.job_id}/photos/{sha256}")
    assert "measure: about 180 mm" in viewer.text
    assert "so it is an estimate and no measurement" in viewer.text.replace("\n", " ")
    assert f"/photos/{sha256}/screen?marks=" in viewer.text
    assert f"/photos/{sha256}/marks?from=desk" in viewer.text
    without = roof.as_(Role.SUPERVISOR).open(f"{viewer.path}?marks=without")
    assert f"/photos/{sha256}/screen?marks=" not in without.text
    assert "Show with marks" in without.text
    drawn = page(roof, sha256, "?from=desk", Role.SUPERVISOR).send(marks="text; 50 50; Here")
    assert drawn.location == viewer.path


def test_reader_sees_marks_and_the_untouched_photo_and_owner_the_marked_one(
    roof: RoofSite, sha256: str
) -> None:
    page(roof, sha256).send(marks=f"text; 50 50; {MARKUP}")
    photo = roof.read().job.photos[0]
    reader = holder(roof, Face.INSURER)
    shown = reader.open(f"record/{photo.id}")
    assert ESCAPED in shown.text
    assert MARKUP not in shown.text
    assert "Nell Sample" not in shown.text
    (address,) = addresses(shown.text)
    marked = reader.fetch(address.removeprefix(reader.path))[1]
    plain = reader.fetch(f"photos/{sha256}/print")[1]
    assert marked != plain
    assert reader.fetch(f"photos/{sha256}/original")[1] == photo_with_place()
    owner = holder(roof, Face.HOMEOWNER)
    pack = owner.open()
    assert ESCAPED in pack.text
    assert MARKUP not in pack.text
    (below,) = addresses(pack.text)
    assert owner.fetch(below)[1] == marked
    assert f"{sha256}/screen?marks=" in pack.text
    require_clean(marked)


def test_marks_go_out_and_come_in_with_the_folder(
    roof: RoofSite, sha256: str, tmp_path: Path
) -> None:
    page(roof, sha256).send(marks=ARROW)
    before = roof.read()
    site = roof.site
    take_out(site.installation, site.actor(Role.OFFICE), roof.job_id, tmp_path / "out")
    settings = Settings(instance=tmp_path / "another", origin="http://localhost:5000")
    there = open_installation(settings)
    marks = add_people(there)
    other = ServedSite(
        origin=settings.origin, app=create_app(settings, installation=there), installation=there,
        marks=marks,
    )  # fmt: skip
    job = take_in(there, other.actor(Role.OFFICE), tmp_path / "out", now=clock.now())
    after = RoofSite(site=other, job_id=job).read()
    assert [one.body for one in after.job.annotations] == [
        one.body for one in before.job.annotations
    ]
    assert after.job.head == before.job.head
    there.store.engine.dispose()


def test_erased_photo_takes_its_marked_copies_along(roof: RoofSite, sha256: str) -> None:
    page(roof, sha256).send(marks=ARROW)
    house, office = roof.site.installation, roof.site.actor(Role.OFFICE)
    marked = marked_copy_path(house, office, roof.job_id, sha256, Size.LIST)
    assert marked != rendition_path(house, office, roof.job_id, sha256, Size.LIST)
    erase(
        house, office, roof.job_id,
        disclosures=(), photos=(sha256,), reason="A face.",
        entry_id=house.new_id(), now=clock.now(),
    )  # fmt: skip
    work_all(house, now=clock.now())
    assert not marked.exists()
    assert page(roof, sha256).status == 404
    assert "Pinholes" in roof.as_(Role.INSTALLER).open(f"{roof.job}/record").text


def centre(picture: bytes, at: tuple[float, float]) -> int:
    """Brightness of a pixel at a share of width and height."""
    with Image.open(io.BytesIO(picture)) as image:
        grey = image.convert("L")
        value = grey.getpixel((int(at[0] * grey.width), int(at[1] * grey.height)))
    assert isinstance(value, int)
    return value


def test_arrow_drawn_with_the_mouse_is_seen_on_the_copy(
    roof: RoofSite, sha256: str, desk: Page
) -> None:
    site, actor = roof.site, roof.site.actor(Role.SUPERVISOR)
    original = original_path(site.installation, actor, roof.job_id, sha256)
    before = hashlib.sha256(original.read_bytes()).hexdigest()
    site.sign_in(desk, Role.SUPERVISOR)
    desk.goto(f"{site.origin}/desk/jobs/{roof.job_id}/photos/{sha256}")
    desk.get_by_role("link", name="Draw on it").click()
    sheet = desk.locator(".sheet-of-marks")
    sheet.scroll_into_view_if_needed()
    box = sheet.bounding_box()
    assert box is not None
    places = [(box["x"] + x * box["width"], box["y"] + y * box["height"])
              for x, y in ((0.2, 0.3), (0.5, 0.3), (0.8, 0.3))]  # fmt: skip
    desk.mouse.move(*places[0])
    desk.mouse.down()
    desk.mouse.move(*places[1])
    desk.mouse.move(*places[2])
    desk.mouse.up()
    desk.get_by_label("Words beside the last mark").fill("Wrinkle")
    desk.get_by_role("button", name="Text").click()
    sheet.focus()
    desk.keyboard.press("Shift+ArrowDown")
    desk.keyboard.press("Enter")
    desk.get_by_role("button", name="Take the last one back").click()
    expect(sheet.locator("text")).to_have_text("Wrinkle")
    assert shortcomings(desk) == []
    desk.get_by_role("button", name="Save the marks").click()
    expect(desk.get_by_role("heading", name="Drawn upon it")).to_be_visible()
    (annotation,) = roof.read().job.annotations
    (mark,) = annotation.body.marks
    assert (mark.type, mark.words) == (MarkType.ARROW, "Wrinkle")
    for point, (across, down) in zip(mark.points, ((0.2, 0.3), (0.8, 0.3)), strict=True):
        assert point == (pytest.approx(across, abs=0.005), pytest.approx(down, abs=0.005))
    address = desk.locator(".pane img").get_attribute("src")
    assert address is not None
    marked = copy(roof, address)
    plain = copy(roof, f"{roof.job}/photos/{sha256}/screen")
    assert centre(marked, (0.5, 0.3)) < 60 <= centre(plain, (0.5, 0.3))
    assert hashlib.sha256(original.read_bytes()).hexdigest() == before
