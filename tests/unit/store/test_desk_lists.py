"""A list of the desk is a stretch of an index, however many jobs the firm has."""

from __future__ import annotations

from sqlalchemy import event

from qa.store.desk_lists import list_packs_due
from qa.store.store import Store
from tests.unit.store.entry_rows import ON_SQLITE


@ON_SQLITE
def test_packs_due_are_found_by_their_own_index(store: Store) -> None:
    sent: list[tuple[str, object]] = []
    event.listen(store.engine, "before_cursor_execute", lambda *call: sent.append(call[2:4]))
    with store.adding() as connection:
        list_packs_due(connection, firm_id="firm-1", most=20)
        statement, parameters = sent[-1]
        plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters).all()  # type: ignore[arg-type]
    told = " ".join(str(row[-1]) for row in plan)
    assert "USING INDEX ix_job_firm_id_pack_due" in told
    assert "TEMP B-TREE" not in told
