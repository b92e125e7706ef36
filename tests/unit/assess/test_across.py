"""Facts of many jobs on control charts: what is signalled, what is not, what is never mixed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from qa.assess.across import ChartKind, FactGroup, Grouping
from qa.assess.fact import Quantity, Why
from qa.errors import DomainError
from qa.trade.control_charts import ControlChart, ewma_chart, individuals_charts
from qa.trade.count_charts import p_chart, u_chart
from qa.trade.run_rules import RunRule
from tests.unit.assess.many_jobs import (
    DRIFTING,
    GENERAL,
    STEADY,
    add_mixes,
    compared,
    dosed,
    groups_of,
    only_group,
    opened,
    told,
)

DOSE = Quantity.DOSE_ERROR


def chart_of(group: FactGroup, kind: ChartKind) -> ControlChart:
    (drawn,) = (drawn for drawn in group.charts if drawn.kind is kind)
    return drawn.chart


def test_crew_that_drifts_is_signalled() -> None:
    group = only_group(compared(dosed(1, DRIFTING[:6]), dosed(2, DRIFTING[6:])), DOSE)
    assert group.has_signal
    rules = {s.rule for s in chart_of(group, ChartKind.INDIVIDUALS).signals}
    assert RunRule.SIX_RISING_OR_FALLING in rules
    # The average about the target sees it, and names the last mix.
    assert chart_of(group, ChartKind.EWMA).beyond[-1] == len(DRIFTING) - 1


def test_steady_crew_is_not_signalled() -> None:
    group = only_group(compared(dosed(1, STEADY[:6]), dosed(2, STEADY[6:])), DOSE)
    assert len(group.facts) == len(STEADY)
    assert not group.has_signal


def test_charts_are_those_of_the_trade() -> None:
    group = only_group(compared(dosed(1, DRIFTING)), DOSE)
    values = [fact.value for fact in group.facts]
    assert values == pytest.approx(list(DRIFTING))
    both = individuals_charts(values)
    assert chart_of(group, ChartKind.INDIVIDUALS) == both.individuals
    assert chart_of(group, ChartKind.MOVING_RANGES) == both.moving_ranges
    sigma = both.individuals.sigmas[0]
    assert chart_of(group, ChartKind.EWMA) == ewma_chart(values, target=0.0, sigma=sigma)


def test_constant_error_is_told_without_a_spread() -> None:
    """Sums in binary must not set limits: 157.5 ml on 5 kg is 5 % too much every time."""
    group = only_group(compared(dosed(1, [5.0] * 9)), DOSE)
    assert [drawn.kind for drawn in group.charts] == [
        ChartKind.INDIVIDUALS,
        ChartKind.MOVING_RANGES,
    ]
    assert chart_of(group, ChartKind.INDIVIDUALS).centre == 5.0
    assert not group.has_signal


def test_people_are_charted_apart() -> None:
    builder = opened(1)
    for error_pct in range(8):
        add_mixes(builder, [error_pct], by="ines")
        add_mixes(builder, [-error_pct], by="otto")
    groups = groups_of(compared(builder, by=Grouping.CREW), DOSE)
    assert [group.key for group in groups] == ["ines", "otto"]
    assert [fact.value for fact in groups[0].facts] == pytest.approx(list(range(8)))
    assert all(fact.crew == "otto" for fact in groups[1].facts)


def test_months_are_those_of_the_site() -> None:
    """Half past eleven in the evening of 31 May in UTC is June in London."""
    builder = opened(1)
    add_mixes(builder, [1.0], at="2026-05-31T22:30:00+00:00")
    add_mixes(builder, [2.0], at="2026-05-31T23:30:00+00:00")
    groups = groups_of(compared(builder, by=Grouping.MONTH), DOSE)
    assert [group.key for group in groups] == ["2026-05", "2026-06"]


def test_lots_are_told_by_batch_not_by_key() -> None:
    """Both jobs call their resin resin-1."""
    jobs = [dosed(n, [1.0], batch=batch) for n, batch in enumerate(("R 1", "R 2", "R 1"))]
    groups = groups_of(compared(*jobs, by=Grouping.LOT), DOSE)
    assert [group.key for group in groups] == [
        "Roofing resin, batch R 1",
        "Roofing resin, batch R 2",
    ]
    assert [fact.source.job for fact in groups[0].facts] == ["J-0", "J-2"]


def test_lot_that_was_never_registered_is_left_out() -> None:
    builder = opened(1)
    add_mixes(builder, [1.0], lot="unheard-of")
    comparison = compared(builder, by=Grouping.LOT)
    assert groups_of(comparison, DOSE) == []
    left = [left for left in comparison.left_out if left.quantity is DOSE]
    assert [(one.job, one.subject, one.why) for one in left] == [("J-1", "mix-1", Why.NO_LOT)]


def test_specifications_are_never_mixed() -> None:
    own = replace(GENERAL, name="our-firm/1")
    same_name = replace(GENERAL, sha256="0" * 64)
    jobs = [told(dosed(1, STEADY)), told(dosed(2, STEADY), own), told(dosed(3, STEADY), same_name)]
    for by in (Grouping.TOGETHER, Grouping.CREW, Grouping.MONTH):
        groups = groups_of(compared(*jobs, by=by), DOSE)
        in_each = [{fact.source.job for fact in group.facts} for group in groups]
        assert sorted(map(sorted, in_each)) == [["J-1"], ["J-2"], ["J-3"]]
        assert {group.specification for group in groups} == {"general-grp/1", "our-firm/1"}


def test_order_is_that_of_stated_time() -> None:
    """Folders come in any order, and an entry may tell of what was done before another."""
    early, late = opened(1), opened(2)
    add_mixes(late, [3.0], at="2026-05-26T12:00:00+01:00")
    add_mixes(early, [2.0], at="2026-05-19T09:00:00+01:00")
    add_mixes(early, [1.0], at="2026-05-19T09:30:00+02:00")
    group = only_group(compared(late, early, least_points=2), DOSE)
    assert [fact.value for fact in group.facts] == pytest.approx([1.0, 2.0, 3.0])
    assert (
        compared(early, late, least_points=2).groups == compared(late, early, least_points=2).groups
    )


def test_topcoat_and_resin_are_dosed_apart() -> None:
    builder = opened(1)
    add_mixes(builder, [1.0])
    add_mixes(builder, [0.0], stage="topcoat", lot="topcoat-1", catalyst_ml=5 * 20)
    groups = groups_of(compared(builder), DOSE)
    assert [(group.made_as, group.facts[0].value) for group in groups] == [
        ("resin", pytest.approx(1.0)),
        ("topcoat", 0.0),
    ]


def test_single_job_is_compared_with_itself() -> None:
    comparison = compared(dosed(1, STEADY))
    assert comparison.jobs == ("J-1",)
    assert not only_group(comparison, DOSE).is_too_short


def test_jobs_without_mixes_have_no_dose() -> None:
    comparison = compared(opened(1), opened(2))
    assert groups_of(comparison, DOSE) == []
    assert comparison.jobs == ("J-1", "J-2")


def test_no_job_at_all_is_an_empty_comparison() -> None:
    assert compared().groups == ()


@pytest.mark.parametrize(("points", "too_short"), [(7, True), (8, False), (9, False)])
def test_short_group_is_said_to_be_short(points: int, too_short: bool) -> None:
    group = only_group(compared(dosed(1, STEADY[:points])), DOSE)
    assert (group.is_too_short, group.charts == ()) == (too_short, too_short)
    assert len(group.facts) == points


def test_chart_of_one_point_is_refused() -> None:
    with pytest.raises(DomainError, match="must be 2 or more"):
        compared(least_points=1)


def test_pinholes_are_charted_by_their_area() -> None:
    jobs = []
    counts, sizes = (0, 1, 2, 0, 9), (1.0, 2.0, 1.0, 0.5, 1.0)
    for number, (pinholes, m2) in enumerate(zip(counts, sizes, strict=True)):
        jobs.append(opened(number))
        jobs[-1].add("examination", pinholes=pinholes, examined_m2=m2)
    group = only_group(compared(*jobs, least_points=5), Quantity.PINHOLES)
    chart = chart_of(group, ChartKind.U)
    reference = u_chart(counts, sizes)
    assert (chart.points, chart.centre, chart.upper) == (
        reference.points,
        reference.centre,
        reference.upper,
    )
    assert chart.beyond == (4,)


def test_long_run_without_a_pinhole_is_no_signal() -> None:
    """Where pinholes are rare, nine samples below the mean are the rule."""
    jobs = [opened(number) for number in range(12)]
    for number, job in enumerate(jobs):
        job.add("examination", pinholes=int(number in (0, 11)))
    group = only_group(compared(*jobs), Quantity.PINHOLES)
    assert RunRule.NINE_ON_ONE_SIDE not in {s.rule for s in group.charts[0].chart.signals}


def test_missing_photos_are_charted_as_shares() -> None:
    jobs = [opened(number) for number in range(3)]
    for job, photos in zip(jobs, (2, 1, 0), strict=True):
        for _ in range(photos):
            job.add("photo", stage="survey")
        job.add("sign_off", stage="survey")
    group = only_group(compared(*jobs, least_points=3), Quantity.PHOTOS_MISSING)
    chart = chart_of(group, ChartKind.P)
    assert chart.points == (0.0, 0.5, 1.0)
    assert chart.upper == p_chart((0, 1, 2), (2, 2, 2)).upper
