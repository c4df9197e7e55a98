"""What must not be lost unseen in an answer of `runs`, each caution with its reason."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection
from dataclasses import replace
from typing import TYPE_CHECKING

from kb.answers.duties import Said, duties_said
from kb.answers.factory_cuts import factory_cuts
from kb.answers.opened import Opened, opened_by
from kb.answers.rival_leads import disputed_in_use, rival_kits, told_otherwise, units_taken_out

if TYPE_CHECKING:
    from kb.answers.grips import Grip
    from kb.answers.runs import IdleLead, Runs

SUPPLIES = ("battery", "ignition", "accessory", "turn-on", "illumination")
"""Named circuits that stand at battery voltage, at least at times."""


def cautions_of(connection: sqlite3.Connection, answer: Runs) -> Runs:
    """The answer with its cautions filled in; nothing else changes."""
    opening = _opening_leads(connection, answer)
    said = [
        *duties_said(answer),
        *_contests(answer),
        *_reversed(answer),
        *_short_leads(answer, opening),
        *_spare_leads(answer),
        *_factory_outputs(connection, answer),
        *(((), one.said()) for one in opening),
        *_live_leads(answer),
        *_claims(answer),
        *_disputes(answer),
        *_rival_kits(connection, answer),
        *_unlisted(answer),
    ]
    about: dict[str, tuple[str, ...]] = {}
    for speakers, caution in said:
        for speaker in speakers:
            about[speaker] = (*about.get(speaker, ()), caution)
    return replace(
        answer,
        cautions=tuple(caution for _, caution in said),
        cautions_about=about,
        disputed_leads=disputed_in_use(connection, answer.path.kit, answer.path.chosen),
    )


def _contests(answer: Runs) -> list[Said]:
    """What cannot all be plugged in as the answer supposes."""
    return [((), contest.said()) for contest in answer.contests]


def _reversed(answer: Runs) -> list[Said]:
    return [
        (
            (speaker.speaker,),
            f"{speaker.speaker}{f' coil {feed.coil}' if feed.coil else ''}: lead {feed.lead} of "
            f"{feed.part} has plus and minus swapped; swap the two wires of that lead at the "
            "amplifier",
        )
        for speaker in answer.speakers
        if speaker.outcome == "reversed"
        for feed in speaker.feeds
        if feed.swapped
    ]


def short_leads(answer: Runs) -> dict[tuple[str, str], list[str]]:
    """Part and lead -> the speakers of which it holds only something, and that it is no use to.

    Such a lead is left unconnected; one that also carries another speaker whole is not among them.
    """
    held: dict[tuple[str, str], list[str]] = {}
    for speaker in answer.speakers:
        if speaker.outcome == "partial":
            for part, lead in dict.fromkeys((grip.part, grip.lead) for grip in speaker.grips):
                if not _carries_another(answer, speaker.speaker, part, lead):
                    held.setdefault((part, lead), []).append(speaker.speaker)
    return held


def _short_leads(answer: Runs, opening: Collection[Opened]) -> list[Said]:
    """Leads that hold a part of a speaker that is not carried: what to do with them. Of one that
    opens another circuit too, the ways of that are joined through and said by themselves.
    """
    opens = {(one.part, one.lead) for one in opening}
    return [
        (
            tuple(speakers),
            f"lead {lead} of {part} holds only part of {' and '.join(speakers)}: leave "
            f"{'that way of it' if (part, lead) in opens else 'it'} unconnected and insulated",
        )
        for (part, lead), speakers in short_leads(answer).items()
    ]


def _spare_leads(answer: Runs) -> list[Said]:
    """A second lead on a speaker that a first one carries already."""
    return [
        (
            (speaker.speaker,),
            f"{speaker.speaker} is on lead {lead} of {part} too: leave that lead unconnected and "
            "insulated, for two outputs on one wire destroy each other",
        )
        for speaker in answer.speakers
        if speaker.effect == "moves to new amplifier"
        for part, lead in dict.fromkeys((grip.part, grip.lead) for grip in speaker.spare_grips)
        if not _carries_another(answer, speaker.speaker, part, lead)
    ]


def _carries_another(answer: Runs, speaker: str, part: str, lead: str) -> bool:
    """Whether the lead is in use for another speaker; if so it cannot be left unconnected."""
    return any(
        (feed.part, feed.lead) == (part, lead)
        for other in answer.speakers
        if other.speaker != speaker and other.effect == "moves to new amplifier"
        for feed in other.feeds
    )


def _factory_outputs(connection: sqlite3.Connection, answer: Runs) -> list[Said]:
    """Leads that reach a speaker whose factory output stays connected, or may stay so."""
    cuts = factory_cuts(answer, _taken_out(connection, answer))
    return [((cut.speaker,), cut.said()) for cut in cuts]


def _taken_out(connection: sqlite3.Connection, answer: Runs) -> set[str]:
    """The kinds of unit that the kit replaces."""
    rows = connection.execute("SELECT kind FROM takes_out WHERE kit = ?", (answer.kit.revision,))
    return {kind for (kind,) in rows}


def live_on(lead: IdleLead | Grip) -> tuple[str, ...]:
    """The car's own supplies that come out on a lead once it is plugged in."""
    carried = " ".join(filter(None, (lead.plus_carries, lead.minus_carries))).split()
    return tuple(name for name in carried if name in SUPPLIES)


def _opening_leads(connection: sqlite3.Connection, answer: Runs) -> list[Opened]:
    """Leads not in use that leave a circuit of the car open: idle ones, and those that hold half a
    speaker."""
    taken_out = _taken_out(connection, answer)
    in_use = {
        (feed.part, feed.lead)
        for speaker in answer.speakers
        if speaker.effect == "moves to new amplifier"
        for feed in speaker.feeds
    }
    found = [lead.opened for lead in answer.idle_leads if lead.opened]
    for speaker in answer.speakers:
        for grip in speaker.grips:
            gone = not grip.in_line and speaker.fed_by_kind in taken_out
            if gone or (grip.part, grip.lead) in in_use:
                continue
            ways = ((grip.plus, grip.plus_carries), (grip.minus, grip.minus_carries))
            opened = opened_by(grip.part, grip.lead, grip.connector, grip.intercepts, ways)
            found += [opened] if opened and opened not in found else []
    return found


def _live_leads(answer: Runs) -> list[Said]:
    """Idle leads that a supply of the car comes out on, or may."""
    said: list[Said] = []
    for lead in answer.idle_leads:
        live = live_on(lead)
        if live:
            caution = (
                f"lead {lead.lead} of {lead.part} is live once plugged in ({' and '.join(live)}): "
                "insulate it before the plug goes on"
            )
            said.append(((), caution))
        if lead.untold:
            ways = f"way{'s' if len(lead.untold) > 1 else ''} {' and '.join(lead.untold)}"
            caution = (
                f"lead {lead.lead} of {lead.part} may be live once plugged in: nobody knows what "
                f"the wire on {lead.connector} {ways} carries; insulate the lead as live before "
                "the plug goes on"
            )
            said.append(((), caution))
    return said


def _claims(answer: Runs) -> list[Said]:
    return [
        (
            (speaker.speaker,),
            f"{speaker.speaker}: {' and '.join(speaker.claimed_by)} both claim to drive it; "
            "meter which one does before cutting anything",
        )
        for speaker in answer.speakers
        if len(speaker.claimed_by) > 1
    ]


def _unlisted(answer: Runs) -> list[Said]:
    if not answer.unlisted:
        return []
    return [
        (
            (),
            f"the car was sold with {answer.unlisted + len(answer.speakers)} speakers and "
            f"{len(answer.speakers)} are listed: nobody can say what becomes of the other "
            f"{answer.unlisted}, so look for them and meter before relying on this",
        )
    ]


def _rival_kits(connection: sqlite3.Connection, answer: Runs) -> list[Said]:
    """What another live revision of the kit has otherwise, of the parts in use."""
    said: list[Said] = []
    for one in rival_kits(connection):
        if one.kit != answer.path.kit:
            continue
        otherwise = told_otherwise(connection, one.kit, one.rival, of_wires=True, untold=False)
        leads = sorted(lead for lead in otherwise if lead[0] in answer.path.chosen)
        theirs = f"Another revision of the kit ({one.name}, {one.state}, by {one.author})"
        if leads:
            named = ", ".join(f"{lead} of {part}" for part, lead in leads)
            speakers = tuple(
                speaker.speaker
                for speaker in answer.speakers
                if any((grip.part, grip.lead) in leads for grip in speaker.grips)
            )
            said.append(
                (
                    speakers,
                    f"{theirs} has {'lead' if len(leads) == 1 else 'leads'} {named} otherwise: "
                    "look which plug and ways the part in hand has before anything is joined to it",
                )
            )
        if units_taken_out(connection, one.kit) != units_taken_out(connection, one.rival):
            said.append(((), f"{theirs} says otherwise which unit the kit takes out"))
    return said


def _disputes(answer: Runs) -> list[Said]:
    said: list[Said] = [
        (
            (speaker.speaker,),
            f"{speaker.speaker}: another revision of this entry documents its pins differently; "
            "meter them before relying on this",
        )
        for speaker in answer.speakers
        if speaker.disputed
    ]
    return said + [
        (
            (),
            f"lead {lead.lead} of {lead.part}: another revision of this entry documents its ways "
            "differently; meter them before cutting it back",
        )
        for lead in answer.idle_leads
        if lead.disputed
    ]
