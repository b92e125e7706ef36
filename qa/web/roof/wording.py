"""How the roof pages tell limits, times, people and places."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from qa.assess.finding import Finding
from qa.assess.wording import VERDICT_WORDS, limits_text
from qa.record.job import Job
from qa.record.kinds.place import Edge
from qa.services.reading import ReadJob
from qa.specification.model import Sourced
from qa.texts.saying import say, to_say
from qa.trade.conformity import Limits, Verdict
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import EdgeKind, Stage
from qa.web.stage_names import STAGE_NAMES, stage_name

EDGE_WORDS: Mapping[EdgeKind, str] = MappingProxyType(
    {
        EdgeKind.DRIP_EDGE: to_say("drip edge"),
        EdgeKind.RAISED_EDGE: to_say("raised edge"),
        EdgeKind.WALL_FILLET: to_say("wall fillet"),
        EdgeKind.FLASHING: to_say("flashing"),
    }
)


def begun(text: str) -> str:
    """A text as a sentence begins."""
    return f"{text[:1].upper()}{text[1:]}"


def limit_text(limits: Limits, unit: str | None, sourced: Sourced) -> str:
    """A limit with its basis and source, for beside a field; only the source where none holds."""
    source = sourced.source.rstrip(".")
    told = source if source.lower().startswith(sourced.basis) else f"{sourced.basis}: {source}"
    words = limits_text(limits, unit)
    return f"{begun(words)}. {begun(told)}." if words else f"{begun(told)}."


def person_text(job: Job, key: str) -> str:
    """A person's name, or their key where the name was erased or they are no longer of the crew."""
    person = job.crew.get(key)
    return person.name if person is not None and isinstance(person.name, str) else key


def area_text(job: Job, area: str | None) -> str:
    """An area's name, or nothing where the job has only one."""
    if area is None or len(job.areas) == 1:
        return ""
    return next((one.body.name for one in job.areas if one.body.area == area), area)


def edge_text(edge: Edge) -> str:
    """An edge: "Drip edge e1, 6 m"."""
    return f"{begun(EDGE_WORDS[edge.kind])} {edge.edge}, {quantity_text(edge.length_m, 'm')}"


def stage_title(read: ReadJob, stage: Stage) -> str:
    """A stage's name as the specification gives it, said where it is the usual one."""
    title = read.specification.stage_rule(stage).title
    return stage_name(stage) if title == STAGE_NAMES[stage] else title


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A finding as a page shows it.

    Attributes:
        verdict: in words.
        mark: class of the word in the style sheet.
        exact: the expert's sentence, with limit, basis and source.
        under_title: the same below a title that names the quantity.
    """

    verdict: str
    mark: str
    exact: str
    under_title: str


def judged(found: Finding) -> Judged:
    """A finding as a page shows it."""
    word, mark = VERDICT_WORDS[found.verdict], _MARKS[found.verdict]
    if found.put_right or found.conceded:
        word = say("put right") if found.put_right else say("conceded")
        mark = "put-right" if found.put_right else "conceded"
    return Judged(
        verdict=word, mark=mark, exact=begun(found.exact), under_title=exact_under_title(found)
    )


def exact_under_title(found: Finding) -> str:
    """The expert's sentence without the quantity, which the title above it names."""
    return begun(found.exact.removeprefix(f"{found.telling.check.quantity}: "))


_MARKS: Mapping[Verdict, str] = MappingProxyType(
    {verdict: verdict.value.replace("_", "-") for verdict in Verdict}
)
