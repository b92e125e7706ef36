"""Batches and instruments of a firm's other jobs, so that nobody types them twice."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from qa.record.fields import Json
from qa.record.kinds.supplies import Instrument, Lot
from qa.record.registry import BODY_READERS, Kind
from qa.services.access import Act, Actor, require
from qa.store.earlier_supplies import LotInForce, earlier_entries, lots_in_force
from qa.trade.vocabulary import Material

if TYPE_CHECKING:
    from qa.services.installation import Installation

MOST_OFFERED = 12
"""A list that is longer takes longer to read than a batch number to type."""


def earlier_lots(installation: Installation, actor: Actor, job_id: str) -> tuple[Lot, ...]:
    """Batches of the firm's other jobs, the one registered last first, each once."""
    require(actor, Act.RECORD_WORK)
    with installation.store.reading() as session:
        entries = earlier_entries(
            session, firm_id=actor.firm_id, but_job_id=job_id, kind=Kind.LOT.value
        )
        in_force = lots_in_force(session, firm_id=actor.firm_id)
    lots: dict[tuple[str, str, str], Lot] = {}
    for entry in entries:
        now = in_force.get((entry.job_id, entry.seq))
        if now is None:  # withdrawn since
            continue
        lot = _as_corrected(entry.body, now)
        lots.setdefault((lot.material, lot.product, lot.batch_number), lot)
    return tuple(lots.values())[:MOST_OFFERED]


def _as_corrected(body: Json, now: LotInForce) -> Lot:
    """A lot as it was written first, called what it is called now."""
    lot = BODY_READERS[Kind.LOT](body)
    assert isinstance(lot, Lot)
    return replace(
        lot,
        material=Material(now.material),
        product=now.product,
        batch_number=now.batch_number,
        use_by=now.use_by,
    )


def earlier_instruments(
    installation: Installation, actor: Actor, job_id: str
) -> tuple[Instrument, ...]:
    """Instruments of the firm's other jobs, the one registered last first, each once."""
    require(actor, Act.RECORD_WORK)
    with installation.store.reading() as session:
        entries = earlier_entries(
            session, firm_id=actor.firm_id, but_job_id=job_id, kind=Kind.INSTRUMENT.value
        )
    instruments: dict[tuple[str, str | None], Instrument] = {}
    for entry in entries:
        one = BODY_READERS[Kind.INSTRUMENT](entry.body)
        assert isinstance(one, Instrument)
        instruments.setdefault((one.name, one.serial), one)
    return tuple(instruments.values())[:MOST_OFFERED]
