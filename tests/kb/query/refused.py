"""What a refused question is told: held the same way wherever hints are tested."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from kb.query.run import ask
from tests.kb.query.conftest import Asked


def refused(asked: Asked, said: str) -> QueryError:
    """The refusal of a question; the test fails where it is answered."""
    with pytest.raises(QueryError) as caught:
        ask(asked.connection, said)
    return caught.value


def assert_meant(asked: Asked, said: str, meant: str) -> None:
    """The question is refused, exactly this one is offered instead, and that one runs."""
    assert refused(asked, said).repaired == meant
    ask(asked.connection, meant)
