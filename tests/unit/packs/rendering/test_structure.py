from __future__ import annotations

import pikepdf
import pytest

from qa.errors import PackError
from tests.unit.packs.rendering.small import elements, kinds, opened

ROWS = "".join(f"<tr><th scope=row>{n}<td>value<td>limit" for n in range(200))
HEAD = "<caption>Long</caption><thead><tr><th>A<th>B<th>C</thead>"
TABLE = f"<table class=data>{HEAD}<tbody>{ROWS}</table>"


def page_text(pdf: pikepdf.Pdf, number: int) -> bytes:
    return pdf.pages[number].Contents.read_bytes()


def test_table_of_many_pages_is_one_table() -> None:
    pdf = opened(TABLE)
    found = kinds(pdf)
    assert len(pdf.pages) > 3
    assert (found.count("Table"), found.count("THead"), found.count("TBody")) == (1, 1, 1)
    assert found.count("TR") == 201
    assert found.count("Caption") == 1


def test_header_cells_have_their_scope() -> None:
    pdf = opened(TABLE)
    heads = [cell for kind, cell in elements(pdf) if kind == "TH"]
    scopes = [str(cell.A.Scope) for cell in heads]
    assert scopes == ["/Column"] * 3 + ["/Row"] * 200


def test_repeated_table_head_is_an_artifact() -> None:
    pdf = opened(TABLE)
    heads = [cell for kind, cell in elements(pdf) if kind == "TH"]
    first_page = pdf.pages[0].obj.objgen
    assert all(cell.Pg.objgen == first_page for cell in heads[:3])
    # Six hairlines, three heads, two running lines; the head's words are marked on page 1 alone.
    assert page_text(pdf, 1).count(b"/Artifact\nBMC") >= 11


def test_paragraph_over_two_pages_is_one_paragraph() -> None:
    pdf = opened(f"<p>{'word ' * 900}</p>")
    assert len(pdf.pages) == 2
    assert kinds(pdf) == ["Document", "P"]


def test_running_lines_are_artifacts() -> None:
    cover = '<header class="cover"><p class="job">Job 1</p></header>'
    pdf = opened(f"{cover}<p>b</p>")
    assert page_text(pdf, 1).count(b"/Artifact\nBMC") == 2
    assert page_text(pdf, 1).count(b"BDC") == 1


def test_every_mark_of_every_page_has_an_owner() -> None:
    pdf = opened(f"{TABLE}<p>a <a href='#b'>b</a></p><h1 id=b>c</h1>")
    numbers = list(pdf.Root.StructTreeRoot.ParentTree.Nums)
    tree = dict(zip(numbers[::2], numbers[1::2], strict=True))
    for page in pdf.pages:
        owners = tree[page.StructParents]
        assert len(owners) == page.Contents.read_bytes().count(b"/MCID")
        assert all(isinstance(owner, pikepdf.Dictionary) for owner in owners)


def test_list_items_have_label_and_body() -> None:
    assert kinds(opened("<ul><li>a</li><li>b<ol><li>c</li></ol></li></ul>")) == [
        "Document", "L", "LI", "Lbl", "LBody", "LI", "Lbl", "LBody", "L", "LI", "Lbl", "LBody",
    ]  # fmt: skip


def test_facts_are_a_list_of_label_and_body() -> None:
    facts = "<dl class=facts><div><dt>a</dt><dd>b</dd></div><div><dt>c</dt><dd>d</dd></div></dl>"
    assert kinds(opened(facts)) == ["Document", "L", *["LI", "Lbl", "LBody"] * 2]


def test_contents_are_a_table_of_contents() -> None:
    nav = "<nav class=contents><h2>C</h2><ol><li><a href='#x'>X</a></ol></nav><h2 id=x>X</h2>"
    found = kinds(opened(nav))
    assert found == ["Document", "Sect", "H2", "TOC", "TOCI", "Link", "H2"]


def test_loose_text_of_a_section_becomes_a_paragraph() -> None:
    assert kinds(opened("<section>one<p>two</p>three</section>")) == [
        "Document", "Sect", "P", "P", "P",
    ]  # fmt: skip


def test_picture_has_its_words_and_place() -> None:
    svg = "<svg viewBox='0 0 9 9' width=90 height=90><title>A chart</title><path d='M0 0H9'/></svg>"
    pdf = opened(f"<p>{svg}")
    ((_, figure),) = [each for each in elements(pdf) if each[0] == "Figure"]
    left, bottom, right, top = (float(value) for value in figure.A.BBox)
    assert str(figure.Alt) == "A chart"
    assert (right - left, top - bottom) == pytest.approx((67.5, 67.5))
    assert 0 < bottom < top < 842


@pytest.mark.parametrize(
    "picture",
    [
        "<svg width=9 height=9><path d='M0 0H9'/></svg>",
        "<svg width=9 height=9><title> </title></svg>",
    ],
)
def test_picture_without_words_is_refused(picture: str) -> None:
    with pytest.raises(PackError, match="alt text"):
        opened(f"<p>{picture}")


def test_link_says_what_it_links() -> None:
    pdf = opened("<p>see <a href='#x'>the <b>care</b> chapter</a></p><h2 id=x>Care</h2>")
    (annotation,) = pdf.pages[0].Annots
    ((_, link),) = [each for each in elements(pdf) if each[0] == "Link"]
    assert str(annotation.Contents) == "the care chapter"
    assert any(getattr(kid, "Type", None) == "/OBJR" for kid in link.K)


def test_foreign_words_keep_their_language() -> None:
    pdf = opened("<p lang=fr>Bonjour</p>")
    assert str(pdf.Root.Lang) == "en-GB"
    assert str(elements(pdf)[1][1].Lang) == "fr"
