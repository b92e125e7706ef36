"""What the warranty file shows of findings: all of them, each once, none in a milder word."""

from __future__ import annotations

import html
import re
from functools import cache
from itertools import chain

import pytest

from qa.packs.source import PackSource
from qa.packs.verdicts import Standing, standing_of
from qa.packs.warranty import warranty_file
from qa.packs.warranty.assembly import NUMERALS
from qa.packs.warranty.bays import bays
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.conditions import conditions
from qa.packs.warranty.families import Family, family_of, said_of_set, sets_of
from qa.packs.warranty.mixes import mixes
from qa.packs.warranty.stages import stages
from qa.packs.warranty.summary import summary
from tests.unit.packs.warranty.warranty_job import late_photo, warranty_job, warranty_source


@cache
def source() -> PackSource:
    return warranty_source(late_photo(warranty_job()))


@cache
def page() -> str:
    return html.unescape(warranty_file(source()).html)


def shown_by_family() -> dict[Family, int]:
    job, citing = source(), Citing(source())
    return {
        Family.MIX: sum(r.findings for t in mixes(job, citing).tables for r in t.rows),
        Family.CONDITIONS: sum(r.findings for t in conditions(job, citing).tables for r in t.rows),
        Family.BAY: sum(r.findings for a in bays(job, citing).areas for r in a.rows),
    }


def test_every_finding_is_shown_exactly_once() -> None:
    story = stages(source(), Citing(source()), NUMERALS)
    own = sum(row.findings for stage in story.stages for row in stage.rows)
    assert own + sum(shown_by_family().values()) == len(source().assessment.findings)


@pytest.mark.parametrize("family", list(Family))
def test_every_finding_of_a_family_stands_in_its_chapter(family: Family) -> None:
    findings = source().assessment.findings
    assert shown_by_family()[family] == sum(family_of(found) is family for found in findings) > 0


def test_count_of_open_nonconformities_points_at_them() -> None:
    groups = summary(source(), Citing(source())).groups
    (told,) = (
        told
        for group in groups
        for told in group.findings
        if told.exact.startswith("nonconformities neither closed")
    )
    assert re.fullmatch(r"See nonconformit(y|ies) [\d, ]+\.", told.done)


def test_late_entry_is_said_to_stay_late() -> None:
    dones = [
        told.done for group in summary(source(), Citing(source())).groups for told in group.findings
    ]
    assert "A late entry cannot be put right: it is kept, and marked as late." in dones


def test_clock_hours_are_not_called_equivalent() -> None:
    story = stages(source(), Citing(source()), NUMERALS)
    rows = [row for stage in story.stages for row in stage.rows if "first topcoat mix" in row.check]
    assert {row.check.split()[0] for row in rows if "72" in row.limits} == {"clock"}


def test_every_standing_occurs_in_the_job_of_these_tests() -> None:
    standings = set(map(standing_of, source().assessment.findings))
    assert standings >= set(Standing) - {Standing.NOT_APPLICABLE}


def test_exact_sentence_of_each_troubled_finding_is_printed() -> None:
    untroubled = (Standing.WITHIN, Standing.NOT_RECORDED, Standing.NOT_APPLICABLE)
    troubled = [f for f in source().assessment.findings if standing_of(f) not in untroubled]
    assert [found.exact for found in troubled if found.exact not in page()] == []


def test_summary_counts_what_the_assessment_found() -> None:
    told = summary(source(), Citing(source()))
    findings = source().assessment.findings
    assert told.totals[0] == len(findings)
    assert sum(told.totals[1:]) == len(findings)
    assert [sum(column) for column in zip(*(row.counts for row in told.stages), strict=True)] == (
        list(told.totals[1:])
    )


def test_summary_names_everything_that_was_not_recorded() -> None:
    told = summary(source(), Citing(source()))
    absent = [f for f in source().assessment.findings if standing_of(f) is Standing.NOT_RECORDED]
    assert sum(stage.count for stage in told.missing) == len(absent) == told.missing_total
    checks = source().specification.checks
    quantities = {checks[found.check].quantity for found in absent}
    named = " ".join(chain.from_iterable(stage.checks for stage in told.missing))
    assert all(quantity in named for quantity in quantities)


def test_open_finding_says_that_nothing_was_done() -> None:
    groups = {group.key: group for group in summary(source(), Citing(source())).groups}
    opened = groups["summary-outside"].findings
    assert any(found.done == "Nothing is recorded that was done about it." for found in opened)


def test_what_was_put_right_names_decision_and_closure() -> None:
    groups = {group.key: group for group in summary(source(), Citing(source())).groups}
    dose = next(f for f in groups["summary-put-right"].findings if "mix-5" in f.place)
    assert dose.done.startswith("Nonconformity 1, raised 13 May")
    assert "rework (13 May" in dose.done
    assert "closed (13 May" in dose.done


def test_repair_of_a_bay_cites_the_second_look() -> None:
    groups = {group.key: group for group in summary(source(), Citing(source())).groups}
    pinholes = next(f for f in groups["summary-put-right"].findings if "r2b3" in f.place)
    assert pinholes.done.startswith("Found within limits when looked at again (13 May")


def test_row_of_a_set_names_what_is_not_within() -> None:
    for of_set in sets_of(source().assessment.findings, Family.MIX).values():
        told = said_of_set(of_set)
        troubled = [found for found in of_set if standing_of(found) is not Standing.WITHIN]
        if troubled:
            assert told.mark != "within"
            assert told.word == min(map(standing_of, troubled), key=list(Standing).index).word


def test_last_column_cites_entry_time_and_person() -> None:
    story = stages(source(), Citing(source()), NUMERALS)
    fall = next(row for row in story.stages[0].rows if row.check == "finished fall")
    assert fall.cited == (
        "Extension: 11 May 08:20, ines, no.\u00a010",
        "Porch: 11 May 08:50, ines, no.\u00a016",
    )
    assert (fall.found, fall.limits) == ("14 mm per m", "at least 12.5 mm per m")
