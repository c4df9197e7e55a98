"""What the job leaves behind: leads to cut back, outputs that lose their load, what stays in place.

It stands alone because these are what a plan forgets: nothing plays on them, and each can hurt.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from kb.answers.cautions import live_on
from kb.answers.feeds import Feed
from kb.answers.grips import Grip
from kb.answers.opened import NEVER, Opened, opened_by
from kb.answers.papers import Papers
from kb.answers.runs import Runs, SpeakerAnswer
from kb.documents.colours import read_colour
from kb.plan.fates import PLAYING, Fate, opens_output
from kb.plan.impedance import nominal_ohms
from kb.plan.pairs import Pair
from kb.plan.power import BRIDGE_VOLTS, LoadResistor, load_resistor
from kb.plan.reach import Reach
from kb.plan.why import COMMON_PRACTICE, Why, number
from kb.plan.wiring import CARRIED, Vehicle, Wiring


@dataclass(frozen=True)
class CutBack:
    """A lead of a part in use that nothing plays on: cut back and insulate, or pull it.

    `take_as_live`: nobody knows what is on one of its ways, or another revision has it otherwise;
    `live`: the car's own supplies that come out on it; `opened`: circuits of the car that it leaves
    open where it is just cut back, so that its two sides are to be joined through again; `outputs`:
    whose output comes to its ends once the power is on, which they must not tie to another.
    """

    part: str
    lead: str
    wire: str | None
    connector: str | None
    plus: str
    minus: str
    why: str
    take_as_live: bool = False
    live: tuple[str, ...] = ()
    opened: Opened | None = None
    outputs: tuple[str, ...] = ()

    @property
    def care(self) -> str | None:
        """What whoever handles it must know at that moment."""
        minded = []
        if self.opened:
            minded.append(f"it {self.opened.what}: {NEVER}")
        if self.live:
            supplies = " and ".join(self.live)
            minded.append(f"live once plugged in ({supplies}): insulate it before the plug goes on")
        elif self.take_as_live:
            minded.append("take it as live until metered")
        if self.outputs:
            minded.append(
                f"once on, {' and '.join(self.outputs)} come{'' if self.outputs[1:] else 's'} to "
                "its ends: insulate each by itself"
            )
        return "; ".join(minded) or None

    @property
    def rest(self) -> tuple[str, ...]:
        """Its ways that are cut back all the same, where the others are joined through."""
        through = self.opened.ways if self.opened else ()
        return tuple(at for at in (self.plus, self.minus) if at not in through)


@dataclass(frozen=True)
class FitLoad:
    """A resistor for a factory output that senses its load and loses it; None: ohms unknown.

    `speakers` are all that hung on the output, `factory_ohms` they together. `cut`: the wire is cut
    at the plug, so the resistor belongs on the unit's side of it.
    """

    unit: str
    connector: str | None
    plus: str | None
    minus_connector: str | None
    minus: str | None
    speakers: tuple[str, ...]
    factory_ohms: float | None
    resistor: LoadResistor | None
    cut: bool

    @property
    def ways(self) -> str:
        """The two ways: `R1 ways 11 and 25`, `R1 way 3 and R2 way 1`."""
        if self.connector == self.minus_connector:
            return f"{self.connector} ways {self.plus} and {self.minus}"
        return f"{self.connector} way {self.plus} and {self.minus_connector} way {self.minus}"

    @property
    def side(self) -> str:
        """Where on these ways: which side of the cut, or that there is none."""
        if self.cut:
            return f"on {self.unit}'s side of the cut"
        return "the factory pair stays whole up to the speaker"

    @property
    def why(self) -> Why | None:
        """How the resistor came about; None where the ohms are unknown."""
        if self.resistor is None or self.factory_ohms is None:
            return None
        watts = number(self.resistor.dissipates, 1)
        return Why(
            f"load on {self.unit}, {self.ways},",
            f"{number(self.resistor.ohms)} Ω",
            "the next preferred value at or above the ohms that the output loses; P = V² / R",
            f"{' and '.join(self.speakers)} make {number(self.factory_ohms)} Ω; V = "
            f"{number(BRIDGE_VOLTS, 1)} V assumed, 14.4 V / √2, the most of an output that has no "
            f"voltage converter, so P = {watts} W",
            "E12 of IEC 60063; 14.4 V as in ANSI/CTA-2006; usual wattages from memory; that a "
            f"resistor satisfies the unit is {COMMON_PRACTICE}",
        )


@dataclass(frozen=True)
class Keep:
    """A speaker that must stay in place, and why."""

    speaker: str
    why: str


def cut_back(
    papers: Papers,
    runs: Runs,
    reach: Reach,
    undriven: Collection[str],
    fates: Mapping[str, Fate],
) -> tuple[CutBack, ...]:
    """Idle leads, and leads whose speakers stay silent, are reached another way, or have no
    channel (`undriven` are the ids of such wires)."""
    found = [
        CutBack(
            i.part,
            i.lead,
            i.wire,
            i.connector,
            i.plus,
            i.minus,
            i.half_known or i.why,
            take_as_live=i.take_as_live or i.disputed,
            live=live_on(i),
            opened=i.opened,
        )
        for i in runs.idle_leads
        if i.part not in runs.does_not_plug_in
    ]
    pulled = {way.wire.id for way in reach.ways} - set(undriven)
    idle = {(lead.part, lead.lead) for lead in runs.idle_leads}
    for part in papers.kit.get("part", ()):
        if part["id"] not in runs.path.chosen:
            continue
        for lead in part.get("leads", ()):
            name = (part["id"], str(lead["lead"]))
            if name in idle or f"lead {name[0]}.{name[1]}" in pulled:
                continue
            held = _held_by(runs, *name)
            found.append(
                CutBack(
                    *name,
                    wire=_colour(papers, lead.get("wire")),
                    connector=held[0][1].connector if held else None,
                    plus=str(lead["plus"]),
                    minus=str(lead["minus"]),
                    why=" and ".join(
                        dict.fromkeys(_why_unused(papers, reach, *holding) for holding in held)
                    ),
                    take_as_live=any(_untold(*holding) for holding in held),
                    live=live_on(held[0][1]) if held else (),
                    opened=_opened_beside(papers, held[0][1]) if held else None,
                    outputs=_outputs_on(papers, reach, fates, [speaker for speaker, _ in held]),
                )
            )
    return tuple(found)


def _colour(papers: Papers, written: str | None) -> str | None:
    if written is None:
        return None
    return read_colour(written, papers.kit.get("colours", "iec")).code


def _held_by(runs: Runs, part: str, lead: str) -> list[tuple[SpeakerAnswer, Grip]]:
    """What a lead holds of each feed, of whichever speaker, whether it is the one named or not."""
    return [
        (speaker, grip)
        for speaker in runs.speakers
        for grip in speaker.grips
        if (grip.part, grip.lead) == (part, lead)
    ]


def _untold(speaker: SpeakerAnswer, grip: Grip) -> bool:
    """Whether nobody knows what is on one of a lead's ways, or what drives its speaker."""
    return speaker.outcome == "unknown" or None in (grip.plus_carries, grip.minus_carries)


def _outputs_on(
    papers: Papers, reach: Reach, fates: Mapping[str, Fate], speakers: Iterable[SpeakerAnswer]
) -> tuple[str, ...]:
    """Whose output stands on the wires of some speakers: the new amplifier's, where one of them
    plays on its factory pair, and that of a unit which stays in the car and goes on driving it."""
    out = papers.kit["kit"].get("takes_out", ())
    run = {fix.speaker for fix in reach.fixes if fix.way == "run"}
    found: dict[str, list[str]] = {}
    for speaker in dict.fromkeys(speakers):
        name = speaker.speaker
        if fates[name] in PLAYING and name not in run:
            found.setdefault("the new amplifier's output", []).append(name)
        elif speaker.fed_by is not None and speaker.fed_by_kind not in out:
            found.setdefault(f"{speaker.fed_by}'s output", []).append(name)
    return tuple(f"{whose} to {' and '.join(names)}" for whose, names in found.items())


def _opened_beside(papers: Papers, grip: Grip) -> Opened | None:
    """What a lead opens with its way that is not the speaker's; nothing where the unit is out."""
    vehicle = Vehicle(papers.vehicle)
    unit = vehicle.connectors[grip.connector].get("unit")
    if unit and vehicle.units.get(unit, {}).get("kind") in papers.kit["kit"].get("takes_out", ()):
        return None
    ways = ((grip.plus, grip.plus_carries), (grip.minus, grip.minus_carries))
    return opened_by(grip.part, grip.lead, grip.connector, grip.intercepts, ways)


def _why_unused(papers: Papers, reach: Reach, speaker: SpeakerAnswer, grip: Grip) -> str:
    if speaker.speaker in papers.job["job"].get("silent", ()):
        return f"{speaker.speaker} shall be silent"
    if speaker.outcome == "unknown":
        return f"{speaker.speaker}'s feed is unknown: meter first"
    if speaker.outcome in CARRIED:
        named = next(feed for feed in speaker.feeds if feed.coil == grip.coil)
        if (named.part, named.lead) != (grip.part, grip.lead):
            return f"{speaker.speaker} is on lead {named.lead} of {named.part} already"
        if any(fix.speaker == speaker.speaker and fix.way == "run" for fix in reach.fixes):
            return f"{speaker.speaker} has a wire of its own"
        return f"{speaker.speaker} is on no channel"
    if grip.fit == "short":
        return f"it reaches only part of {speaker.speaker}, which is wired another way"
    return f"it reaches only coil {grip.coil} of {speaker.speaker}, which is wired another way"


def loads_to_fit(
    papers: Papers, runs: Runs, reach: Reach, pairs: Sequence[Pair], wiring: Wiring
) -> tuple[FitLoad, ...]:
    """One for each pair of ways of a sensing unit that stays in the car and loses all its speakers.

    An output that keeps one of several speakers is not open, and gets none.
    """
    senses = {row["id"] for row in papers.vehicle.get("unit", ()) if row.get("senses_load")}
    taken_out = set(papers.kit["kit"].get("takes_out", ()))
    outputs: list[tuple[Feed, list[SpeakerAnswer]]] = []
    for speaker in runs.speakers:
        for feed in speaker.feeds if speaker.fed_by_kind not in taken_out else ():
            if feed.unit in senses:
                hung = next((on for first, on in outputs if _one_output(first, feed)), None)
                if hung is None:
                    outputs.append((feed, [speaker]))
                else:
                    hung.append(speaker)
    return tuple(
        _fit_load(papers, feed, speakers, reach, wiring)
        for feed, speakers in outputs
        if all(opens_output(papers, speaker, reach, pairs) for speaker in speakers)
    )


def _one_output(one: Feed, other: Feed) -> bool:
    """Whether two feeds are one output of their unit: both poles meet on some way."""
    return (
        one.unit == other.unit
        and not set(one.plus_spots).isdisjoint(other.plus_spots)
        and not set(one.minus_spots).isdisjoint(other.minus_spots)
    )


_Spots = tuple[str | None, str | None, str | None, str | None]
"""The connector and way of the plus, and those of the minus."""


def _where_cut(
    speaker: SpeakerAnswer, feed: Feed, reach: Reach, wiring: Wiring, in_line: frozenset[str]
) -> _Spots:
    """Where the output loses this speaker: the in-line plug at which it is opened or tapped, for
    there the hand is; else the unit's own ways."""
    for grip in speaker.grips:
        if grip.in_line and grip.intercepts and grip.coil == feed.coil:
            ways = (grip.plus, grip.minus)[:: -1 if grip.fit == "swapped" else 1]
            return grip.connector, ways[0], grip.connector, ways[1]
    for fix in reach.fixes:
        if fix.speaker == speaker.speaker and fix.way == "tap":
            for joint in wiring.known[fix].joints:
                if joint.coil == feed.coil and in_line.issuperset(joint.connectors):
                    return joint.connector, joint.plus, joint.minus_connector, joint.minus
    return feed.connector, feed.plus, feed.minus_connector, feed.minus


def _fit_load(
    papers: Papers,
    feed: Feed,
    speakers: list[SpeakerAnswer],
    reach: Reach,
    wiring: Wiring,
) -> FitLoad:
    rows = {row["id"]: row.get("ohms") for row in papers.vehicle.get("speaker", ())}
    ohms = [rows[speaker.speaker] for speaker in speakers]
    known = [value for value in ohms if value is not None]
    together = nominal_ohms(known, "parallel") if len(known) == len(ohms) else None
    run = {fix.speaker for fix in reach.fixes if fix.way == "run"}
    in_line = frozenset(c["id"] for c in papers.vehicle.get("connector", ()) if "unit" not in c)
    spots = {_where_cut(speaker, feed, reach, wiring, in_line) for speaker in speakers}
    at_unit = (feed.connector, feed.plus, feed.minus_connector, feed.minus)
    connector, plus, minus_connector, minus = spots.pop() if len(spots) == 1 else at_unit
    return FitLoad(
        unit=feed.unit or "",
        connector=connector,
        plus=plus,
        minus_connector=minus_connector,
        minus=minus,
        speakers=tuple(speaker.speaker for speaker in speakers),
        factory_ohms=together,
        resistor=None if together is None else load_resistor(together),
        cut=any(
            speaker.speaker not in run or any(grip.intercepts for grip in speaker.grips)
            for speaker in speakers
        ),
    )


def keeps(papers: Papers) -> tuple[Keep, ...]:
    """The speakers that must stay where they are, whatever is fitted."""
    return tuple(
        Keep(row["id"], row["keep"]) for row in papers.vehicle.get("speaker", ()) if row.get("keep")
    )
