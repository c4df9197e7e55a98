"""What the job leaves behind: leads to cut back, outputs that lose their load, what stays in place.

It stands alone because these are what a plan forgets: nothing plays on them, and each can hurt.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.answers.papers import Papers
from kb.answers.runs import Feed, Runs, SpeakerAnswer
from kb.documents.colours import read_colour
from kb.plan.impedance import nominal_ohms
from kb.plan.power import LoadResistor, load_resistor
from kb.plan.reach import Reach


@dataclass(frozen=True)
class CutBack:
    """A lead of a part in use that nothing plays on: cut back and insulate, or pull it."""

    part: str
    lead: str
    wire: str | None
    connector: str | None
    plus: str
    minus: str
    why: str


@dataclass(frozen=True)
class FitLoad:
    """A resistor for a factory output that senses its load and loses it; None: ohms unknown."""

    unit: str
    connector: str | None
    plus: str | None
    minus: str | None
    speakers: tuple[str, ...]
    resistor: LoadResistor | None


@dataclass(frozen=True)
class Keep:
    """A speaker that must stay in place, and why."""

    speaker: str
    why: str


def cut_back(papers: Papers, runs: Runs, reach: Reach) -> tuple[CutBack, ...]:
    """Idle leads, and leads whose speakers stay silent or are reached another way."""
    found = [
        CutBack(i.part, i.lead, i.wire, i.connector, i.plus, i.minus, i.why)
        for i in runs.idle_leads
        if i.part not in runs.does_not_plug_in
    ]
    pulled = {way.wire.id for way in reach.ways}
    idle = {(lead.part, lead.lead) for lead in runs.idle_leads}
    for part in papers.kit.get("part", ()):
        if part["id"] not in runs.path.chosen:
            continue
        for lead in part.get("leads", ()):
            name = (part["id"], str(lead["lead"]))
            if name in idle or f"lead {name[0]}.{name[1]}" in pulled:
                continue
            speaker, feed = _on_lead(runs, *name)
            found.append(
                CutBack(
                    *name,
                    wire=_colour(papers, lead.get("wire")),
                    connector=feed.lead_connector if feed else None,
                    plus=str(lead["plus"]),
                    minus=str(lead["minus"]),
                    why=_why_unused(papers, speaker),
                )
            )
    return tuple(found)


def _colour(papers: Papers, written: str | None) -> str | None:
    if written is None:
        return None
    return read_colour(written, papers.kit.get("colours", "iec")).code


def _on_lead(runs: Runs, part: str, lead: str) -> tuple[SpeakerAnswer | None, Feed | None]:
    for speaker in runs.speakers:
        for feed in speaker.feeds:
            if (feed.part, feed.lead) == (part, lead):
                return speaker, feed
    return None, None


def _why_unused(papers: Papers, speaker: SpeakerAnswer | None) -> str:
    if speaker is None:
        return "its ways carry parts of several feeds"
    if speaker.speaker in papers.job["job"].get("silent", ()):
        return f"{speaker.speaker} shall be silent"
    if speaker.outcome == "unknown":
        return f"{speaker.speaker}'s feed is unknown: meter first"
    return f"it reaches only part of {speaker.speaker}, which is wired another way"


def loads_to_fit(papers: Papers, runs: Runs, reach: Reach) -> tuple[FitLoad, ...]:
    """One for each pair of ways of a sensing unit that stays in the car and loses its speakers."""
    senses = {row["id"] for row in papers.vehicle.get("unit", ()) if row.get("senses_load")}
    taken_out = set(papers.kit["kit"].get("takes_out", ()))
    ohms = {row["id"]: row.get("ohms") for row in papers.vehicle.get("speaker", ())}
    opened: dict[tuple[str, str | None, str | None, str | None], list[str]] = {}
    for speaker in runs.speakers:
        if speaker.fed_by_kind in taken_out or not _loses_its_feed(papers, speaker, reach):
            continue
        for feed in speaker.feeds:
            if feed.unit in senses:
                key = (feed.unit or "", feed.connector, feed.plus, feed.minus)
                opened.setdefault(key, []).append(speaker.speaker)
    return tuple(
        FitLoad(*key, speakers=tuple(names), resistor=_resistor([ohms[name] for name in names]))
        for key, names in opened.items()
    )


def _resistor(ohms: list[float | None]) -> LoadResistor | None:
    known = [value for value in ohms if value is not None]
    return load_resistor(nominal_ohms(known, "parallel")) if len(known) == len(ohms) else None


def _loses_its_feed(papers: Papers, speaker: SpeakerAnswer, reach: Reach) -> bool:
    if any(fix.speaker == speaker.speaker for fix in reach.fixes):
        return True
    parts = {part["id"]: part for part in papers.kit.get("part", ())}
    opens = [bool(parts[f.part].get("intercepts")) for f in speaker.feeds if f.part in parts]
    playing = speaker.speaker not in papers.job["job"].get("silent", ())
    return any(opens) or (bool(opens) and playing and speaker.effect == "moves to new amplifier")


def keeps(papers: Papers) -> tuple[Keep, ...]:
    """The speakers that must stay where they are, whatever is fitted."""
    return tuple(
        Keep(row["id"], row["keep"]) for row in papers.vehicle.get("speaker", ()) if row.get("keep")
    )
