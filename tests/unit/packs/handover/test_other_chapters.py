"""Cover, materials, care, contact, proof and glossary."""

from __future__ import annotations

import re
from html import unescape

import pytest

from qa.assess.consumption import LAMINATE
from qa.packs.handover import handover_pack
from qa.packs.handover.care import ContactContext, contact_chapter
from qa.packs.handover.cover import CoverContext, cover
from qa.packs.handover.materials import MaterialsContext, materials_chapter
from qa.packs.handover.proof import ProofContext, proof_chapter, standards_named
from qa.packs.source import PackSource
from qa.packs.templating import templates_folder
from qa.record.folder import record_text
from qa.record.reading import read_record
from qa.trade.notation import number_text
from tests.factories import RecordBuilder
from tests.unit.packs.handover.sample_job import (
    opened,
    sealed_with_a_late_entry,
    source_of,
    whole_job,
)


@pytest.fixture(scope="module")
def whole() -> PackSource:
    return source_of(sealed_with_a_late_entry(whole_job()))


def cover_of(source: PackSource) -> CoverContext:
    context = cover(source).context
    assert isinstance(context, CoverContext)
    return context


def test_cover_names_firm_client_site_and_days(whole: PackSource) -> None:
    facts = {fact.label: fact.text for fact in cover_of(whole).facts}
    assert facts["Made for"] == "A. Client"
    assert facts["The roof is at"] == "1 Invented Lane"
    assert facts["Made by"] == "An Invented Roofing Firm, 2 Invented Yard, Exampleton"
    assert facts["Work on the roof"] == "11 May 2026 to 16 May 2026"
    assert facts["Parts of the roof"] == "Extension, 24 m²; Porch, 3.6 m²"


def test_cover_draws_the_roof_to_scale(whole: PackSource) -> None:
    assert "Roof plan to scale, 1:" in cover_of(whole).plan


def test_invented_job_says_so_on_its_cover(whole: PackSource) -> None:
    assert cover_of(whole).is_invented
    real = RecordBuilder.opened(title="Garage", firm={"name": "A Firm"})
    assert not cover_of(source_of(real.record())).is_invented


def test_erased_client_is_called_withheld(whole: PackSource) -> None:
    bare = source_of(read_record(record_text(whole.record.entries)))
    facts = {fact.label: fact.text for fact in cover_of(bare).facts}
    assert facts["Made for"] == "name withheld"
    assert facts["The roof is at"] == "address withheld"


def test_edition_stands_on_the_cover(whole: PackSource) -> None:
    assert cover_of(whole).edition_line == f"Handover pack, {whole.edition}"


def materials_of(source: PackSource) -> MaterialsContext:
    context = materials_chapter(source).context
    assert isinstance(context, MaterialsContext)
    return context


def test_rate_is_the_assessments_own(whole: PackSource) -> None:
    judged = next(
        f
        for f in whole.assessment.findings
        if (f.check, f.area, f.subject) == (LAMINATE, "main", None)
    )
    row = materials_of(whole).laid[0]
    assert judged.value is not None
    assert row.rate == number_text(judged.value, 3)
    assert (row.laid, row.word) == ("38 kg on 24 m²", "within limits")


def test_batch_says_what_it_was_used_for(whole: PackSource) -> None:
    used = {lot.batch: lot.stages for lot in materials_of(whole).lots}
    assert used["R 1204"] == "Bandage, Laminate"
    assert used["M 7"] == "not recorded"


def test_unweighed_amount_is_called_added_up(whole: PackSource) -> None:
    assert materials_of(whole).added_up


def test_missing_telephone_is_said() -> None:
    context = contact_chapter(source_of(RecordBuilder.opened().record())).context
    assert isinstance(context, ContactContext)
    assert not context.has_contact
    assert {fact.label: fact.text for fact in context.firm}["Telephone"] == (
        "The record does not give it."
    )


def proof_of(source: PackSource) -> ProofContext:
    context = proof_chapter(source).context
    assert isinstance(context, ProofContext)
    return context


def test_proof_gives_the_whole_hash(whole: PackSource) -> None:
    assert proof_of(whole).head.replace(" ", "") == whole.assessment.head


def test_proof_counts_late_entries(whole: PackSource) -> None:
    assert proof_of(whole).arrivals == "One entry came late; chapter 1 names it."


def test_record_by_hand_admits_unknown_arrivals() -> None:
    assert "cannot show whether they were written on the spot" in (
        proof_of(source_of(opened().record())).arrivals
    )


def test_standards_are_named_once_each(whole: PackSource) -> None:
    named = standards_named(whole.specification)
    assert "BS 6229" in named
    assert len(named) == len(set(named))


def prose(template: str) -> str:
    """The words of a template that nobody's record changes."""
    text = (templates_folder() / "packs" / "handover" / template).read_text()
    text = re.sub(r"{%.*?%}|<table.*?</table>", " ", text, flags=re.DOTALL)
    text = re.sub(r"</(?:li|h3|p|dd|dt)>", ". ", text)
    return unescape(re.sub(r"<[^>]*>|{{.*?}}", " ", text))


def grade(text: str) -> float:
    """School grade of a text: Flesch and Kincaid 1975, formula from memory.

    Syllables are counted as groups of vowels, a silent e at the end left out.
    """
    sentences = [s for s in re.split(r"[.!?:;]+\s", text) if re.search(r"[a-z]", s)]
    words = re.findall(r"[A-Za-z’-]+", text)
    syllables = sum(
        max(1, len(re.findall(r"[aeiouy]+", re.sub(r"e\b", "", word.lower())))) for word in words
    )
    return 0.39 * len(words) / len(sentences) + 11.8 * syllables / len(words) - 15.59


@pytest.mark.parametrize(
    "template", ["care.html", "contact.html", "proof.html", "glossary.html", "outside.html"]
)
def test_prose_is_read_at_twelve(template: str) -> None:
    assert grade(prose(template)) <= 7.0


def test_grade_tells_a_child_from_a_lawyer() -> None:
    assert grade("The cat sat on the mat. It was warm. ") < 2
    assert (
        grade("Notwithstanding contractual obligations, indemnification presupposes notice. ") > 12
    )


def test_pack_is_the_same_twice(whole: PackSource) -> None:
    assert handover_pack(whole) == handover_pack(whole)


def test_bare_record_makes_a_whole_pack() -> None:
    html = handover_pack(source_of(RecordBuilder.opened().record())).html
    for key in (
        "outside-limits",
        "what-was-done",
        "materials",
        "care",
        "contact",
        "proof",
        "words",
    ):
        assert f'id="{key}"' in html


def test_ids_of_a_page_are_unique(whole: PackSource) -> None:
    ids = re.findall(r' id="([^"]+)"', handover_pack(whole).html)
    assert len(ids) == len(set(ids))
