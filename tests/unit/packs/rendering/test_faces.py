from __future__ import annotations

import hashlib
from pathlib import Path

import pikepdf
import pytest
from fontTools.ttLib import TTFont

from qa.packs.rendering.fetcher import FONTS, STATIC
from tests.unit.packs.rendering.small import opened

HOMES = sorted(path.parent for path in STATIC.glob("vendor/*/SHA256SUMS"))


@pytest.mark.parametrize("home", HOMES, ids=lambda home: home.name)
def test_vendored_files_equal_their_digests(home: Path) -> None:
    listed = dict(
        reversed(line.split("  ")) for line in (home / "SHA256SUMS").read_text().splitlines()
    )
    found = {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in home.iterdir()
        if path.name != "SHA256SUMS"
    }
    assert found == listed
    assert any(name.startswith("LICENSE") for name in found)


def test_six_faces_are_shipped() -> None:
    assert len(FONTS) == 6


def test_unknown_family_falls_back_on_shipped_faces() -> None:
    pdf = opened("<p style=\"font-family: 'DejaVu Sans', sans-serif\">plain <i>x</i></p>")
    names = {str(font.BaseFont) for page in pdf.pages for font in page.Resources.Font.values()}
    assert names
    assert all("Laidtrue" in name for name in names)


def test_figures_of_both_families_are_tabular() -> None:
    for path in FONTS.values():
        with TTFont(path) as face:
            names = [face.getBestCmap()[ord(figure)] for figure in "0123456789"]
            assert len({face["hmtx"][name][0] for name in names}) == 1, path.name


def test_every_face_is_embedded_as_a_subset() -> None:
    pdf = opened("<h1>A</h1><p>a <b>b</b> <i>c</i></p><table><tr><td>d <b>e</b></table>")
    for font in pdf.pages[0].Resources.Font.values():
        descriptor = font.DescendantFonts[0].FontDescriptor
        assert isinstance(descriptor.FontFile2, pikepdf.Stream)
        assert str(descriptor.FontName)[7] == "+"
