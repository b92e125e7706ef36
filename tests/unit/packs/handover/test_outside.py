"""The second page: nothing outside its limits is hidden, however much or little there is."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest

from qa.assess.finding import Finding
from qa.assess.wording import Telling
from qa.packs.handover.matters import matters
from qa.packs.handover.outside import OutsideContext, outside_chapter
from qa.packs.source import PackSource
from qa.packs.templating import render
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from tests.factories import RecordBuilder
from tests.unit.packs.handover.sample_job import (
    day,
    opened,
    sealed_with_a_late_entry,
    source_of,
    whole_job,
)


@pytest.fixture(scope="module")
def whole() -> PackSource:
    return source_of(sealed_with_a_late_entry(whole_job()))


def context(source: PackSource) -> OutsideContext:
    found = outside_chapter(source).context
    assert isinstance(found, OutsideContext)
    return found


def page(source: PackSource) -> str:
    """The words of the second page, without its markup."""
    chapter = outside_chapter(source)
    text = re.sub(r"<[^>]*>", " ", render(chapter.template, c=chapter.context))
    return re.sub(r"\s+", " ", unescape(text))


def with_findings(source: PackSource, findings: tuple[Finding, ...]) -> PackSource:
    return replace(source, assessment=replace(source.assessment, findings=findings))


def telling(found: Finding, key: str, number: int) -> Telling:
    """What a finding of another check with words of its own is told from."""
    check = replace(found.telling.check, key=key, plain=f"Quantity {number} of many")
    return found.telling._replace(check=check)


def sentence_of(source: PackSource, found: Finding) -> str:
    """What a finding says, without its area: the page tells that together with bay, mix or edge."""
    area = source.frame.area_name(found.area) if found.area else ""
    return " ".join(found.plain.removeprefix(f"{area}: ").split())


def outside(source: PackSource) -> list[Finding]:
    suspect = (Verdict.OUTSIDE, Verdict.UNDECIDED)
    return [found for found in source.assessment.findings if found.verdict in suspect]


def test_every_finding_outside_limits_is_told(whole: PackSource) -> None:
    told = page(whole)
    assert len(outside(whole)) > 15
    for found in outside(whole):
        assert sentence_of(whole, found) in told


def test_place_of_a_finding_is_told_in_one_piece(whole: PackSource) -> None:
    told = page(whole)
    assert "Extension, mix-1: The time taken to use up the mix was 30 min" in told


def test_each_finding_belongs_to_a_matter(whole: PackSource) -> None:
    in_matters = {id(found) for matter in matters(whole) for found in matter.findings}
    assert in_matters == {id(found) for found in outside(whole)}


def faulty(tmp_path: Path, *after: str) -> PackSource:
    """A fault with two pictures before its decision, and these captions after it."""
    job = opened()
    spot = {"nonconformity": 1, "area": "main", "bay": "r3b1"}
    job.add("nonconformity", stage="laminate", description="White patches and pinholes.")
    job.add("photo", **spot, caption="Three white patches, ringed")
    job.add("photo", **spot, caption="Seven pinholes beside them")
    job.add("disposition", nonconformity=1, reason="Dry glass lets water in.")
    for caption in after:
        job.add("photo", **spot, caption=caption)
    return source_of(job.record(), tmp_path)


@pytest.mark.parametrize(
    ("after", "shown"),
    [
        (("Laid again, no white left", "No holes either"), "Laid again, no white left"),
        (("Clear", "Hard"), "Hard"),
        ((), "Seven pinholes beside them"),
    ],
)
def test_picture_after_is_the_one_most_like_the_one_before(
    tmp_path: Path, after: tuple[str, ...], shown: str
) -> None:
    (row,) = context(faulty(tmp_path, *after)).matters[0].rows
    assert [photo.caption for photo in row] == ["Three white patches, ringed", shown]


def test_open_matters_stand_before_settled_ones(whole: PackSource) -> None:
    words = [matter.word for matter in context(whole).matters]
    order = [
        "still open",
        "not decided",
        "accepted as it is",
        "put right",
        "written down late",
    ]
    assert list(dict.fromkeys(words)) == order


def test_decision_is_told_with_reason_person_and_day(whole: PackSource) -> None:
    told = page(whole)
    assert "Do the work again. Reason: “Soft laminate must not be covered." in told
    assert "Mara Invented, 13 May 2026" in told
    assert "“Laid again with the right dose; hard after four hours.” Ines Invented" in told


def test_undecided_fault_asks_the_owner_to_ask(whole: PackSource) -> None:
    told = page(whole)
    assert "No decision of a supervisor is recorded yet." in told
    assert "Not closed yet. Ask the firm what will be done, and when." in told


def test_repaired_bay_shows_its_second_examination(whole: PackSource) -> None:
    matter = next(m for m in context(whole).matters if "pinholes" in m.title)
    assert [fact.label for fact in matter.facts] == ["Checked again"]
    assert matter.word == "put right"


def test_late_entry_is_named_by_its_own_time(whole: PackSource) -> None:
    matter = next(m for m in context(whole).matters if m.word == "written down late")
    assert matter.sentences[0].startswith("Photo of 11 May 2026")


@pytest.mark.parametrize("many", [1, 3, 25])
def test_any_number_of_findings_is_told(whole: PackSource, many: int) -> None:
    model = next(found for found in outside(whole) if found.check == "topcoat.consumption")
    checks = list(whole.specification.checks)
    findings = tuple(
        model._replace(stage=Stage.DECK, conceded=False, telling=telling(model, checks[n], n))
        for n in range(many)
    )
    job = replace(whole.job, nonconformities=(), dispositions=(), closures=())
    source = with_findings(replace(whole, job=job), findings)
    told = page(source)
    assert len(context(source).matters) == many
    assert all(sentence_of(source, found) in told for found in findings)


def test_clear_roof_says_what_that_means(whole: PackSource) -> None:
    job = replace(whole.job, nonconformities=(), dispositions=(), closures=())
    within = tuple(f for f in whole.assessment.findings if f.verdict is Verdict.WITHIN)
    told = page(with_findings(replace(whole, job=job), within))
    assert "Nothing that was recorded on this roof was outside its limits." in told
    assert "It does not mean that everything was measured" in told


def test_fault_without_a_finding_is_still_told() -> None:
    builder = opened()
    builder.add("nonconformity", stage="deck", description="A board creaks.")
    told = page(source_of(builder.record()))
    assert "a fault seen on the roof" in told
    assert "“A board creaks.” Ines Invented" in told


def test_defect_found_after_handover_is_open() -> None:
    builder = opened()
    builder.add("inspection", at=day(30), finding="A crack by the outlet", defect=True)
    assert "A defect found after handover A crack by the outlet." in page(
        source_of(builder.record())
    )


def test_rejected_fault_is_not_called_put_right() -> None:
    builder = whole_job()
    builder.add("disposition", nonconformity=1, decision="reject", reason="Too much of it is soft.")
    matter = next(m for m in context(source_of(builder.record())).matters if "hardener" in m.title)
    assert matter.word == "rejected"


def test_silence_is_counted_in_full(whole: PackSource) -> None:
    silent = [f for f in whole.assessment.findings if f.verdict is Verdict.NOT_RECORDED]
    assert sum(stage.count for stage in context(whole).silent) == len(silent)
    told = page(whole).lower()
    for found in silent:
        assert whole.specification.checks[found.check].plain.lower() in told


def test_bare_record_says_that_nothing_was_recorded() -> None:
    source = source_of(RecordBuilder.opened().record())
    assert all(stage.is_whole for stage in context(source).silent)
    assert "Nothing of this stage was recorded." in page(source)


def test_markup_that_people_typed_stays_text() -> None:
    builder = opened()
    builder.add("nonconformity", stage="deck", description='<img src="x"> & <b>bold</b>')
    chapter = outside_chapter(source_of(builder.record()))
    html = render(chapter.template, c=chapter.context)
    assert "<b>bold</b>" not in html
    assert "&lt;b&gt;bold&lt;/b&gt;" in html
