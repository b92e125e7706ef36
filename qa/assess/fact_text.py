"""The facts of a job as text that is kept, and back.

Whoever changes `qa.assess.fact` must let the summaries be rebuilt.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from typing import Any

from qa.assess.fact import Fact, JobFacts, LeftOut, Quantity, Sample, Source, Why


def facts_text(facts: JobFacts) -> str:
    """The facts as JSON, the same text every time."""
    told = sorted(map(_fact_list, facts.facts), key=lambda fact: (fact[0], fact[4], fact[2]))
    left_out = sorted([left.quantity, left.subject, left.why] for left in facts.left_out)
    source = facts.facts[0].source if facts.facts else None
    whole = {
        "job": facts.job,
        "source": [source.specification, source.specification_sha256] if source else None,
        "facts": told,
        "left_out": left_out,
    }
    return json.dumps(whole, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def read_facts_text(text: str) -> JobFacts:
    """The facts that `facts_text` wrote; those of one job are judged by one specification."""
    whole = json.loads(text)
    return JobFacts(
        job=whole["job"],
        facts=tuple(_facts(whole)),
        left_out=tuple(
            LeftOut(job=whole["job"], quantity=Quantity(of), subject=subject, why=Why(why))
            for of, subject, why in whole["left_out"]
        ),
    )


def _fact_list(fact: Fact) -> list[Any]:
    sample = [fact.sample.count, fact.sample.size] if fact.sample else None
    return [
        fact.quantity.value,
        fact.made_as,
        fact.subject,
        fact.at.isoformat(),
        fact.position,
        fact.value,
        fact.target,
        sample,
        fact.crew,
        fact.lot,
    ]


def _facts(whole: dict[str, Any]) -> Iterator[Fact]:
    if not whole["facts"]:
        return
    specification, sha256 = whole["source"]
    source = Source(job=whole["job"], specification=specification, specification_sha256=sha256)
    for of, made_as, subject, at, position, value, target, sample, crew, lot in whole["facts"]:
        yield Fact(
            source=source,
            quantity=Quantity(of),
            made_as=made_as,
            subject=subject,
            at=datetime.fromisoformat(at),
            position=position,
            value=value,
            target=target,
            sample=Sample(count=sample[0], size=sample[1]) if sample else None,
            crew=crew,
            lot=lot,
        )
