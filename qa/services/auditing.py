"""How many roofs or photos of a lot to audit, and what an audit of so many can tell."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from fractions import Fraction
from math import ceil

from qa.errors import DomainError
from qa.trade.notation import number_text
from qa.trade.sampling import probability_passed, zero_acceptance_size
from qa.trade.sampling_plans import SamplingPlan, plan

SHARE_BAD_PCT = 10.0
RISK_PCT = 5.0
AQL_PCT = 2.5
"""What is asked where nobody says otherwise: project choice."""

HYPERGEOMETRIC = "Hypergeometric distribution, exact: a sample drawn without putting back."
STANDARD = "MIL-STD-105E, tables I and II-A: single sampling, normal inspection, general level II."


@dataclass(frozen=True, slots=True, kw_only=True)
class Audit:
    """Two ways to audit one lot.

    Attributes:
        items: what is audited, in the plural: "roofs".
        lot_size: how many there are.
        share_bad_pct: share of bad ones that must not pass unseen, %.
        bad: the number of them that is at least this share.
        risk_pct: greatest accepted chance of seeing none of them, %.
        zero_size: sample that finds at least one, but for the risk; it passes with none found.
        zero_missed: the chance that it still finds none.
        aql_pct: acceptable quality level, %.
        standard: the plan of the standard at that level.
        standard_missed: the chance that the plan lets the lot pass with so many bad ones.
    """

    items: str
    lot_size: int
    share_bad_pct: float
    bad: int
    risk_pct: float
    zero_size: int
    zero_missed: float
    aql_pct: float
    standard: SamplingPlan
    standard_missed: float


def plan_audit(
    lot_size: int,
    *,
    items: str = "roofs",
    share_bad_pct: float = SHARE_BAD_PCT,
    risk_pct: float = RISK_PCT,
    aql_pct: float = AQL_PCT,
) -> Audit:
    """How many of a lot to audit.

    Args:
        lot_size: how many there are, 2 or more.
        items: what they are, in the plural.
        share_bad_pct: share of bad ones that must not pass unseen, above 0 to 100 %.
        risk_pct: greatest accepted chance of seeing none of them, above 0 and below 100 %.
        aql_pct: acceptable quality level, %, one of `qa.trade.sampling_plans.QUALITY_LEVELS`.

    Raises:
        DomainError: a figure lies outside its range.
    """
    if not 0.0 < share_bad_pct <= 100.0:
        raise DomainError("share of bad ones, %", share_bad_pct, "above 0 to 100")
    if not 0.0 < risk_pct < 100.0:
        raise DomainError("risk of finding none, %", risk_pct, "above 0 and below 100")
    standard = plan(lot_size, aql_pct)
    # As the decimals that they are written as: 10 % of 60 is 6, not a little more.
    bad = ceil(lot_size * Fraction(str(share_bad_pct)) / 100)
    risk = float(Fraction(str(risk_pct)) / 100)
    zero_size = zero_acceptance_size(lot_size=lot_size, bad=bad, risk=risk)
    return Audit(
        items=items,
        lot_size=lot_size,
        share_bad_pct=share_bad_pct,
        bad=bad,
        risk_pct=risk_pct,
        zero_size=zero_size,
        zero_missed=_missed(lot_size, bad, zero_size, 0),
        aql_pct=aql_pct,
        standard=standard,
        standard_missed=_missed(lot_size, bad, standard.n, standard.accept),
    )


def _missed(lot_size: int, bad: int, sample: int, accept: int) -> float:
    return float(probability_passed(lot_size=lot_size, bad=bad, sample=sample, accept=accept))


def audit_text(audit: Audit) -> str:
    """The audit in words."""
    return "\n".join(_lines(audit)) + "\n"


def _lines(audit: Audit) -> Iterator[str]:
    standard, bad = audit.standard, audit.bad
    share = number_text(audit.share_bad_pct)
    yield f"{audit.lot_size} {audit.items}; {bad} bad ones ({share} %) must not pass unseen"
    yield f"To find one      {_of(audit, audit.zero_size)}, of which none may be bad"
    yield (
        f"  risk           with {bad} bad, none is found in {_pct(audit.zero_missed)} of cases; "
        f"at most {number_text(audit.risk_pct)} % is accepted"
    )
    yield f"  basis          {HYPERGEOMETRIC}"
    accepted = f"{_up_to(standard.accept)} may be bad; {standard.reject} fail the lot"
    yield f"By the standard  {_of(audit, standard.n)}, of which {accepted}"
    yield f"  risk           with {bad} bad, it passes in {_pct(audit.standard_missed)} of cases"
    yield f"  plan           {_plan_text(audit)}"
    yield f"  basis          {STANDARD}"
    yield "Draw them by chance, so that nobody chooses. One bad one found is a reason to look on."


def _up_to(accept: int) -> str:
    return "none" if accept == 0 else f"up to {accept}"


def _of(audit: Audit, sample: int) -> str:
    return f"all {sample}" if sample == audit.lot_size else f"{sample} of {audit.lot_size}"


def _pct(share: float) -> str:
    return f"{number_text(100.0 * share, 2)} %"


def _plan_text(audit: Audit) -> str:
    standard = audit.standard
    letter = f"code letter {standard.lot_letter}"
    if standard.letter != standard.lot_letter:
        letter += f", the table's arrow leads to {standard.letter}"
    return f"{letter}, acceptable quality level {number_text(audit.aql_pct)} %"


def audit_json(audit: Audit) -> str:
    """The audit as JSON."""
    answer = asdict(audit) | {"zero_basis": HYPERGEOMETRIC, "standard_basis": STANDARD}
    return json.dumps(answer, ensure_ascii=False, indent=1) + "\n"
