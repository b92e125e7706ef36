"""Batches across a firm's jobs: which there are, and everything that one of them went into."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import and_, func, select

from qa.store.prefixes import begins_with
from qa.store.store import Database
from qa.store.tables.ledger import JobRow
from qa.store.tables.summaries import LotLaidRow, LotUsedRow
from qa.store.tables.work import PackRow

LONGEST_KEY = 160


def batch_key(batch_number: str) -> str:
    """A batch number as it is looked for: without case, and without blanks round or doubled."""
    return " ".join(batch_number.casefold().split())[:LONGEST_KEY]


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedBatch:
    """A batch number in a list.

    Attributes:
        product: of it; the first by name where several makers use the same number.
        jobs: how many jobs hold it.
    """

    batch_number: str
    product: str
    material: str
    jobs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidBatch:
    """One entry that used a batch; empty text stands for what it does not name."""

    entry_id: str
    stage: str
    area: str
    mix: str
    bays: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldingPack:
    """A pack that tells of a batch."""

    number: int
    kind: str
    made_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldingJob:
    """A job that holds a batch.

    Attributes:
        lot: the job's own key of it.
        laid: the entries that used it, in order of time.
        packs: those that were made after it was registered.
    """

    job_id: str
    reference: str
    title: str
    time_zone: str
    lot: str
    batch_number: str
    material: str
    product: str
    laid: tuple[LaidBatch, ...]
    packs: tuple[HoldingPack, ...]


def list_batches(
    database: Database, *, firm_id: str, begins: str = "", most: int, skip: int = 0
) -> tuple[ListedBatch, ...]:
    """A firm's batches by number.

    Args:
        database: of the store.
        firm_id: the firm.
        begins: what the number must begin with.
        most: how many to answer.
        skip: how many to leave out before.
    """
    query = (
        select(
            func.min(LotUsedRow.batch_number),
            func.min(LotUsedRow.product),
            func.min(LotUsedRow.material),
            func.count(func.distinct(LotUsedRow.job_id)),
        )
        .where(LotUsedRow.firm_id == firm_id, begins_with(LotUsedRow.batch_key, batch_key(begins)))
        .group_by(LotUsedRow.batch_key)
        .order_by(LotUsedRow.batch_key)
        .limit(most)
        .offset(skip)
    )
    return tuple(
        ListedBatch(batch_number=number, product=product, material=material, jobs=jobs)
        for number, product, material, jobs in database.execute(query)
    )


def trace(database: Database, batch_number: str, *, firm_id: str) -> tuple[HoldingJob, ...]:
    """Every job of a firm that holds a batch, by reference, with where it went."""
    held = database.execute(
        select(
            JobRow.id,
            JobRow.reference,
            JobRow.title,
            JobRow.time_zone,
            LotUsedRow.lot,
            LotUsedRow.batch_number,
            LotUsedRow.material,
            LotUsedRow.product,
            LotUsedRow.seq,
        )
        .join(JobRow, JobRow.id == LotUsedRow.job_id)
        .where(LotUsedRow.firm_id == firm_id, LotUsedRow.batch_key == batch_key(batch_number))
        .order_by(JobRow.reference, JobRow.id, LotUsedRow.lot)
    ).all()
    laid = _laid(database, batch_number, firm_id)
    packs = _packs(database, batch_number, firm_id)
    return tuple(
        HoldingJob(
            job_id=row.id,
            reference=row.reference,
            title=row.title,
            time_zone=row.time_zone,
            lot=row.lot,
            batch_number=row.batch_number,
            material=row.material,
            product=row.product,
            laid=tuple(laid.get((row.id, row.lot), ())),
            packs=tuple(pack for entries, pack in packs.get(row.id, ()) if entries > row.seq),
        )
        for row in held
    )


def _laid(
    database: Database, batch_number: str, firm_id: str
) -> dict[tuple[str, str], list[LaidBatch]]:
    of_lot = and_(LotLaidRow.job_id == LotUsedRow.job_id, LotLaidRow.lot == LotUsedRow.lot)
    rows = database.execute(
        select(
            LotLaidRow.job_id,
            LotLaidRow.lot,
            LotLaidRow.entry_id,
            LotLaidRow.stage,
            LotLaidRow.area,
            LotLaidRow.mix,
            LotLaidRow.bays,
            LotLaidRow.at,
        )
        .select_from(LotUsedRow)
        .join(LotLaidRow, of_lot)
        .where(LotUsedRow.firm_id == firm_id, LotUsedRow.batch_key == batch_key(batch_number))
        .order_by(LotLaidRow.at, LotLaidRow.entry_id)
    )
    laid: dict[tuple[str, str], list[LaidBatch]] = {}
    for job, lot, *rest in rows:
        names = ("entry_id", "stage", "area", "mix", "bays", "at")
        laid.setdefault((job, lot), []).append(LaidBatch(**dict(zip(names, rest, strict=True))))
    return laid


def _packs(
    database: Database, batch_number: str, firm_id: str
) -> dict[str, Sequence[tuple[int, HoldingPack]]]:
    """The packs that were made of the jobs, each with how many entries it covers."""
    holding = select(LotUsedRow.job_id).where(
        LotUsedRow.firm_id == firm_id, LotUsedRow.batch_key == batch_key(batch_number)
    )
    rows = database.execute(
        select(PackRow.job_id, PackRow.entries, PackRow.number, PackRow.kind, PackRow.made_at)
        .where(PackRow.job_id.in_(holding), PackRow.made_at.is_not(None))
        .order_by(PackRow.number)
    )
    packs: dict[str, list[tuple[int, HoldingPack]]] = {}
    for job, entries, number, kind, made_at in rows:
        pack = HoldingPack(number=number, kind=kind, made_at=made_at)
        packs.setdefault(job, []).append((entries or 0, pack))
    return dict(packs)
