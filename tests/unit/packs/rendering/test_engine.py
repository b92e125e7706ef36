from __future__ import annotations

import gc
import hashlib
import inspect
import os
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path

import pydyf
import pytest
import weasyprint
import weasyprint.pdf
import weasyprint.pdf.tags
from PIL import ImageFile

from qa.errors import PackError
from qa.packs.rendering import render_pdf
from qa.packs.rendering.marking import MarkingStream
from qa.packs.rendering.tagging import add_structure
from tests.unit.packs.rendering.small import document, jpeg, opened

ROOT = Path(__file__).resolve().parents[4]

SCRIPT = """
import hashlib, sys
from pathlib import Path
from qa.packs.rendering import Attachment, render_pdf
from tests.unit.packs.rendering.small import document
photo = Path("photo.jpg")
digest = hashlib.sha256(photo.read_bytes()).hexdigest()
files = (Attachment(name="r.jsonl", content=b"{}", media_type="application/jsonl", description="r"),
         Attachment(name="a.json", content=b"[]", media_type="application/json", description="a"))
body = ('<h1>A</h1><p>text <a href="#b">b</a></p><table><tr><th>a<td><span class=within>within'
        '</span></table><h2 id=b>B</h2><div class=row><figure><img alt="p" src="pack:photo/%s">'
        '<figcaption>c</figcaption></figure></div>' % digest)
pdf = render_pdf(document(body, photos={digest: photo.resolve()}, attachments=files))
print(hashlib.sha256(pdf).hexdigest())
"""


def test_pinned_versions_are_installed() -> None:
    assert (weasyprint.VERSION, pydyf.VERSION) == ("70.0", "0.13.0")


def test_hooks_still_have_the_form_we_assume() -> None:
    theirs = inspect.signature(weasyprint.pdf.tags.add_tags)
    assert list(theirs.parameters) == list(inspect.signature(add_structure).parameters)
    source = inspect.getsource(weasyprint.pdf.generate_pdf)
    assert "add_tags(pdf, document, options['pdf_version'], page_streams)" in source
    assert "stream = Stream(\n" in source
    assert weasyprint.pdf.Stream is MarkingStream
    assert weasyprint.pdf.add_tags is add_structure


def test_import_leaves_pillow_strict() -> None:
    assert ImageFile.LOAD_TRUNCATED_IMAGES is False


def test_clean_photograph_is_embedded_byte_for_byte(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "a.jpg")
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    pdf = opened(f'<img alt="x" src="pack:photo/{digest}">', photos={digest: path})
    (picture,) = pdf.pages[0].Resources.XObject.values()
    assert picture.read_raw_bytes() == path.read_bytes()
    assert picture.Interpolate is False


def test_equal_documents_give_equal_bytes_anywhere(tmp_path: Path) -> None:
    digests = set()
    picture = jpeg(tmp_path / "photo.jpg").read_bytes()
    for name, zone, seed in (("one", "UTC", "0"), ("two/deep", "Asia/Kathmandu", "7")):
        folder = tmp_path / name
        folder.mkdir(parents=True)
        (folder / "photo.jpg").write_bytes(picture)
        places = {"TZ": zone, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT), "LC_ALL": "C.UTF-8"}
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT],
            cwd=folder,
            env=os.environ | places,
            capture_output=True,
            text=True,
            check=True,
        )
        digests.add(run.stdout)
    assert len(digests) == 1


def test_threads_render_without_mixing_documents() -> None:
    bodies = [f"<h1>Roof {number}</h1><p>{'word ' * number * 40}</p>" for number in range(6)]
    alone = [render_pdf(document(body)) for body in bodies]
    with ThreadPoolExecutor(3) as pool:
        together = list(pool.map(lambda body: render_pdf(document(body)), bodies))
    assert together == alone


@pytest.mark.parametrize(
    "fault",
    ["<p>see <a href='#nowhere'>there</a>", "<p style='colour: red'>x", "<p>&#x674E;"],
)
def test_fault_of_a_page_is_not_passed_over(fault: str) -> None:
    with pytest.raises(PackError):
        render_pdf(document(fault))


def test_collector_is_at_work_again_afterwards() -> None:
    for body in ("<p>a", "<p style='colour: red'>fault"):
        with suppress(PackError):
            render_pdf(document(body))
        assert gc.isenabled()


def test_no_copy_of_a_face_is_left_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    render_pdf(document("<p>a"))
    assert list(tmp_path.iterdir()) == []


def test_progress_hears_each_step() -> None:
    steps: list[str] = []
    render_pdf(document("<p>a"), progress=steps.append)
    assert steps == ["laying out", "drawing", "writing"]
