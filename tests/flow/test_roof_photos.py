"""Photographs on a real site without script: what is taken, refused, kept, named and shown."""

from __future__ import annotations

import io

import pillow_heif
import pytest
from PIL import Image

from qa.services.access import Role
from qa.services.originals import hand_in
from qa.web import clock
from qa.web.roof.check_places import place_value
from tests.flow.roof_visitor import OpenPage, RoofSite
from tests.house import jpeg


def file_of(content: bytes, name: str = "camera.jpg") -> tuple[io.BytesIO, str]:
    return io.BytesIO(content), name


def _token(page: OpenPage) -> dict[str, str]:
    """What any form of the page's session carries."""
    token = page.text.split('name="csrf-token" content="')[1].split('"')[0]
    return {"csrf_token": token}


def png() -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (40, 30), (10, 90, 60)).save(file, "PNG")
    return file.getvalue()


def heic() -> bytes:
    file = io.BytesIO()
    pillow_heif.from_pillow(Image.new("RGB", (64, 48), (90, 90, 60))).save(file)
    return file.getvalue()


def test_missing_photographs_stand_first(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos?stage=deck")
    first = page.text.index("The fixing pattern with a tape in view")
    assert first < page.text.index("Each run of boards") < page.text.index("Something else")


@pytest.mark.parametrize("make", [jpeg, png, heic], ids=["jpeg", "png", "heic"])
def test_photograph_is_taken_and_names_what_was_asked(roof: RoofSite, make: object) -> None:
    content = make()  # type: ignore[operator]
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos?stage=deck")
    assert page.send(photos=file_of(content), caption="Tape at 200").status_code == 303
    photo = roof.read().job.photos[-1].body
    assert (photo.check, photo.area, photo.caption) == (
        "deck.fixing_centres",
        "main",
        "Tape at 200",
    )


def test_photograph_without_words_says_what_it_was_taken_for(roof: RoofSite) -> None:
    path = f"{roof.job}/photos?stage=survey&caption=The+joists%2C+open"
    assert roof.as_(Role.INSTALLER).open(path).send(photos=file_of(jpeg(3))).status_code == 303
    assert roof.read().job.photos[-1].body.caption == "The joists, open"
    left = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos?stage=survey").text
    assert "The whole roof before work" in left
    assert "(0 of 1)" not in left


def test_several_at_once_are_several_entries(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos?stage=deck")
    page.send(photos=[file_of(jpeg(1)), file_of(jpeg(2)), file_of(jpeg(2))], shows="-")
    assert len(roof.read().job.photos) == 2


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "camera.jpg"),
        (b"<html>no photo</html>", "camera.jpg"),
        (jpeg(3, size_px=(800, 600))[:900], "camera.jpg"),
    ],
    ids=["empty", "none", "half"],
)
def test_file_that_is_no_photograph_is_refused_in_words(
    roof: RoofSite, content: bytes, said: str
) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos?stage=deck")
    answer = page.send(photos=file_of(content), caption="Kept words")
    assert answer.status_code == 400
    assert said in answer.text
    assert "Kept words" in answer.text
    assert roof.read().job.photos == ()


def test_no_photograph_at_all_is_asked_for(roof: RoofSite) -> None:
    answer = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos").send(caption="Kept words")
    assert answer.status_code == 400
    assert "A photograph is missing" in answer.text


def test_photograph_of_200_mb_is_answered_with_what_to_do(roof: RoofSite) -> None:
    answer = roof.as_(Role.INSTALLER).client.post(
        f"{roof.job}/photos",
        input_stream=io.BytesIO(b"--x"),
        environ_overrides={"CONTENT_LENGTH": str(200 * 1024 * 1024)},
        content_type="multipart/form-data; boundary=x",
    )
    assert answer.status_code == 413
    assert "too large" in answer.text


def test_photograph_that_arrived_is_kept_where_another_field_is_wrong(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    page = tam.open(f"{roof.job}/photos?stage=deck")
    answer = page.send(photos=file_of(jpeg(4)), shows="-", nonconformity="one")
    assert answer.status_code == 400
    assert "1 photograph arrived and is kept" in answer.text
    kept = answer.text.split('name="kept" value="')[1][:64]
    assert page.send(kept=kept, shows="-").status_code == 303
    assert len(roof.read().job.photos) == 1


def test_photograph_that_waited_is_taken_though_its_request_was_met(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    page = tam.open(f"{roof.job}/photos?stage=deck")
    page.send(photos=file_of(jpeg(5)))
    again = tam.open(f"{roof.job}/photos?stage=deck")
    assert "The fixing pattern" not in again.text
    assert again.send(photos=file_of(jpeg(6)), shows=page.fields["shows"]).status_code == 303


def test_photograph_of_a_waiting_check_names_its_place(roof: RoofSite) -> None:
    site = roof.site
    photo = hand_in(
        site.installation, site.actor(Role.INSTALLER), io.BytesIO(jpeg(7)), name="a.jpg",
        now=clock.now(),
    )  # fmt: skip
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos?stage=trims")
    answer = page.send(
        kept=photo.sha256, shows=None, check="trims.battens", place=place_value("main", "eaves")
    )
    assert answer.status_code == 303
    body = roof.read().job.photos[-1].body
    assert (body.check, body.area, body.edge) == ("trims.battens", "main", "eaves")


def test_photograph_that_the_firm_does_not_hold_is_not_found(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/photos")
    assert page.send(kept="ab" * 32, shows="-").status_code == 404


def test_page_shows_the_stages_photographs_with_their_times(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    tam.open(f"{roof.job}/photos?stage=deck").send(photos=file_of(jpeg(8)), caption="Tape <b>")
    text = tam.open(f"{roof.job}/photos?stage=deck").text
    assert "Tape &lt;b&gt;" in text
    assert "taken" in text
    assert "received" in text
    assert "/list" in text


def test_office_sees_photographs_but_no_camera(roof: RoofSite) -> None:
    roof.as_(Role.INSTALLER).open(f"{roof.job}/photos?stage=deck").send(photos=file_of(jpeg(9)))
    page = roof.as_(Role.OFFICE).open(f"{roof.job}/photos?stage=deck")
    assert page.status == 200
    assert "taken" in page.text
    assert "Open the camera" not in page.text
    assert roof.as_(Role.OFFICE).client.post(page.path, data=_token(page)).status_code == 403
