"""The rendered sample, judged by programs that share no code with ours."""

from __future__ import annotations

import subprocess
from pathlib import Path

import page
import pikepdf
import pytest

from qa.packs.rendering import render_pdf
from qa.packs.rendering.characters import covered_characters
from qa.packs.rendering.fetcher import FONTS
from tests.flow.sample_pack import Size, draw_photos, sample_document
from tests.unit.packs.rendering.small import document

SIZES = {
    "small": Size(rows=60, photos=5, charts=1, paragraphs=4),
    "warranty": Size(rows=300, photos=120, charts=6, paragraphs=24),
}


@pytest.fixture(scope="module", params=SIZES)
def sample(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pack")
    size = SIZES[request.param]
    path = folder / "sample.pdf"
    path.write_bytes(render_pdf(sample_document(draw_photos(folder / "photos", size.photos), size)))
    return path


def words(*command: str | Path) -> str:
    """What a program prints; its complaint where it finds a fault."""
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr
    return run.stdout


@pytest.mark.parametrize("profile", ["3a", "ua1"])
def test_sample_conforms_to_both_standards(sample: Path, profile: str) -> None:
    report = page.validate_pdf_bytes(sample.read_bytes(), profile=page.ValidationProfile(profile))
    assert [(failure.rule_id, failure.message) for failure in report.failures] == []
    assert report.is_compliant


def test_validator_refuses_a_page_without_tags(sample: Path, tmp_path: Path) -> None:
    broken = tmp_path / "untagged.pdf"
    with pikepdf.open(sample) as pdf:
        del pdf.Root.StructTreeRoot
        pdf.save(broken)
    for profile in ("3a", "ua1"):
        chosen = page.ValidationProfile(profile)
        assert not page.validate_pdf_bytes(broken.read_bytes(), profile=chosen).is_compliant


@pytest.mark.parametrize("sample", ["small"], indirect=True)  # it decodes every picture: 30 s
def test_independent_reader_finds_no_fault(sample: Path) -> None:
    words("qpdf", "--check", sample)


def test_fonts_are_the_shipped_ones(sample: Path) -> None:
    lines = words("pdffonts", sample).splitlines()[2:]
    shipped = {name.removesuffix(".ttf").replace("-Regular", "") for name in FONTS}
    found = {
        line.split()[0]
        .split("+")[1]
        .replace("Laidtrue-", "Laidtrue")
        .replace("Semi-Bold", "Semibold")
        for line in lines
    }
    assert found == shipped
    assert all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in lines)


def test_no_picture_carries_metadata(sample: Path) -> None:
    with pikepdf.open(sample) as pdf:
        pictures = [
            entry.read_raw_bytes()
            for entry in pdf.objects
            if isinstance(entry, pikepdf.Stream) and entry.get("/Subtype") == "/Image"
        ]
    assert pictures
    assert not any(b"Exif" in picture or b"http://ns.adobe" in picture for picture in pictures)


def test_contents_name_the_right_pages(sample: Path) -> None:
    contents = words("pdftotext", "-f", "2", "-l", "2", "-layout", sample, "-")
    with pikepdf.open(sample) as pdf, pdf.open_outline() as outline:
        places = {page.obj.objgen: number for number, page in enumerate(pdf.pages, 1)}
        chapters = outline.root[0].children[1:]
        expected = [(chapter.title, places[chapter.destination[0].objgen]) for chapter in chapters]
    lines = [" ".join(line.split()) for line in contents.splitlines()]
    assert len(expected) == 6
    for title, number in expected:
        assert f"{title} {number}" in lines


def test_running_lines_name_job_edition_and_page(sample: Path) -> None:
    text = words("pdftotext", "-f", "3", "-l", "3", "-layout", sample, "-")
    with pikepdf.open(sample) as pdf:
        assert f"page 3 of {len(pdf.pages)}" in text
    assert "Job 2026-014" in text
    assert "Warranty file, edition 1" in text


SHARED_GLYPHS = frozenset("\u2010\u2011\u2126\u2206\u2215\u03bc")
"""Hyphens, ohm, increment, division slash, mu: drawn by the glyph of a twin and read as it."""


@pytest.mark.parametrize("face", ["Laidtrue Serif", "Laidtrue Sans", "Laidtrue Display"])
def test_no_character_is_an_empty_box(face: str, tmp_path: Path) -> None:
    printable = {character for character in covered_characters() if character.isprintable()}
    visible = sorted(printable - {" "})
    entities = " ".join(f"&#{ord(character)};" for character in visible)
    path = tmp_path / "characters.pdf"
    path.write_bytes(render_pdf(document(f"<p style=\"font-family: '{face}'\">{entities}</p>")))
    assert set(visible) - set(words("pdftotext", path, "-")) <= SHARED_GLYPHS
