"""The homeowner's words: verdicts, units, places and counts, said as people say them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.frame import Frame
from qa.assess.lateness import TIMELY
from qa.packs.photo_rows import bay_words
from qa.packs.verdicts import Said, Standing, standing_of
from qa.trade.conformity import Limits
from qa.trade.notation import number_text

_SMALL_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")

_UNITS: Mapping[str, str] = {
    "1": "",
    "mm/m": "mm per metre",
    "ml/kg": "ml per kg",
    "kg/m2": "kg per m²",
    "1/m2": "per m²",
    "m2": "m²",
    "cm2": "cm²",
    "K": "°C",
    "h": "hours",
    "min": "minutes",
    "s": "seconds",
    "d": "days",
}
"""A difference of temperatures is in kelvin for the expert and in °C for everybody else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A label and what is said beside it."""

    label: str
    text: str


WITHIN = Said(mark="within", word="within limits")
OPEN = Said(mark="outside", word="still open")
LATE = Said(mark="outside", word="written down late")
PUT_RIGHT = Said(mark="put-right", word="put right")
ACCEPTED = Said(mark="conceded", word="accepted as it is")
UNDECIDED = Said(mark="undecided", word="not decided")
NOT_RECORDED = Said(mark="not-recorded", word="not recorded")
NOT_APPLICABLE = Said(mark="not-applicable", word="does not apply")

_SAID: Mapping[Standing, Said] = {
    Standing.OUTSIDE: OPEN,
    Standing.UNDECIDED: UNDECIDED,
    Standing.CONCEDED: ACCEPTED,
    Standing.PUT_RIGHT: PUT_RIGHT,
    Standing.NOT_RECORDED: NOT_RECORDED,
    Standing.NOT_APPLICABLE: NOT_APPLICABLE,
    Standing.WITHIN: WITHIN,
}

WORST_FIRST = (OPEN, UNDECIDED, NOT_RECORDED, ACCEPTED, PUT_RIGHT, LATE, WITHIN, NOT_APPLICABLE)


def said_to_owner(found: Finding) -> Said:
    """How a finding stands, after what was done about it; a late entry cannot be put right."""
    standing = standing_of(found)
    if found.check == TIMELY and standing is Standing.OUTSIDE:
        return LATE
    return _SAID[standing]


def worst(findings: Iterable[Finding]) -> Said:
    """How several findings stand together: as the worst of them."""
    return min((said_to_owner(found) for found in findings), key=WORST_FIRST.index)


def counted(number: int, one: str, many: str | None = None) -> str:
    """A count in words up to nine.

    >>> counted(1, "thing"), counted(12, "thing"), counted(0, "entry", "entries")
    ('one thing', '12 things', 'no entries')
    """
    noun = one if number == 1 else (many or f"{one}s")
    return f"{number_word(number)} {noun}"


def number_word(number: int) -> str:
    """A whole number in words up to nine, in figures from ten."""
    return _SMALL_NUMBERS[number] if number < len(_SMALL_NUMBERS) else str(number)


def listed(words: Sequence[str]) -> str:
    """Words in a row as in a sentence.

    >>> listed(["the deck", "the edges", "the roof"])
    'the deck, the edges and the roof'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def sentence_case(text: str) -> str:
    """The text with a capital first, and nothing else changed."""
    return text[:1].upper() + text[1:]


def uncapitalised(text: str) -> str:
    """The text as it stands inside a sentence: “The gap” becomes “the gap”."""
    return text[:1].lower() + text[1:]


def stopped(text: str) -> str:
    """The text with a full stop, where it ends without any stop."""
    text = text.strip()
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def owner_unit(unit: str | None) -> str:
    """A unit in the homeowner's words."""
    return _UNITS.get(unit, unit) if unit else ""


def owner_quantity(value: float, unit: str | None) -> str:
    """A value with its unit in the homeowner's words.

    >>> owner_quantity(24.0, "h")
    '24 hours'
    """
    return f"{number_text(value, 3)} {owner_unit(unit)}".rstrip()


def owner_range(values: Sequence[float], unit: str | None) -> str:
    """Several values as their range, or the one value.

    >>> owner_range([14.5, 12.0], "%")
    '12 to 14.5 %'
    """
    least, most = number_text(min(values), 3), number_text(max(values), 3)
    spread = least if least == most else f"{least} to {most}"
    return f"{spread} {owner_unit(unit)}".rstrip()


def owner_limits(limits: Limits, unit: str | None) -> str:
    """Limits in the homeowner's words; nothing where there is none.

    >>> owner_limits(Limits(lower=24), "h")
    'at least 24 hours'
    """
    lower, upper = limits.lower, limits.upper
    if lower is not None and upper is not None:
        text = owner_range([lower, upper], unit)
        return f"exactly {text}" if lower == upper else text
    if lower is not None:
        return f"at least {owner_quantity(lower, unit)}"
    if upper is None:
        return ""
    return "none" if upper == 0 else f"at most {owner_quantity(upper, unit)}"


def sentences_of(findings: Iterable[Finding]) -> tuple[str, ...]:
    """The plain sentences of findings, each once, with how often where it is more than once."""
    times = Counter(found.plain for found in findings)
    return tuple(f"{text} (This holds {n} times.)" if n > 1 else text for text, n in times.items())


def spot(frame: Frame, found: Finding) -> str:
    """What exactly a finding is about, where its sentence does not say: bay, mixes or edge."""
    if found.bay is not None:
        return bay_words(found.bay)
    if found.subject is None:
        return ""
    mixes = {mix.body.mix for mix in frame.job.mixes}
    subjects = [found.subject] if found.subject in mixes else found.subject.split("+")
    if mixes.issuperset(subjects):
        return listed([key if key.startswith("mix") else f"mix {key}" for key in subjects])
    if any(found.subject in area.edges for area in frame.areas.values()):
        return f"edge “{found.subject}”"
    return ""
