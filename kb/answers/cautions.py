"""What must not be lost unseen in an answer of `runs`, each caution with its reason."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kb.answers.runs import Runs

DUTY_WORDS = {
    "chime": "the warning chimes",
    "emergency-call": "the emergency call's voice",
    "noise-cancelling": "the engine-noise cancelling",
    "phone": "the phone's voice",
}


def cautions_of(connection: sqlite3.Connection, answer: Runs) -> Runs:
    """The answer with its cautions filled in; nothing else changes."""
    cautions = [
        *_lost_duties(answer),
        *_moved_duties(answer),
        *_reversed(answer),
        *_two_outputs(connection, answer),
        *_two_places(connection, answer),
        *_claims(answer),
        *_disputes(answer),
        *_unlisted(answer),
    ]
    return replace(answer, cautions=tuple(cautions))


def duties_in_words(duties: tuple[str, ...]) -> str:
    """`chime` and the like as a person says them."""
    return " and ".join(DUTY_WORDS.get(duty, duty) for duty in duties)


def _lost_duties(answer: Runs) -> list[str]:
    return [
        f"{speaker.speaker} goes silent and with it {duties_in_words(speaker.duties)}: "
        "they must not be lost, so give this speaker a feed before the car leaves"
        for speaker in answer.speakers
        if speaker.duties and speaker.effect == "goes silent"
    ]


def _moved_duties(answer: Runs) -> list[str]:
    return [
        f"{speaker.speaker} also sounds {duties_in_words(speaker.duties)}: "
        "hear them through the new amplifier before the car leaves"
        for speaker in answer.speakers
        if speaker.duties and speaker.effect == "moves to new amplifier"
    ]


def _reversed(answer: Runs) -> list[str]:
    return [
        f"{speaker.speaker}: lead {speaker.lead} of {speaker.part} has plus and minus swapped; "
        "swap its two wires at the amplifier"
        for speaker in answer.speakers
        if speaker.outcome == "reversed"
    ]


def _two_outputs(connection: sqlite3.Connection, answer: Runs) -> list[str]:
    """Leads that reach a speaker whose factory output stays connected."""
    listening = {
        part
        for (part,) in connection.execute(
            "SELECT part FROM part WHERE kit = ? AND intercepts = 0", (answer.kit.revision,)
        )
    }
    taken_out = {
        kind
        for (kind,) in connection.execute(
            "SELECT kind FROM takes_out WHERE kit = ?", (answer.kit.revision,)
        )
    }
    return [
        f"{speaker.speaker}: part {speaker.part} only listens, and {speaker.fed_by} keeps driving "
        "this wire; cut its output off first: two outputs on one wire destroy each other"
        for speaker in answer.speakers
        if speaker.effect == "moves to new amplifier"
        and speaker.part in listening
        and speaker.fed_by_kind not in taken_out
    ]


def _two_places(connection: sqlite3.Connection, answer: Runs) -> list[str]:
    """Parts that say no kind of unit and find their plug at more than one connector."""
    rows = connection.execute(
        """
        SELECT p.part, g.plug, group_concat(c.connector, ' and ') AS connectors
        FROM part p JOIN part_plug g USING (kit, part)
        JOIN connector c ON c.plug = g.plug AND c.vehicle = :vehicle
             AND (p.unit IS NULL OR p.unit = c.kind)
        WHERE p.kit = :kit GROUP BY p.part, g.plug HAVING count(*) > 1
        ORDER BY p.position, g.plug
        """,
        {"kit": answer.kit.revision, "vehicle": answer.vehicle.revision},
    )
    return [
        f"part {row['part']} fits more than one connector here ({row['connectors']}, all "
        f"{row['plug']}) and can go into only one: check which before relying on its leads"
        for row in rows
        if row["part"] in answer.path.chosen
    ]


def _claims(answer: Runs) -> list[str]:
    return [
        f"{speaker.speaker}: {' and '.join(speaker.claimed_by)} both claim to drive it; "
        "meter which one does before cutting anything"
        for speaker in answer.speakers
        if len(speaker.claimed_by) > 1
    ]


def _unlisted(answer: Runs) -> list[str]:
    if not answer.unlisted:
        return []
    return [
        f"the car was sold with {answer.unlisted + len(answer.speakers)} speakers and "
        f"{len(answer.speakers)} are listed: nobody can say what becomes of the other "
        f"{answer.unlisted}, so look for them and meter before relying on this"
    ]


def _disputes(answer: Runs) -> list[str]:
    return [
        f"{speaker.speaker}: another entry of this vehicle documents its pins differently; "
        "meter them before relying on this"
        for speaker in answer.speakers
        if speaker.disputed
    ]
