"""What is set aside is found by its state: every key in the browser's field asks for it."""

from __future__ import annotations

from kb.query.set_aside import set_aside
from tests.kb.query.conftest import Asked


def test_the_book_is_not_gone_through_for_what_few_entries_are(shipped: Asked) -> None:
    ran: list[str] = []
    shipped.connection.set_trace_callback(ran.append)
    try:
        assert set_aside(shipped.connection, "tarn") == ()
    finally:
        shipped.connection.set_trace_callback(None)
    (sql,) = (one for one in ran if "returned" in one)
    plan = [row[3] for row in shipped.connection.execute(f"EXPLAIN QUERY PLAN {sql}")]
    assert any("USING INDEX entry_state" in step for step in plan), plan
    assert not any(step.startswith("SCAN e") for step in plan), plan
