"""A field of another subject: `kits where plug = HT-20`, where the leads of a kit have one.

What a row consists of is asked about with `any`, so the condition is offered within it, where it is
plain of which of its things it is said. It stands apart because only a field that the subject has
not comes here.
"""

from __future__ import annotations

import re

from grammar.tree import Between, Compare, IsUnknown, OneOf, Words
from kb.query.catalogue import Subject
from kb.query.lookup import Lookup
from kb.query.subjects import SUBJECTS_BY_WORD

_TURNED = re.compile(r"!=|\bnot\b", re.IGNORECASE)


def within_a_part(lookup: Lookup, condition: Compare | OneOf | Between | IsUnknown) -> str | None:
    """The query with the condition within `any`: None of a condition that is turned round, which
    might be meant of every one of them.
    """
    text = lookup.text[condition.span.start : condition.span.end]
    part = part_with(lookup.subject, condition.field)
    if part is None or _TURNED.search(text):
        return None
    return lookup.replaced(condition.span, f"any {part.singular} ({text})")


def part_with(subject: Subject, words: Words) -> Subject | None:
    """The one kind of thing of a row that has a field of this name as its own."""
    having = [
        part
        for part in (SUBJECTS_BY_WORD[name] for name in subject.parts)
        if (field := part.fields_by_key.get(words.key)) and not field.needs
    ]
    own = [part for part in having if not set(part.fields_by_key[words.key].joins) - {"vehicle"}]
    found = having if len(having) == 1 else own
    return found[0] if len(found) == 1 else None
