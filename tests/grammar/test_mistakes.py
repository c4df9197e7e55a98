"""The catalogue of known mistakes: each is explained by its own entry and put right."""

from __future__ import annotations

import pytest

from grammar.errors import QueryError
from grammar.mistake_shapes import Mistake
from grammar.mistakes import KNOWN
from grammar.parse import explained, parse
from grammar.tree import Span


def _error(mistake: Mistake) -> QueryError:
    try:
        parse(mistake.broken)
    except QueryError as error:
        return error
    assert mistake.reads  # it parses as words that nothing bears: the binder asks for this
    whole = Span(0, len(mistake.broken))
    return explained(QueryError("nothing", mistake.broken, whole), mistake.broken, parsed=True)


@pytest.mark.parametrize("mistake", KNOWN, ids=lambda mistake: mistake.name)
def test_a_mistake_is_explained_by_its_own_entry_and_put_right(mistake: Mistake) -> None:
    error = _error(mistake)
    assert error.sentence == mistake.sentence
    assert error.span is not None
    if error.repaired is None:
        assert error.hint == f"For example: {mistake.repaired}"
    else:
        assert error.repaired == mistake.repaired
    assert parse(mistake.repaired)


def test_no_two_entries_share_a_name_or_a_sentence_with_another_cure() -> None:
    assert len({mistake.name for mistake in KNOWN}) == len(KNOWN)
    assert len({mistake.broken for mistake in KNOWN}) == len(KNOWN)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (
            "select speaker, role from speakers where ohms == 4 && role <> tweeter "
            "order by ohms desc limit 5;",
            "speakers where ohms = 4 and role != tweeter sorted by ohms down first 5 "
            "show speaker, role",
        ),
        ("SELECT COUNT(*) FROM pins WHERE wire = 'GY/BK'", "count pins WHERE wire = 'GY/BK'"),
        ("list all speakers", "speakers"),
        ("speakers where role:tweeter AND ohms:4", "speakers where role = tweeter AND ohms = 4"),
        ("speakers where ohms>=4||role=tweeter", "speakers where ohms>=4 or role=tweeter"),
        (
            "vehicles where no speaker ohms is unknown and year = 2022",
            "vehicles where no speaker (ohms is unknown) and year = 2022",
        ),
        ("speakers of a and b with k, p", "speakers of a, b with k + p"),
        ("speakers where ((ohms < 4) and (x = 1)", "speakers where ((ohms < 4) and (x = 1))"),
        ('speakers where text ~ "a == b', 'speakers where text ~ "a == b"'),
    ],
)
def test_several_mistakes_in_one_line_are_put_right_together(typed: str, meant: str) -> None:
    with pytest.raises(QueryError) as caught:
        parse(typed)
    assert caught.value.repaired == meant
    assert parse(meant)


def test_what_looks_like_a_mistake_inside_quotes_is_left_alone() -> None:
    assert parse('speakers where place ~ "a == b && c: d; (" and ohms < 4')
    with pytest.raises(QueryError) as caught:
        parse('speakers where place ~ "a == b" xx yy = 3')
    assert "equals" not in caught.value.sentence
