"""Words to fields and flags of one subject, with the nearest known word where there is none."""

from __future__ import annotations

import re

from grammar.errors import QueryError
from grammar.tree import Span, Words, word_key
from grammar.unparse import write_value
from kb.query.catalogue import Field, Flag, Kind, Subject
from kb.query.subjects import SUBJECTS

_ASKS_FOR = {
    "kit": "a kit",
    "any kit": "any kit",
    "vehicle": "a vehicle",
    "several vehicles": "several vehicles",
}

LETTERS_A_SLIP = 3
"""So many letters of a word allow for one that is wrong, missing, too much or elsewhere."""


class Lookup:
    """The fields and flags of a subject, as far as the scope gives what they need."""

    def __init__(self, subject: Subject, text: str, given: frozenset[str]) -> None:
        self.subject = subject
        self.text = text
        self.given = given

    def column(self, words: Words) -> Field:
        """The field that these words name; raises QueryError."""
        field = self.field(words)
        if field is None:
            from kb.query.hints.meant import several_fields

            several = several_fields(self.subject, words)
            if several is not None:
                raise QueryError(
                    "Between fields stands a comma.",
                    self.text,
                    words.span,
                    repaired=self.replaced(words.span, several),
                )
            raise self.unknown_word(words, "field")
        return field

    def field(self, words: Words) -> Field | None:
        """The field, or None; raises QueryError where the scope lacks what it needs."""
        found = self.subject.fields_by_key.get(words.key)
        if found is not None:
            self.check_given(found, words)
        return found

    def flag(self, words: Words) -> Flag | None:
        """The flag, or None; raises QueryError where the scope lacks what it needs."""
        found = self.subject.flags_by_key.get(words.key)
        if found is not None:
            self.check_given(self.subject.fields_by_key[found.field], words)
        return found

    def check_given(self, field: Field, words: Words) -> None:
        """Raises QueryError where a field asks for a kit or a vehicle that nobody named."""
        if not field.needs or field.needs in self.given:
            return
        from kb.query.hints.meant import unknown_after

        if meant := unknown_after(self.subject, self.text, words):
            raise meant
        wanted = _ASKS_FOR[field.needs]
        clause = "with any kit" if "kit" in field.needs else "for VEHICLE"
        if "kit" in field.needs:
            repaired = self._with_any_kit()
        else:
            from kb.query.hints.scopes_meant import vehicle_first

            repaired = vehicle_first(self.subject, self.text, field.needs == "several vehicles")
        raise QueryError(
            f"`{words.text}` depends on {wanted}; say which before `where`.",
            self.text,
            words.span,
            expected=(clause, "with KIT") if "kit" in field.needs else ("on VEHICLE", clause),
            repaired=repaired,
        )

    def unknown_word(self, words: Words, what: str) -> QueryError:
        """The error for words that nothing bears."""
        from kb.nearest import nearest
        from kb.query.hints.meant import (
            dotted,
            is_turned,
            several_fields,
            turned_flag,
            unknown_after,
        )
        from kb.query.hints.told_by_others import told_by_command

        if what != "field" and (meant_after := unknown_after(self.subject, self.text, words)):
            return meant_after
        subject = self.subject
        names = {field.key: field.name for field in subject.fields}
        if what != "field":
            names |= {flag.key: flag.name for flag in subject.flags}
        meant = [field.name for field in subject.fields if is_said_of(field, words.key)]
        turned = turned_flag(subject, words, self.usable("word")) if what != "field" else None
        path = dotted(words)
        if path is not None:
            return self._dotted(words, *path)
        near = meant[0] if meant else turned
        if near is None and not is_turned(words) and several_fields(subject, words) is None:
            near = names.get(nearest(words.key, names) or "")
            if near and (_drops_a_word(words.key, word_key(near)) or not is_slip(words.key, near)):
                near = None  # `submitted till` is no slip of the keys for `submitted`
            if near is None and what != "field":
                near = self._with_its_value(words)
        hint = told_by_command(subject.name, words) or _elsewhere(words, column=what == "field")
        return QueryError(
            f"{subject.name.capitalize()} have no {what} `{words.text}`.",
            self.text,
            words.span,
            expected=tuple(self.usable(what)),
            hint=hint,
            repaired=self.replaced(words.span, near) if near and not hint else None,
        )

    def _with_its_value(self, words: Words) -> str | None:
        """`colour grey`, `feed by radio`: another word for a field, and its value after that."""
        from kb.nearest import nearest

        fields = self.subject.fields_by_key
        longest = max(len(field.name.split()) for field in self.subject.fields)
        for length in range(min(len(words.parts) - 1, longest), 0, -1):
            key = word_key(" ".join(words.parts[:length]))
            rest = words.parts[length:]
            rest = rest[1:] if rest[0].casefold() in ("by", "is") else rest
            near = nearest(key, fields) if len(key) >= LETTERS_A_SLIP else None
            said = [field for field in self.subject.fields if is_said_of(field, key)]
            if near is not None and is_slip(key, near):
                said.append(fields[near])
            if said and rest:
                sign = " " if said[0].kind is Kind.UNIT else " = "
                return f"{said[0].name}{sign}{write_value(' '.join(rest))}"
        return None

    def _dotted(self, words: Words, thing: str, name: str) -> QueryError:
        """`speaker.role`: a field stands without the thing that it is of."""
        here = self.subject.fields_by_key.get(name)
        own = thing in (self.subject.name, self.subject.singular)
        owners = [other.name for other in SUBJECTS if name in other.fields_by_key]
        hint = None
        if not own and owners:
            hint = f"`{name.replace('_', ' ')}` is a field of {', '.join(owners)}."
        return QueryError(
            "A field stands by itself here, without a point.",
            self.text,
            words.span,
            expected=tuple(self.usable("field")),
            hint=hint,
            repaired=self.replaced(words.span, here.name) if here and own else None,
        )

    def of_field(self, word: str, subject: Subject | None = None) -> tuple[Field, str] | None:
        """A word that is a value of a field, with that field: `tweeters` is a `role`."""
        key = word_key(word)
        for field in (subject or self.subject).fields:
            if field.needs and field.needs not in self.given:
                continue
            for choice in field.choices:
                if key in (word_key(choice), word_key(choice) + "s"):
                    return field, choice
        return None

    def usable(self, what: str) -> list[str]:
        """The names that could stand there under this scope."""
        fields = [f for f in self.subject.fields if not f.needs or f.needs in self.given]
        names = [field.name for field in fields]
        if what != "field":
            keys = {field.key for field in fields}
            names += [flag.name for flag in self.subject.flags if flag.field in keys]
        return list(dict.fromkeys(names))

    def replaced(self, span: Span, word: str) -> str:
        head = self.text[: span.start]
        if word.startswith("not ") and (turned := re.search(r"\bnot\s+$", head, re.IGNORECASE)):
            head, word = head[: turned.start()], word.removeprefix("not ")  # twice not is not said
        return head + word + self.text[span.end :]

    def _with_any_kit(self) -> str | None:
        """The query with `with any kit` before its conditions, and before what splits a count."""
        lower = self.text.lower()
        clauses = (" where ", " by ") if lower.lstrip().startswith("count ") else (" where ",)
        at = min((place for word in clauses if (place := lower.find(word)) >= 0), default=-1)
        return None if at < 0 else f"{self.text[:at]} with any kit{self.text[at:]}"


def is_said_of(field: Field, key: str) -> bool:
    """Whether a key is another word for a field, or its own in another number: `duty`."""
    own = field.key
    one = own.removesuffix("ies") + "y" if own.endswith("ies") else own.removesuffix("s")
    return key in map(word_key, field.said) or (key != own and key in (one, f"{own}s"))


def is_slip(typed: str, near: str) -> bool:
    """Whether one word may be typed for the other: `reason` is no `revision`, nor `radio` `audio`,
    though most of their letters are the same.
    """
    from rapidfuzz.distance import OSA

    pairs = [(typed, word_key(near))]
    words = typed.split("_"), word_key(near).split("_")
    if len(words[0]) == len(words[1]):
        pairs = list(zip(*words, strict=True))  # `left front` is not `left out`
    return all(
        OSA.distance(one, other) <= max(1, len(one) // LETTERS_A_SLIP) for one, other in pairs
    )


def _drops_a_word(typed: str, near: str) -> bool:
    """Whether a near name is what was typed without some of its words."""
    return set(near.split("_")) < set(typed.split("_"))


def _elsewhere(words: Words, *, column: bool) -> str | None:
    """Which other subjects have these words; first those of which they are said alone."""
    alone = [] if column else [one.name for one in SUBJECTS if words.key in one.flags_by_key]
    fields = [one.name for one in SUBJECTS if words.key in one.fields_by_key]
    fields = [name for name in fields if name not in alone]
    said = [f"is said of {', '.join(alone)}"] if alone else []
    said += [f"is a field of {', '.join(fields)}"] if fields else []
    return f"`{words.text}` {', and '.join(said)}." if said else None
