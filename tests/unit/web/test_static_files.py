"""Static files: addresses that change with what they hold, and no other file of the folder."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from qa.web.static_files import FOLDER, asset, bare, edition_of


@pytest.fixture
def sheet(app: Flask) -> str:
    with app.test_request_context():
        return asset("site/site.css")


def test_file_is_kept_for_a_year(client: FlaskClient, sheet: str) -> None:
    answer = client.get(sheet)
    assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"
    assert answer.mimetype == "text/css"


def test_file_of_an_older_edition_is_not_kept(client: FlaskClient) -> None:
    answer = client.get("/static/000000000000/site/site.css")
    assert (answer.status_code, answer.headers["Cache-Control"]) == (200, "no-cache")


def test_file_is_sent_compressed(client: FlaskClient, sheet: str) -> None:
    plain, packed = client.get(sheet), client.get(sheet, headers={"Accept-Encoding": "br"})
    assert packed.headers["Content-Encoding"] == "br"
    assert len(packed.data) < len(plain.data) / 2


@pytest.mark.parametrize(
    "name", ["vendor/make_faces.py", "site/missing.css", "../__init__.py", "../../pyproject.toml"]
)
def test_other_files_are_not_there(client: FlaskClient, name: str) -> None:
    assert client.get(f"/static/x/{name}").status_code == 404


def test_edition_changes_with_any_file(tmp_path: Path) -> None:
    (tmp_path / "a.css").write_text("a {}")
    before = edition_of(tmp_path)
    (tmp_path / "notes.md").write_text("not served")
    assert edition_of(tmp_path) == before
    (tmp_path / "a.css").write_text("b {}")
    assert edition_of(tmp_path) != before


def test_style_sheet_in_a_page_is_small_and_whole() -> None:
    text = bare((FOLDER / "site" / "site.css").read_text(encoding="utf-8"), "0123")
    assert len(gzip.compress(text.encode())) < 12_000
    assert "/*" not in text
    assert ".." not in text
    assert 'url("/static/0123/vendor/source-sans' in text
    assert text.count("{") == text.count("}")


def test_faces_of_a_page_are_small() -> None:
    usual = [path for path in FOLDER.rglob("*.woff2") if "-Names" not in path.name]
    assert len(usual) == 3
    assert sum(path.stat().st_size for path in usual) <= 30 * 1024
