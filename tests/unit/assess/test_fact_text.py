"""Facts of a job as text, and back: nothing is lost."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from qa.assess.fact import Fact, JobFacts, LeftOut, Quantity, Sample, Source, Why
from qa.assess.fact_text import facts_text, read_facts_text

SOURCE = Source(job="J-1", specification="general-grp/1", specification_sha256="0" * 64)


def fact(subject: str, **other: object) -> Fact:
    values = {
        "source": SOURCE, "quantity": Quantity.DOSE_ERROR, "made_as": "resin", "subject": subject,
        "at": datetime(2026, 5, 12, 9, 30, tzinfo=ZoneInfo("Europe/London")), "position": 4,
        "value": -3.25, "target": 0.0, "crew": "ines + otto", "lot": None,
    }  # fmt: skip
    return Fact(**{**values, **other})  # type: ignore[arg-type]


def test_facts_are_read_back_as_they_were_written() -> None:
    counted = fact("main", quantity=Quantity.PINHOLES, sample=Sample(count=2, size=3.5), lot="R 1")
    left = LeftOut(job="J-1", quantity=Quantity.RESIN, subject="main", why=Why.NO_MASS)
    facts = JobFacts(job="J-1", facts=(fact("mix-1"), counted), left_out=(left,))
    assert read_facts_text(facts_text(facts)) == facts


def test_order_of_facts_does_not_change_the_text() -> None:
    one, other = fact("mix-1"), fact("mix-2")
    texts = {
        facts_text(JobFacts(job="J-1", facts=both, left_out=()))
        for both in ((one, other), (other, one))
    }
    assert len(texts) == 1


def test_job_without_facts_is_read_back() -> None:
    nothing = JobFacts(job="J-1", facts=(), left_out=())
    assert read_facts_text(facts_text(nothing)) == nothing
