"""`words`: everything that can be asked, from the same catalogue that answers."""

from __future__ import annotations

import argparse
import json
import re
from typing import TYPE_CHECKING, Any

from tui.report import DONE, say

if TYPE_CHECKING:
    from kb.query.catalogue import Subject

HELP = "Everything that can be asked: subjects, their fields and words, values and units."

GRAMMAR = (
    ("a question", "SUBJECT, then of / for / on / with, then where, then show / sorted by / first"),
    ("of A, B", "vehicles by id, by quoted words, or by VIN; kits for leads; ids for entries"),
    ("with KIT + PART", "a kit with parts of choice; with any kit: each one that plugs in"),
    ("= != < <= > >=", "compare; words in any case; 16 awg, 1.5 mm2, 12 ft, 4 ohm"),
    ("~", "contains, as it is written: nothing is a wildcard, several words are one phrase"),
    ("in (A, B)", "any of them; between A and B: both ends count"),
    ("is unknown", "nobody documented it; is known: somebody did"),
    ("= none", "known to be absent: an empty way, a plain wire's stripe, an open span's end"),
    ("and or not ( )", "and binds closer than or"),
    ("any every no", "any speaker (role = tweeter), at least 2 speakers (...)"),
    ("show F, G", "which fields; sorted by F down; first 20"),
    ("count S by F", "how many, split by a field"),
)

_ALSO_TOLD = frozenset(
    {"at", "count", "first", "known", "least", "no", "none", "sorted", "unknown"}
)
"""Words of the rules above that also stand in names, so that nothing reserves them."""

WHEN = "when"
"""Lists what the condition of a kit's setting or of a step can speak of."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which subject, if not all of them."""
    parser.add_argument(
        "subject",
        nargs="?",
        metavar="SUBJECT",
        help=f"only this subject, a word such as `with`, or `{WHEN}`",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """List the catalogue."""
    from kb.plan.fact_names import FACTS
    from kb.query.subjects import SUBJECTS
    from tui.main import UsageError

    named = arguments.subject
    if named is not None and not named.strip():
        raise UsageError("name a subject, a word of the language, or nothing for all")
    grammar = GRAMMAR if named is None else _rules_of(named)
    subjects: tuple[Subject, ...] = SUBJECTS
    if named is not None:
        subjects = () if named == WHEN or grammar else (_named_subject(named),)
    facts = FACTS if named in (None, WHEN) else {}
    if arguments.json:
        made: object = [_subject_json(subject) for subject in subjects]
        if named is not None and not subjects:
            made = FACTS if named == WHEN else dict(grammar)
        say(json.dumps(made, ensure_ascii=False))
        return DONE
    from tui.drawing.words_page import words_page
    from tui.ink import ink_for_output
    from tui.tables import terminal_width

    say("\n".join(words_page(subjects, grammar, facts, terminal_width(), ink_for_output())))
    return DONE


def _rules_of(named: str) -> tuple[tuple[str, str], ...]:
    """What is told of a word or a sign of the language; nothing of any other."""
    from grammar.expect import TYPED
    from grammar.unparse import RESERVED

    word = " ".join(named.lower().split())
    signs = {sign for typed in TYPED.values() for sign in typed}
    if word not in RESERVED | signs | _ALSO_TOLD:
        return ()
    head = word.split()[0]
    told = [rule for rule in GRAMMAR if head in rule[0].split()]
    return tuple(told or [rule for rule in GRAMMAR if head in re.split(r"[\s,;:]+", rule[1])])


def _named_subject(named: str) -> Subject:
    from grammar.errors import QueryError
    from grammar.tree import Span, Words
    from kb.query.bind import subject_of

    try:
        return subject_of(Words((named,), Span(0, len(named))), named)
    except QueryError as error:
        # What is offered is a question; here its subject alone is wanted.
        meant = (error.repaired or "").partition(" ")[0]
        error.repaired = f"loombook words {meant}" if meant else None
        if not meant:
            error.hint = _where_it_is(named)
        raise


def _where_it_is(word: str) -> str | None:
    """Which subjects have a field of this name or kind, or one that takes this value."""
    from grammar.tree import word_key
    from kb.query.subjects import SUBJECTS

    key, said = word_key(word), []
    for subject in SUBJECTS:
        fields = [
            field.name
            for field in subject.fields
            if key in (field.key, *map(word_key, field.said), *field.choices_by_key)
            or key in word_key(field.kind.value).split("_")
        ]
        if fields:
            said.append(f"{subject.name} ({', '.join(fields)})")
    return f"It is a field, or a value of one: {'; '.join(said)}." if said else None


def _subject_json(subject: Subject) -> dict[str, Any]:
    return {
        "subject": subject.name,
        "help": subject.help,
        "fields": [
            {
                "name": field.name,
                "key": field.key,
                "holds": field.kind.value,
                "help": field.help,
                "values": list(field.choices),
                "needs": field.needs or None,
                "listed": field.listed,
            }
            for field in subject.fields
        ],
        "words": [flag.name for flag in subject.flags],
        "inside": list(subject.parts),
    }
