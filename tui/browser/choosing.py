"""What a job chooses among, told as lines: amplifier, places, channels, parts, who plays.

It stands alone because the screen that walks through a plan only moves among these lines.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from kb.answers.choices import AmplifierLine, amplifiers, place_taken_over, places
from kb.answers.entries import answering
from kb.answers.glance import Glance, glance
from kb.answers.kits import PartFit, parts_for
from tui.browser.jobs import JobDraft
from tui.browser.text import shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item

ON, OFF = "[x]", "[ ]"
NEEDED = {
    "amplifier": "the amplifier",
    "amplifier_place": "where the amplifier goes",
    "battery_place": "where the battery is",
}
"""What a plan cannot be made without, in the order in which it is asked."""


@dataclass(frozen=True)
class Choices:
    """What there is to choose among."""

    seen: Glance
    parts: list[PartFit]
    amplifiers: list[AmplifierLine]
    places: list[str]
    likely_place: str | None  # where the kit takes a unit out, which is where an amplifier goes


def choices_of(connection: Any, head: dict[str, Any]) -> Choices:
    """What the job of this head chooses among."""
    seen = glance(connection, head["vehicle"])
    kit = answering(connection, "kit", head["kit"])
    return Choices(
        seen,
        parts_for(connection, head["vehicle"], head["kit"]),
        amplifiers(connection),
        places(connection, head["vehicle"]),
        place_taken_over(connection, seen.vehicle.revision, kit.revision),
    )


def missing_of(draft: JobDraft) -> list[str]:
    """What must be chosen before there is a plan."""
    return [name for name in NEEDED if not draft.head.get(name)]


def choose_first(missing: Sequence[str]) -> str:
    """What to do about what is missing."""
    return f"Choose {' and '.join(NEEDED[name] for name in missing)} first: Enter on its line."


def lines_of(draft: JobDraft, choices: Choices, chosen: Sequence[str]) -> Iterator[Entry]:
    """Every line; `chosen` are the parts that are taken."""
    head = draft.head
    yield Heading(shown(" THE JOB ", "bold"))
    names = {a.id: f"{a.maker} {a.name}" for a in choices.amplifiers}
    amplifier = names.get(head.get("amplifier", ""), head.get("amplifier"))
    for key, label, value in (
        ("amplifier", "amplifier", amplifier),
        ("amplifier_place", "goes to", head.get("amplifier_place")),
        ("battery_place", "battery at", head.get("battery_place")),
    ):
        role = "bold" if value else "unknown"
        spoken = f"{label}: {value or 'not chosen yet'}"
        yield Item(key, (Cell(label), Cell(value or "choose", role)), spoken)
    drives = "as the job says" if draft.content.get("drive") else "as the plan suggests"
    yield Item("channels", (Cell("channels"), Cell(drives)), f"channels: {drives}")
    yield from _parts(draft, choices, chosen)
    yield Heading(shown(" WHAT PLAYS ", "bold"))
    silent = head.get("silent", ())
    for speaker in choices.seen.speakers:
        plays = speaker.speaker not in silent
        yield Item(
            ("speaker", speaker.speaker),
            (
                Cell(f"{ON if plays else OFF} {speaker.speaker}", "plain" if plays else "faint"),
                Cell(speaker.role if plays else "silent", "faint" if plays else "caution"),
            ),
            f"{speaker.speaker} {'plays' if plays else 'stays silent'}",
        )


def _parts(draft: JobDraft, choices: Choices, chosen: Sequence[str]) -> Iterator[Entry]:
    choice = [part for part in choices.parts if not part.always]
    if not choice:
        return
    by = "the job" if draft.head.get("parts") is not None else "the plan"
    yield Heading(shown(" PARTS ", "bold"))
    yield Item("parts", (Cell("chosen by"), Cell(by)), f"parts chosen by {by}")
    for part in choice:
        taken = part.part in chosen
        fits = "fits" if part.fits else "does not plug in"
        yield Item(
            ("part", part.part),
            (
                Cell(f"{ON if taken else OFF} {part.part}"),
                Cell(fits, "faint" if part.fits else "caution"),
            ),
            f"part {part.part} {'taken' if taken else 'not taken'}, {fits}",
        )
