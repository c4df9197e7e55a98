"""Trees at random, of every node, for laws that hold for all of them."""

from __future__ import annotations

from hypothesis import strategies as st

from grammar.tree import (
    SIGNS,
    And,
    AnyPath,
    Between,
    Compare,
    IsUnknown,
    Mention,
    Not,
    OneOf,
    Or,
    Path,
    Quantified,
    Query,
    SortKey,
    Things,
    Value,
    Words,
)
from grammar.unparse import RESERVED

plain = st.from_regex(r"[a-zéÖ0-9_.#/°-][a-z0-9_./#°+-]{0,7}", fullmatch=True).filter(
    lambda word: word.lower() not in RESERVED | {"no", "count"}
)
special = st.sampled_from(
    ["fed", "left", "out", "unknown", "known", "Count", "AND-or", "16", "of-a"]
)
word = plain | special
first_word = word
subject = plain.filter(lambda word: not word.isdigit()).map(lambda word: Words((word,)))


def _speaks(parts: list[str]) -> bool:
    text = " ".join(parts).lower()
    return "at least" not in text and not any(
        a == "first" and b.isdigit() for a, b in zip(text.split(), text.split()[1:], strict=False)
    )


fields = (
    st.tuples(first_word, st.lists(word | st.sampled_from(["by", "for"]), max_size=2))
    .map(lambda made: [made[0], *made[1]])
    .filter(_speaks)
    .map(lambda parts: Words(tuple(parts)))
)
# Whatever a person may quote: any text without the parser's stand-in, controls included.
texts = st.text(
    st.characters(exclude_characters="\ue000", exclude_categories=["Cs"]), max_size=12
) | st.sampled_from(["16 awg", "2/0 awg", "grey/black", 'a"b', "it's", "left out", "no", "first 2"])
values = texts.map(Value)
names = texts.map(Value)

leaves = st.one_of(
    st.builds(Compare, fields, st.sampled_from(SIGNS), values),
    st.builds(OneOf, fields, st.lists(values, min_size=1, max_size=3).map(tuple)),
    st.builds(Between, fields, values, values),
    st.builds(IsUnknown, fields),
    st.builds(Mention, fields),
)


def _more(inner: st.SearchStrategy) -> st.SearchStrategy:
    several = st.lists(inner, min_size=2, max_size=3).map(tuple)
    least = st.integers(min_value=1, max_value=99)
    return st.one_of(
        several.map(And),
        several.map(Or),
        inner.map(Not),
        st.builds(
            Quantified,
            st.sampled_from(["any", "every", "no"]),
            st.just(1),
            subject,
            st.none() | inner,
        ),
        st.builds(Quantified, st.just("at least"), least, subject, st.none() | inner),
    )


conditions = st.recursive(leaves, _more, max_leaves=6)

_several = st.lists(names, min_size=1, max_size=3).map(tuple)
_scope_lists = st.lists(
    st.one_of(
        st.builds(Things, st.just("of"), _several),
        st.builds(Things, st.just("on"), _several),
        st.builds(Path, _several),
        st.builds(AnyPath, subject),
    ),
    max_size=3,
    unique_by=lambda scope: scope.relation if isinstance(scope, Things) else "with",
).map(tuple)

queries = st.builds(
    Query,
    subject=subject,
    count=st.booleans(),
    scopes=_scope_lists,
    where=st.none() | conditions,
    show=st.lists(fields, max_size=2).map(tuple),
    order=st.lists(st.builds(SortKey, fields, st.booleans()), max_size=2).map(tuple),
    first=st.none() | st.integers(min_value=1, max_value=1_000_000_000),
)
counts = st.builds(
    Query,
    subject=subject,
    count=st.just(True),
    by=fields,
    scopes=_scope_lists,
    where=st.none() | conditions,
)
