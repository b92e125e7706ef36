"""Reading of a specification's checks."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from qa.errors import DomainError
from qa.specification.check_rules import misfits
from qa.specification.known_checks import KNOWN_CHECKS
from qa.specification.model import Basis, Check, Form, Need, Per
from qa.specification.table import Table
from qa.trade.conformity import Limits
from qa.trade.vocabulary import Stage


class _Answer(StrEnum):
    YES = "yes"
    NO = "no"


def read_checks(root: Table, hold_points: tuple[Stage, ...] | None) -> Mapping[str, Check]:
    """Read every check of the file, and note the ones that are missing or that nothing judges.

    Args:
        root: the file's own keys.
        hold_points: the stages that a supervisor releases, or None where they are not known.

    Returns:
        The checks without a fault by their keys, in the order of the file.
    """
    checks: dict[str, Check] = {}
    groups = root.table("check")
    absent = dict.fromkeys(KNOWN_CHECKS)
    for group_name, group in groups.tables():
        for name, table in group.tables():
            key = f"{group_name}.{name}"
            absent.pop(key, None)
            if key not in KNOWN_CHECKS:
                group.note(name, f"{name} is not a check that is judged; correct or remove it.")
            elif (check := _read_check(table, key, hold_points)) is not None:
                checks[key] = check
    for key in absent:
        groups.note(key, f"{key} is missing; {_HOW_TO_SPARE_A_CHECK}")
    return MappingProxyType(checks)


_HOW_TO_SPARE_A_CHECK = (
    "copy it from the general specification, and write "
    'need = "if_recorded" there if your firm cannot record it.'
)


def _read_check(table: Table, key: str, hold_points: tuple[Stage, ...] | None) -> Check | None:
    expects = table.optional(lambda name: table.choice(name, _Answer), "expects")
    check = Check(
        key=key,
        stages=tuple(sorted(table.choices("stages", Stage), key=lambda stage: stage.order)),
        form=table.choice("form", Form),
        per=table.choice("per", Per),
        need=table.choice("need", Need),
        unit=table.optional(table.text, "unit"),
        limits=_read_limits(table),
        below_pct=_read_tolerance(table, "below_pct", most=100.0),
        above_pct=_read_tolerance(table, "above_pct", most=1000.0),
        expects=None if expects is None else expects is _Answer.YES,
        quantity=table.text("quantity"),
        plain=table.text("plain"),
        plain_good=table.optional(table.text, "plain_good"),
        plain_bad=table.optional(table.text, "plain_bad"),
        basis=table.choice("basis", Basis),
        source=table.text("source"),
    )
    table.refuse_rest()
    if table.is_faulty:
        return None
    known = KNOWN_CHECKS[key]
    for name, sentence in misfits(check, known, known.stages(hold_points)):
        table.note(name, sentence)
    return check


def _read_limits(table: Table) -> Limits:
    lower = table.optional(table.number, "lower")
    upper = table.optional(table.number, "upper")
    if not table.is_sound("lower", "upper"):
        return Limits()
    try:
        return Limits(lower=lower, upper=upper)
    except DomainError as error:
        table.note("lower", str(error))
        return Limits()


def _read_tolerance(table: Table, key: str, *, most: float) -> float | None:
    percent = table.optional(table.number, key)
    if percent is not None and not 0.0 <= percent <= most:
        table.note(key, f"{key} is {percent:g}; write a share from 0 to {most:g} %.")
    return percent
