from __future__ import annotations

import subprocess
from io import BytesIO
from pathlib import Path

import pikepdf
import pydyf
import pytest

from qa.packs.rendering.writing import OBJECTS_PER_STREAM, PdfWriter


def pdf_with(*entries: pydyf.Object) -> bytes:
    pdf = pydyf.PDF()
    page = pydyf.Dictionary({
        "Type": "/Page",
        "Parent": pdf.pages.reference,
        "MediaBox": pydyf.Array([0, 0, 100, 100]),
        "Resources": pydyf.Dictionary(),
    })  # fmt: skip
    pdf.add_page(page)
    for entry in entries:
        pdf.add_object(entry)
    pdf.catalog["Extra"] = pydyf.Array([entry.reference for entry in entries])
    return PdfWriter().write(pdf)


@pytest.mark.parametrize("end", [b"", b"\r", b"\n", b"\r\n", b"\r\r", b"endstream"])
@pytest.mark.parametrize("compress", [False, True])
def test_stream_keeps_its_last_byte(end: bytes, compress: bool) -> None:
    data = pdf_with(pydyf.Stream([b"picture" + end], compress=compress))
    with pikepdf.open(BytesIO(data)) as pdf:
        assert pdf.Root.Extra[0].read_bytes() == b"picture" + end
    assert data.count(b"\r\nendstream\nendobj") == data.count(b"endobj")


def test_objects_are_packed_by_the_hundred() -> None:
    data = pdf_with(*(pydyf.Dictionary({"Number": number}) for number in range(1234)))
    with pikepdf.open(BytesIO(data)) as pdf:
        counts = [
            int(entry.N)
            for entry in pdf.objects
            if isinstance(entry, pikepdf.Stream) and entry.get("/Type") == "/ObjStm"
        ]
        assert [int(entry.Number) for entry in pdf.Root.Extra] == list(range(1234))
    assert OBJECTS_PER_STREAM == 100
    assert max(counts, default=0) <= OBJECTS_PER_STREAM


def test_independent_reader_finds_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "written.pdf"
    path.write_bytes(pdf_with(*(pydyf.Dictionary({"Number": n}) for n in range(250))))
    run = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr


def test_identifier_follows_the_content() -> None:
    one, same, other = (pdf_with(pydyf.Stream([text])) for text in (b"a", b"a", b"b"))
    assert one == same
    with pikepdf.open(BytesIO(one)) as first, pikepdf.open(BytesIO(other)) as second:
        assert bytes(first.trailer.ID[0]) != bytes(second.trailer.ID[0])
        assert len(bytes(first.trailer.ID[0])) == 16
