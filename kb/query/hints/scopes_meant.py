"""Scopes said in a way that does not run, written as they are said here: only text is made.

Apart from `scope`, which looks names up and refuses them. None where it is not plain what was
meant; the binder offers no text that does not run.
"""

from __future__ import annotations

import re
from typing import Literal

from grammar.errors import QueryError
from grammar.tree import Path, Query, Scope, Span, Things, Value
from kb.query.catalogue import Subject

KITS_OF_ALL = "`vehicles with any kit` asks about all vehicles."
_NAMES_VEHICLES = {"kits": "for", "leads": "on"}
_KITS = re.compile(r"\bkits?\b", re.IGNORECASE)
_OF_VEHICLE = re.compile(
    r"\s+where\s+vehicle\s*(?:=|\bis\b)\s*(?P<name>\"[^\"]*\"|[^\s\"]+)(?:\s+and\b(?P<rest>.*))?",
    re.IGNORECASE | re.DOTALL,
)
_REVISION = re.compile(
    r"^(?P<head>.*?\bof\s+)\"?(?P<id>[\w-]+)@(?P<hash>[0-9a-f]+)\"?(?P<rest>\s.*)?$",
    re.IGNORECASE | re.DOTALL,
)
HASH_BEGINS = 8
_OF_ANY_KIT = re.compile(
    r"\b(?:of|for) (?P<all>(?:any|every) kits?)"
    r"(?=\s*$|\s+(?:where|on|for|of|show|sort|sorted|order|first|by)\b)",
    re.IGNORECASE,
)
_OF_ALL = re.compile(
    r"\b(?:of|for|on|in) (?P<all>(?:any|every)(?: (?:vehicle|car|entry)s?)?)"
    r"(?=\s*$|\s+(?:where|with|on|for|show|sort|sorted|order|first|by)\b)",
    re.IGNORECASE,
)


def named_otherwise(
    query: Query, text: str, subject: Subject, name: Value, kind: Literal["kit", "vehicle"]
) -> str | None:
    """`vehicles for KIT` as `vehicles with KIT`, `kits of VEHICLE` as `kits for VEHICLE`."""
    scope = next((one for one in query.scopes if _only(one) == name), None)
    if scope is None:
        return None
    if kind == "kit":
        relation = "with" if subject.takes_kit and subject.of == "vehicle" else None
    else:
        relation = "of" if subject.of == "vehicle" else _NAMES_VEHICLES.get(subject.name)
    if relation is None:
        return None
    return f"{text[: scope.span.start]}{relation} {_at(text, name.span)}{text[scope.span.end :]}"


def about_all(
    query: Query, text: str, subject: Subject, name: Value
) -> tuple[str | None, str | None]:
    """How all vehicles are asked about: a hint, or the query without the scope that says `all`."""
    scope = next((one for one in query.scopes if _only(one) == name), None)
    if subject.of != "vehicle":
        return KITS_OF_ALL, None
    if scope is None:
        return "Without `of`, all vehicles are asked about.", None
    return None, _without(text, scope.span)


def bare_word_for_all(text: str, error: QueryError) -> QueryError | None:
    """`of every vehicle`, where `every` is a word of the language: said as `of all` is."""
    kit = _OF_ANY_KIT.search(text)
    if kit is not None and error.span is not None and kit.start() <= error.span.start < kit.end():
        first = text.casefold().removeprefix("count ").split()[0]
        if first in ("leads", "lead", "kits", "kit"):
            return QueryError(
                "Without `of`, those of all kits are asked about.",
                text,
                Span(*kit.span("all")),
                repaired=_without(text, Span(*kit.span())),
            )
        return QueryError(
            "Any kit is asked about with `with`.",
            text,
            Span(*kit.span("all")),
            repaired=f"{text[: kit.start()]}with any kit{text[kit.end() :]}",
        )
    found = _OF_ALL.search(text)
    if found is None or error.span is None or not found.start() <= error.span.start < found.end():
        return None
    kits = text.split()[0].casefold() in ("kits", "kit", "leads", "lead")
    return QueryError(
        f'"{found["all"]}" names no one vehicle.',
        text,
        Span(*found.span("all")),
        hint=KITS_OF_ALL if kits else None,
        repaired=None if kits else _without(text, Span(*found.span())),
    )


def one_revision(text: str) -> QueryError | None:
    """`entries of ID@HASH`, as reviews name a revision: here its hash is a field."""
    found = _REVISION.match(text)
    words = text.casefold().removeprefix("count ").split()
    if found is None or words[0] not in ("entries", "entry"):
        return None
    sign = "=" if len(found["hash"]) >= HASH_BEGINS else "~"
    rest = (found["rest"] or "").strip()
    where, _, conditions = rest.partition(" ")
    if where.casefold() == "where":
        rest = f"and {conditions}"
    repaired = f"{found['head']}{found['id']} where revision {sign} {found['hash']} {rest}"
    return QueryError(
        "One revision of an entry is asked for by the field `revision`.",
        text,
        Span(found.start("id"), found.end("hash")),
        repaired=None if " or " in conditions else repaired.strip(),
    )


def _without(text: str, span: Span) -> str:
    return " ".join(f"{text[: span.start]}{text[span.end :]}".split())


def vehicle_first(subject: Subject, text: str, several: bool) -> str | None:
    """`kits where vehicle = V` as `kits for V`; other conditions on an outcome, over all vehicles,
    as `vehicles with any kit where ...`.
    """
    if several:
        found = _OF_VEHICLE.search(text)
        if found is None or subject.name not in _NAMES_VEHICLES:
            return None
        scope = f" {_NAMES_VEHICLES[subject.name]} {found['name']}"
        rest = f" where {found['rest'].strip()}" if found["rest"] else ""
        return f"{text[: found.start()]}{scope}{rest}{text[found.end() :]}"
    if subject.name != "kits":
        return None
    return _KITS.sub("vehicles with any kit", text, count=1)


def kits_with_parts(query: Query, text: str) -> str | None:
    """`kits for V with K + P` as `vehicles of V with K + P`, which counts the same outcomes."""
    vehicles = [s for s in query.scopes if isinstance(s, Things) and s.relation != "of"]
    if query.subject.key not in ("kits", "kit") or len(vehicles) != 1:
        return None
    subject, scope = query.subject.span, vehicles[0].span
    relation = len(vehicles[0].relation)
    return (
        f"{text[: subject.start]}vehicles{text[subject.end : scope.start]}"
        f"of{text[scope.start + relation :]}"
    )


def parts_of_kit(query: Query, text: str) -> str | None:
    """`leads of K on V with P` as `leads on V with K + P`."""
    kits = [s for s in query.scopes if isinstance(s, Things) and s.relation == "of"]
    paths = [s for s in query.scopes if isinstance(s, Path)]
    if len(kits) != 1 or len(paths) != 1 or len(kits[0].names) != 1:
        return None
    if query.subject.key not in ("leads", "lead"):
        return None
    kit, path = kits[0].span, paths[0].names[0].span
    name = _at(text, kits[0].names[0].span)
    if kit.start > path.start:
        return None
    without = f"{text[: kit.start]}{text[kit.end : path.start]}"
    return " ".join(f"{without}{name} + {text[path.start :]}".split())


def plus_in_name(query: Query, text: str, name: Value) -> str | None:
    """`leads of K+P on V` as `leads on V with K + P`: a kit takes its parts after `with` alone."""
    scope = next((one for one in query.scopes if _only(one) == name), None)
    if "+" not in name.text or scope is None or isinstance(scope, Path):
        return None
    end = max(one.span.end for one in query.scopes)
    path = " + ".join(piece.strip() for piece in name.text.split("+"))
    kept = f"{text[: scope.span.start]}{text[scope.span.end : end]} with {path}{text[end:]}"
    return " ".join(kept.split())


def _only(scope: Scope) -> Value | None:
    named = isinstance(scope, Things | Path) and len(scope.names) == 1
    return scope.names[0] if named and isinstance(scope, Things | Path) else None


def _at(text: str, span: Span) -> str:
    return text[span.start : span.end]
