"""One matter outside its limits as the second page tells it: what was found, decided and done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.frame import grouped
from qa.assess.nonconformities import CLOSED, Case
from qa.packs.handover import plain_words as plain
from qa.packs.handover.matters import STAGE_CHECKS, Matter, photos_of
from qa.packs.handover.plain_words import Fact
from qa.packs.photo_rows import Row, photo_rows
from qa.packs.source import PackSource
from qa.record.job import Recorded
from qa.record.kinds.decisions import DispositionDecision
from qa.record.schema import Body

_LONG = 5
"""With more sentences than this a matter may be broken across pages."""

_DECISIONS = {
    DispositionDecision.REWORK: "Do the work again.",
    DispositionDecision.CONCESSION: "Accept it as it is.",
    DispositionDecision.REJECT: "Reject the work.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldMatter:
    """One matter as the page tells it.

    Attributes:
        number: its number on the page, from 1.
        mark, word: how it stands today.
        sentences: what the findings say.
        facts: what was found, decided and done, with people and dates.
        rows: the pictures before and after.
        is_long: whether it may be broken across pages.
    """

    number: int
    mark: str
    word: str
    title: str
    sentences: tuple[str, ...]
    facts: tuple[Fact, ...]
    rows: tuple[Row, ...]
    is_long: bool


def told(source: PackSource, matter: Matter, number: int) -> ToldMatter:
    """A matter in the homeowner's words."""
    sentences = tuple(_sentences(source, matter))
    return ToldMatter(
        number=number,
        mark=matter.standing.mark,
        word=matter.standing.word,
        title=_title(source, matter),
        sentences=sentences,
        facts=tuple(_facts(source, matter)),
        rows=photo_rows(source, photos_of(source, matter)),
        is_long=len(sentences) > _LONG,
    )


def _title(source: PackSource, matter: Matter) -> str:
    if matter.inspection is not None:
        return "A defect found after handover"
    stage = source.specification.stage_rule(matter.stage).title
    if matter.standing == plain.LATE:
        return f"{stage}: written down late"
    judged = [found.check for found in matter.findings if found.check != CLOSED]
    if not judged:
        return f"{stage}: a fault seen on the roof"
    check = source.specification.checks[judged[0]]
    if judged[0].startswith(STAGE_CHECKS):
        return check.plain.replace("this stage", "each stage")
    return f"{stage}: {plain.uncapitalised(check.plain)}"


def _sentences(source: PackSource, matter: Matter) -> Iterator[str]:
    if matter.inspection is not None:
        yield plain.stopped(matter.inspection.body.finding)
    elif matter.standing == plain.LATE:
        yield from _late(source, matter)
    else:
        by_text = grouped(matter.findings, lambda found: found.plain)
        for text, alike in by_text.items():
            yield _located(source, text, alike)


def _located(source: PackSource, text: str, alike: Sequence[Finding]) -> str:
    """A sentence that one or several findings share, after the places that it holds for."""
    spots = [plain.spot(source.frame, found) for found in alike]
    if alike[0].check.startswith(STAGE_CHECKS):
        spots = [source.specification.stage_rule(found.stage).title for found in alike]
    named = list(dict.fromkeys(spot for spot in spots if spot))
    area = f"{source.frame.area_name(alike[0].area)}: " if alike[0].area else ""
    if len(named) == 1 and area and text.startswith(area):
        return f"{area.removesuffix(': ')}, {named[0]}: {text.removeprefix(area)}"
    if named:
        return f"{plain.sentence_case(plain.listed(named))}. {text}"
    return f"{text} (This holds {len(alike)} times.)" if len(alike) > 1 else text


def _late(source: PackSource, matter: Matter) -> Iterator[str]:
    """What each late entry tells of, and how late it came."""
    entries = {entry.id: entry for entry in source.job.entries}
    for found in matter.findings:
        entry = entries[found.entries[0]]
        what = plain.sentence_case(entry.kind.replace("_", " "))
        yield f"{what} of {source.time_text(entry.at)}. {found.plain}"


def _facts(source: PackSource, matter: Matter) -> Iterator[Fact]:
    if matter.inspection is not None:
        yield Fact(label="Found by", text=_signed(source, matter.inspection))
        return
    if matter.case is not None:
        yield from _case_facts(source, matter, matter.case)
    for text in plain.sentences_of(matter.checked_again):
        yield Fact(label="Checked again", text=text)
    if matter.case is None and not matter.checked_again:
        yield Fact(label="What was done", text=_nothing_raised(matter))


def _case_facts(source: PackSource, matter: Matter, case: Case) -> Iterator[Fact]:
    raised, decided, closed = case.raised, case.disposition, case.closure
    yield Fact(
        label=f"Fault {raised.body.number}",
        text=f"“{raised.body.description}” {_signed(source, raised)}",
    )
    decision = "No decision of a supervisor is recorded yet."
    if decided is not None:
        decision = f"{_DECISIONS[decided.body.decision]} Reason: “{decided.body.reason}” "
        decision += "".join(f"{label}: “{words}” " for label, words in decided.body.terms)
        decision += _signed(source, decided)
    yield Fact(label="Decision", text=decision)
    if closed is not None:
        statement = f"“{closed.body.statement}” {_signed(source, closed)}"
        yield Fact(label="What was done", text=statement)
    elif matter.standing == plain.ACCEPTED:
        text = "Nothing more: the supervisor accepted it in writing."
        yield Fact(label="What was done", text=text)
    else:
        text = "Not closed yet. Ask the firm what will be done, and when."
        yield Fact(label="What was done", text=text)


def _nothing_raised(matter: Matter) -> str:
    if matter.standing == plain.LATE:
        return (
            "A late entry is kept and marked. It counts for less, because it was not written "
            "down on the spot."
        )
    if matter.standing == plain.UNDECIDED:
        return "Nothing. It lies too near its limit for the instrument, or readings are missing."
    return "The record does not say that anything was done about it. Ask the firm."


def _signed(source: PackSource, recorded: Recorded[Body]) -> str:
    return f"{source.person(recorded.by)}, {source.time_text(recorded.at)}."
