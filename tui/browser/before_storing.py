"""What submitting the sheets would do, asked of the book: changes, findings, what others changed.

It stands alone because it is worked out when sheets are opened and again before they are stored.
"""

from __future__ import annotations

from typing import Any

from kb.answers.drafts import TITLES
from kb.documents.canonical import canonical_json
from kb.review.merging import Merged, NotMergeable, merged
from kb.review.newer import Newer, all_changes, lineage, newer_than, undone
from kb.review.queue import content_of
from tui.browser.lines.storing import Storing
from tui.browser.sheets import Content


def storing_of(
    connection: Any,
    content: Content,
    made_from: str | None,
    looks: tuple[str, ...] = (),
) -> Storing:
    """All of it; `looks`: what was found to look at."""
    kind = content["kind"]
    head: dict[str, Any] = content.get(kind, {})
    id = str(head.get("id", ""))
    title = " ".join(str(head[key]) for key in TITLES[kind] if head.get(key))
    base = base_of(connection, kind, id, made_from)
    newer = newer_than(connection, kind, id, made_from if base else None)
    shown = _not_a_draft(connection, kind, id, made_from)
    together, why_not = bring_in(connection, newer, content)
    theirs = content_of(connection, newer.revision.hash) if newer else None
    parted = content_of(connection, newer.parted.hash) if newer and newer.parted else None
    return Storing(
        title=f"{kind} {id}: {title}",
        changes=all_changes(shown or {"kind": kind, kind: {}}, {kind: {}, **content}),
        is_new=shown is None,
        is_same=content in (shown, theirs),
        looks=looks,
        newer=newer,
        undoes=undone(parted, theirs, content) if parted and theirs else (),
        merged=together,
        why_not_merged=why_not,
    )


def job_storing(connection: Any, content: Content, begun_from: Content | None) -> Storing:
    """What storing a job would do to the one of its name; `begun_from`: that one, as it was."""
    id = str(content["job"]["id"])
    made_from = job_base(connection, id, begun_from)
    newer = newer_than(connection, "job", id, made_from)
    theirs = content_of(connection, newer.revision.hash) if newer else None
    parted = content_of(connection, newer.parted.hash) if newer and newer.parted else None
    together, why_not = bring_in(connection, newer, content)
    return Storing(
        title=f"job {id}",
        changes=all_changes(theirs, content) if theirs and theirs != begun_from else (),
        is_new=begun_from is None,
        newer=newer,
        undoes=undone(parted, theirs, content) if parted and theirs else (),
        merged=together,
        why_not_merged=why_not,
    )


def job_base(connection: Any, id: str, begun_from: Content | None) -> str | None:
    """The hash of the revision of a job that changes were begun from, known by what it says.

    The one that answers where several say the same, so that nothing is told that is no news.
    """
    if begun_from is None:
        return None
    row = connection.execute(
        "SELECT v.hash FROM revision v LEFT JOIN entry e ON e.revision = v.number"
        " WHERE v.kind = 'job' AND v.id = ? AND v.content = ?"
        " ORDER BY coalesce(e.answers, 0) DESC, v.number DESC LIMIT 1",
        (id, canonical_json(begun_from)),
    ).fetchone()
    return row[0] if row else None


def base_of(connection: Any, kind: str, id: str, made_from: str | None) -> Content | None:
    """What the revision holds that the work was begun from, where it is of the same entry."""
    row = connection.execute(
        "SELECT 1 FROM revision WHERE hash = ? AND kind = ? AND id = ?", (made_from, kind, id)
    ).fetchone()
    return content_of(connection, str(made_from)) if row else None


def _not_a_draft(connection: Any, kind: str, id: str, made_from: str | None) -> Content | None:
    """What a change is told against: a draft of one's own is no news to anybody."""
    for hash in lineage(connection, made_from) if made_from else ():
        row = connection.execute(
            "SELECT s.state FROM revision v JOIN revision_state s USING (number)"
            " WHERE v.hash = ? AND v.kind = ? AND v.id = ?",
            (hash, kind, id),
        ).fetchone()
        if row and row[0] != "draft":
            return content_of(connection, hash)
    return None


def bring_in(
    connection: Any,
    newer: Newer | None,
    content: Content,
    *,
    theirs_wins: bool = False,
) -> tuple[Merged | None, str]:
    """The work with what answers now; else why it cannot be."""
    if newer is None:
        return None, ""
    if newer.parted is None:
        return None, "yours was not made from any revision of it"
    base = content_of(connection, newer.parted.hash)
    theirs = content_of(connection, newer.revision.hash)
    try:
        return merged(base, content, theirs, theirs_wins=theirs_wins), ""
    except NotMergeable as fault:
        return None, str(fault)
