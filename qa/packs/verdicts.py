"""How a finding stands, as the word and the mark that every page gives it.

The word is the text; the mark before it comes from the style sheet and says nothing that the word
does not say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from qa.assess.finding import Finding, StageStatus
from qa.trade.conformity import Verdict


class Standing(StrEnum):
    """How a finding stands once what was done about it is counted in, worst first.

    The value is the class of its mark in the style sheet.
    """

    OUTSIDE = "outside"
    UNDECIDED = "undecided"
    CONCEDED = "conceded"
    PUT_RIGHT = "put-right"
    NOT_RECORDED = "not-recorded"
    NOT_APPLICABLE = "not-applicable"
    WITHIN = "within"

    @property
    def word(self) -> str:
        """The word in running text: "put right"."""
        return self.value.replace("-", " ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A standing as a page prints it.

    Attributes:
        mark: class of the mark in the style sheet.
        word: the word that the mark stands before.
        rest: what follows in plain text, or nothing.
    """

    mark: str
    word: str
    rest: str = ""


def standing_of(found: Finding) -> Standing:
    """How a finding stands."""
    if found.put_right:
        return Standing.PUT_RIGHT
    if found.conceded:
        return Standing.CONCEDED
    return Standing(found.verdict.value.replace("_", "-"))


def said(found: Finding) -> Said:
    """How one finding stands, in a word."""
    standing = standing_of(found)
    return Said(mark=standing.value, word=standing.word)


def said_of_all(findings: Iterable[Finding]) -> Said:
    """How several findings stand, each counted: "1 outside, 5 within"; the mark is the worst's."""
    counts = Counter(map(standing_of, findings))
    parts = [(standing, counts[standing]) for standing in Standing if counts[standing]]
    if not parts:
        return Said(mark=Standing.NOT_RECORDED.value, word="none")
    (worst, count), *others = parts
    rest = "".join(f", {number} {standing.word}" for standing, number in others)
    return Said(mark=worst.value, word=f"{count} {worst.word}", rest=rest)


def is_apart(findings: Iterable[Finding]) -> bool:
    """Whether any finding was ever outside its limits, or could not be decided."""
    return any(
        found.verdict in (Verdict.OUTSIDE, Verdict.UNDECIDED) or found.put_right
        for found in findings
    )


STATUS_WORDS: Mapping[StageStatus, str] = {
    StageStatus.WITHIN: "within limits",
    StageStatus.OUTSIDE: "outside limits",
    StageStatus.PUT_RIGHT: "put right",
    StageStatus.CONCEDED: "conceded",
    StageStatus.INCOMPLETE: "incomplete",
}

_COUNTED: Mapping[StageStatus, tuple[Standing, ...]] = {
    StageStatus.WITHIN: (),
    StageStatus.OUTSIDE: (Standing.OUTSIDE,),
    StageStatus.PUT_RIGHT: (Standing.PUT_RIGHT,),
    StageStatus.CONCEDED: (Standing.CONCEDED,),
    StageStatus.INCOMPLETE: (Standing.NOT_RECORDED, Standing.UNDECIDED),
}


def status_text(status: StageStatus, findings: Iterable[Finding]) -> str:
    """A stage's status in words, with how many findings make it so: "outside limits (2)"."""
    counts = Counter(map(standing_of, findings))
    number = sum(counts[standing] for standing in _COUNTED[status])
    return f"{STATUS_WORDS[status]} ({number})" if number else STATUS_WORDS[status]
