from __future__ import annotations

import xml.etree.ElementTree as ET

from qa.packs.rendering import Attachment
from tests.unit.packs.rendering.small import opened

FILES = (
    Attachment(
        name="record.jsonl",
        content=b'{"seq":0}\n',
        media_type="application/jsonl",
        description="The record",
    ),
    Attachment(
        name="assessment.json",
        content=b"{}",
        media_type="application/json",
        description="The assessment",
        relationship="Supplement",
    ),
)
NAMES = {
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
    "pdfuaid": "http://www.aiim.org/pdfua/ns/id/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
}


def test_metadata_names_both_standards() -> None:
    pdf = opened("<p>a")
    assert "/Filter" not in pdf.Root.Metadata
    packet = ET.fromstring(pdf.Root.Metadata.read_bytes())
    assert packet.findtext(".//pdfaid:part", namespaces=NAMES) == "3"
    assert packet.findtext(".//pdfaid:conformance", namespaces=NAMES) == "A"
    assert packet.findtext(".//pdfuaid:part", namespaces=NAMES) == "1"
    assert len(packet.findall("rdf:RDF", NAMES)) == 1


def test_dates_are_the_documents_own() -> None:
    pdf = opened("<p>a", attachments=FILES)
    packet = ET.fromstring(pdf.Root.Metadata.read_bytes())
    assert packet.findtext(".//xmp:CreateDate", namespaces=NAMES) == "2026-05-14T09:30:00Z"
    assert str(pdf.docinfo.CreationDate) == str(pdf.docinfo.ModDate) == "D:20260514093000Z"
    for attached in pdf.Root.AF:
        assert str(attached.EF.F.Params.ModDate) == "D:20260514093000Z"


def test_attachments_are_listed_once_with_type_and_relationship() -> None:
    pdf = opened("<p>a", attachments=FILES)
    found = [
        (str(each.UF), str(each.EF.F.Subtype), str(each.AFRelationship)) for each in pdf.Root.AF
    ]
    assert found == [
        ("assessment.json", "/application/json", "/Supplement"),
        ("record.jsonl", "/application/jsonl", "/Data"),
    ]
    assert pdf.Root.AF[1].EF.F.read_bytes() == FILES[0].content


def test_names_of_attachments_are_sorted() -> None:
    pdf = opened("<p>a", attachments=FILES)
    names = [str(name) for name in list(pdf.Root.Names.EmbeddedFiles.Names)[::2]]
    assert names == sorted(names)


def test_cover_is_labelled_as_such() -> None:
    pdf = opened("<header class=cover><h1>a</h1></header><section class=chapter><h2>b</h2>")
    assert [page.label for page in pdf.pages] == ["Cover", "2"]
    assert [page.label for page in opened("<p>a").pages] == ["1"]


def test_headings_become_bookmarks() -> None:
    pdf = opened("<h1>a</h1><h2>b</h2><h3>c</h3><h2>d</h2>")
    with pdf.open_outline() as outline:
        (top,) = outline.root
        assert (top.title, [kid.title for kid in top.children]) == ("a", ["b", "d"])
        assert top.children[0].children[0].title == "c"
    assert str(pdf.Root.PageMode) == "/UseOutlines"


def test_catalogue_says_tagged_and_shows_the_title() -> None:
    pdf = opened("<p>a")
    assert pdf.Root.MarkInfo.Marked is True
    assert pdf.Root.ViewerPreferences.DisplayDocTitle is True
