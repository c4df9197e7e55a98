"""Opening an entry, to write into it or to review it.

To write: what is kept of it comes first, and one browser has it. It stands alone because several
screens open the same grid and the same review.
"""

from __future__ import annotations

from kb.errors import Refused
from tui.browser.journal import Owner
from tui.browser.kept_entries import KeptEntry, Work, kept_of
from tui.browser.room import Room
from tui.browser.sheets import Content


def open_entry(
    room: Room,
    content: Content,
    kept: KeptEntry | None = None,
    made_from: str | None = None,
    *,
    exactly: bool = False,
) -> None:
    """Open the grid over a room on what is kept, else on `content`; or say why it cannot be.

    `made_from`: the hash of the revision that it changes. What was begun on another revision of the
    entry is gone on with, unless `exactly` this one is meant.
    """
    from tui.browser.screens.grid import EntryGrid

    owner = room.shelf.owner
    kept = kept or KeptEntry.new(content["kind"], owner)
    if made_from is not None and not kept.is_there and not exactly:
        kept = begun_before(content, owner) or kept
    said = ""
    try:
        kept.open()
        try:
            work = kept.read()
        except Refused as fault:  # what cannot be read is left alone, under its own name
            kept.close()
            kept, work, said = KeptEntry.new(content["kind"], owner), None, str(fault)
            kept.open()
    except Refused as fault:
        room.say(str(fault), "flag")
        return
    if work is not None:
        content, made_from = work.content, work.made_from
    room.app.push_screen(EntryGrid(content, kept, made_from, said))


def begun_before(content: Content, owner: Owner) -> KeptEntry | None:
    """Changes of the same entry that were begun on another revision of it, and not stored."""
    kind = content["kind"]
    for name, work in kept_of(owner):
        if not isinstance(work, Work) or work.made_from is None or work.content["kind"] != kind:
            continue
        if work.content.get(kind, {}).get("id") == content.get(kind, {}).get("id"):
            return KeptEntry(name, owner)
    return None


def review_entry(room: Room, entry: str) -> None:
    """Open the review of one revision over a room, and lead back there."""
    from tui.browser.screens.review import Review

    room.app.push_screen(Review(entry))
