"""What lists show of batches: which a job holds, and where each of them went."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

from qa.record.kinds.supplies import Lot, Mix, Usage
from qa.record.schema import Body
from qa.store.batches import batch_key
from qa.store.summary_lines import LaidLine, LotLine


def lot_line(lot: Lot, *, seq: int) -> LotLine:
    """A batch as lists show it.

    Args:
        lot: the batch.
        seq: place in the record of the entry that registered it.
    """
    return LotLine(
        lot=lot.lot,
        material=lot.material,
        product=lot.product,
        batch_number=lot.batch_number,
        use_by=lot.use_by,
        batch_key=batch_key(lot.batch_number),
        seq=seq,
    )


def laid_lines(entry_id: str, at: datetime, body: Body) -> Iterator[LaidLine]:
    """Where an entry says that batches went; nothing for an entry that uses none.

    Args:
        entry_id: of the entry.
        at: its stated time.
        body: as it is in force.
    """
    if not isinstance(body, Mix | Usage):
        return
    lots = (body.lot, body.catalyst_lot) if isinstance(body, Mix) else (body.lot,)
    for lot in dict.fromkeys(lots):
        yield LaidLine(
            lot=lot,
            entry_id=entry_id,
            stage=body.stage.value,
            area=body.area,
            mix=body.mix if isinstance(body, Mix) else "",
            bays=" ".join(body.bays or ()) if isinstance(body, Mix) else "",
            at=at.astimezone(UTC),
        )
