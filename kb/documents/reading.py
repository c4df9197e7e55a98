"""Files -> documents and findings: the one door through which documents come in.

All findings of all files come at once, each with its file, table and line; a document is given out
only when nothing in it is wrong. It stands alone as the order of the stages: parse, bounds, shape,
rules, place."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from kb.documents import vocabulary
from kb.documents.bounds import bound_problems
from kb.documents.findings import (
    TOP,
    Document,
    Finding,
    Format,
    Level,
    Problem,
    Reading,
    Source,
)
from kb.documents.parsing import Unreadable, parse
from kb.documents.product_rules import amplifier_problems, job_problems, kit_problems
from kb.documents.shown import shown, visible
from kb.documents.table_names import table_name
from kb.documents.vehicle_rules import vehicle_problems
from kb.nearest import nearest

__all__ = ["Document", "Finding", "Reading", "Source", "read_documents"]

MOST_FINDINGS = 200
"""Findings of one file that are listed; the rest are counted."""

_LONGEST_SENTENCE = 400

_RULES: dict[str, Callable[[Mapping[str, object]], Iterator[Problem]]] = {
    "vehicle": vehicle_problems,
    "kit": kit_problems,
    "amplifier": amplifier_problems,
    "job": job_problems,
}


def read_documents(sources: Sequence[Source]) -> Reading:
    """Read every file; never raises for what a file holds.

    A document with an error is left out of `documents`. Whether the others may be stored without it
    is for the caller; `Reading.errors` tells."""
    reading = Reading()
    first: dict[tuple[str, str], str] = {}
    for source in sources:
        document, findings = _read(source)
        reading.findings.extend(findings)
        if document is None:
            continue
        entry = (document.kind, document.id)
        if entry in first:
            what = f'{document.kind} "{document.id}" is also in {shown(first[entry])}'
            reading.findings.append(
                Finding("error", source.name, TOP, None, None, what, "give one file for each entry")
            )
            continue
        first[entry] = source.name
        reading.documents.append(document)
    return reading


def _read(source: Source) -> tuple[Document | None, list[Finding]]:
    try:
        content, text, form = parse(source)
    except Unreadable as refusal:
        problem = refusal.problem
        return None, [_finding(problem, source, {}, (problem.line, problem.column))]
    problems, kept = _problems(content)
    findings = _placed(problems, source, content, text, form)
    if any(problem.level == "error" for problem in problems):
        return None, findings
    kind = str(kept["kind"])
    return Document(kind, str(kept[kind]["id"]), kept, source.name), findings


def _problems(content: dict[str, Any]) -> tuple[list[Problem], dict[str, Any]]:
    """All that is wrong or doubtful, and the content to keep where nothing is wrong."""
    bounds, readable = bound_problems(content)
    if not readable:
        return bounds, {}
    kind = content.get("kind")
    if not isinstance(kind, str) or kind not in vocabulary.KINDS:
        return [*bounds, _unknown_kind(content)], {}
    from kb.documents.shapes import shape_problems

    problems, kept = shape_problems(content, kind)
    problems.extend(_RULES[kind](content))
    said = {problem.path for problem in bounds}
    return bounds + [problem for problem in problems if problem.path not in said], kept


def _unknown_kind(content: Mapping[str, object]) -> Problem:
    if "kind" not in content:
        return Problem(
            (),
            "the key `kind` is missing",
            f"write kind = … on the first line, one of {', '.join(vocabulary.KINDS)}",
        )
    kind = content["kind"]
    near = nearest(kind, vocabulary.KINDS) if isinstance(kind, str) else None
    right = f'the nearest is "{near}"' if near else f"write one of {', '.join(vocabulary.KINDS)}"
    return Problem(("kind",), f"kind: {shown(kind)} is no kind of document", right)


def _placed(
    problems: list[Problem], source: Source, content: dict[str, Any], text: str, form: Format
) -> list[Finding]:
    """Findings in the order of their lines, no more than `MOST_FINDINGS`."""
    if not problems:
        return []
    from kb.documents.places import Places

    places = Places(text, form)
    placed = [(places.find(problem.path) or (None, None), problem) for problem in problems]
    placed.sort(key=lambda pair: (pair[0][0] or 0, pair[0][1] or 0))
    findings = [_finding(problem, source, content, place) for place, problem in placed]
    if len(findings) <= MOST_FINDINGS:
        return findings
    rest = findings[MOST_FINDINGS:]
    return [*findings[:MOST_FINDINGS], *_not_listed(rest, source.name)]


def _not_listed(rest: list[Finding], source: str) -> Iterator[Finding]:
    levels: tuple[Level, ...] = ("error", "warning")
    for level in levels:
        count = sum(finding.level == level for finding in rest)
        if count:
            what = f"there are {count:,} more findings"
            right = "mend these first"
            yield Finding(level, source, TOP, None, None, what, right, stands_for=count)


def _finding(
    problem: Problem,
    source: Source,
    content: Mapping[str, object],
    place: tuple[int | None, int | None],
) -> Finding:
    table = table_name(content, problem.path)
    line, column = place
    what = visible(problem.what, _LONGEST_SENTENCE)
    right = visible(problem.right, _LONGEST_SENTENCE)
    return Finding(problem.level, source.name, table, line, column, what, right, problem.path)
