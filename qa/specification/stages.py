"""Reading of what a specification asks of each stage as a whole."""

from __future__ import annotations

from qa.specification.known_checks import KNOWN_CHECKS
from qa.specification.model import PhotoPer, PhotoRequest, StageRule
from qa.specification.table import Table
from qa.trade.vocabulary import WET_STAGES, Stage


def read_stages(root: Table) -> tuple[StageRule, ...]:
    """Read the rules of all stages, in the order of the work, but for those that have a fault."""
    table = root.table("stage")
    rules = [_read_stage(table.table(stage), stage) for stage in Stage]
    table.refuse_rest()
    return tuple(rule for rule in rules if rule is not None)


def _read_stage(table: Table, stage: Stage) -> StageRule | None:
    rule = StageRule(
        stage=stage,
        title=table.text("title"),
        plain=table.text("plain"),
        hold_point=table.flag("hold_point"),
        covered_by=table.optional(lambda key: table.choice(key, Stage), "covered_by"),
        photos=tuple(_read_photo(row, stage) for row in table.rows("photos")),
    )
    table.refuse_rest()
    cover = rule.covered_by
    if cover is not None and (cover not in WET_STAGES or cover.order <= stage.order):
        table.note("covered_by", f"{cover} has no mix that could cover this stage; correct it.")
    return None if table.is_faulty else rule


def _read_photo(row: Table, stage: Stage) -> PhotoRequest:
    request = PhotoRequest(
        text=row.text("text"),
        per=row.choice("per", PhotoPer),
        least=row.count("least", least=1),
        checks=row.optional(row.texts, "checks") or (),
    )
    row.refuse_rest()
    for key in request.checks:
        if not _is_judged_under(stage, key):
            row.note("checks", f"{key} is not a check of this stage; correct or remove it.")
    return request


def _is_judged_under(stage: Stage, key: str) -> bool:
    known = KNOWN_CHECKS.get(key)
    return known is not None and stage in (known.stages((stage,)) or ())
