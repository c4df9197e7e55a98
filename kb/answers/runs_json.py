"""The answer of `runs` as the JSON document that scripts rely on. A null is an unknown."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from kb.answers.feeds import Feed
from kb.answers.fixes import Fix, Joint
from kb.answers.grips import Grip
from kb.answers.opened import Opened
from kb.answers.pole_ways import PoleWay
from kb.answers.runs import IdleLead, Runs, SpeakerAnswer


def runs_json(answer: Runs) -> dict[str, Any]:
    """The whole answer; keys beyond the design's contract say more and take nothing away."""
    return {
        "vehicle": answer.vehicle.id,
        "kit": answer.kit.id,
        "parts": list(answer.path.chosen),
        "state": answer.state,
        "alone": answer.alone,
        "revisions": {"vehicle": answer.vehicle.hash, "kit": answer.kit.hash},
        "speakers": [_speaker(speaker) for speaker in answer.speakers],
        "idle_leads": [_idle(lead) for lead in answer.idle_leads],
        "does_not_plug_in": list(answer.does_not_plug_in),
        "contests": [
            {"parts": list(c.parts), "connectors": list(c.connectors), "plug": c.plug}
            for c in answer.contests
        ],
        "cautions": list(answer.cautions),
        "unknowns": answer.unknowns,
        "unlisted": answer.unlisted,
        "from": answer.costs_from,
    }


def _speaker(speaker: SpeakerAnswer) -> dict[str, Any]:
    first = speaker.feeds[0] if speaker.feeds else None
    return {
        "speaker": speaker.speaker,
        "place": speaker.place,
        "role": speaker.role,
        "fed_by": speaker.fed_by,
        "outcome": speaker.outcome,
        "effect": speaker.effect,
        "part": speaker.part,
        "lead": speaker.lead,
        **(_pins(first) if first else dict.fromkeys(PINS) | {"plus_also": [], "minus_also": []}),
        "duties": None if speaker.duties is None else list(speaker.duties),
        "keep": speaker.keep,
        "disputed": speaker.disputed,
        "measured": speaker.measured,
        "feeds": [
            {
                "coil": feed.coil,
                "unit": feed.unit,
                **_pins(feed),
                "part": feed.part,
                "lead": feed.lead,
                "reversed": feed.swapped,
                "joins_at": None if feed.grip is None else _grip(feed.grip),
            }
            for feed in speaker.feeds
        ],
        "spare_leads": [{"part": g.part, "lead": g.lead} for g in speaker.spare_grips],
        "fixes": [_fix(fix) for fix in speaker.fixes],
    }


def _grip(grip: Grip) -> dict[str, Any]:
    """Where the kit's lead meets the car's wires: at the unit, or at a connector in line."""
    return {
        "connector": grip.connector,
        "in_line": grip.in_line,
        "place": grip.place,
        "plus": grip.plus,
        "minus": grip.minus,
        "plus_wire": grip.plus_wire,
        "minus_wire": grip.minus_wire,
    }


PINS = ("connector", "plus", "minus", "plus_wire", "minus_wire", "minus_connector")


def _pins(feed: Feed) -> dict[str, Any]:
    return {name: getattr(feed, name) for name in PINS} | further_ways(feed)


def further_ways(of: Feed | Joint) -> dict[str, Any]:
    """The other ways of the same poles, which the keys of the first ones do not name."""
    return {"plus_also": _ways(of.plus_also), "minus_also": _ways(of.minus_also)}


def _ways(ways: Iterable[PoleWay]) -> list[dict[str, Any]]:
    return [{"connector": way.connector, "at": way.at, "wire": way.wire} for way in ways]


def _idle(lead: IdleLead) -> dict[str, Any]:
    return {
        "part": lead.part,
        "lead": lead.lead,
        "why": lead.why,
        "wire": lead.wire,
        "plug": lead.plug,
        "connector": lead.connector,
        "plus": lead.plus,
        "minus": lead.minus,
        "plus_carries": lead.plus_carries,
        "minus_carries": lead.minus_carries,
        "opens": _opens(lead.opened),
    }


def _opens(opened: Opened | None) -> dict[str, Any] | None:
    """The ways to join through again; null where the lead opens nothing of the car's."""
    if opened is None:
        return None
    return {
        "ways": list(opened.ways),
        "circuits": list(opened.circuits),
        "recorded": opened.sure,
    }


def _fix(fix: Fix) -> dict[str, Any]:
    cost = {
        "panels": None if fix.panels is None else list(fix.panels),
        "minutes": fix.minutes,
        "metres": fix.metres,
        "cost_unknown": fix.cost_unknown,
    }
    if fix.way == "part":
        return {
            "way": "part",
            "part": fix.part,
            "lead": fix.lead,
            "leads": list(fix.leads),
            "reversed": fix.reversed,
            "warning": fix.warning,
            **cost,
        }
    if fix.way == "run":
        return {"way": "run", "to": fix.to, **cost}
    first = fix.joints[0]
    return {
        "way": "tap",
        "connector": fix.connector,
        "in_line": fix.in_line,
        "place": fix.place,
        "plus": first.plus,
        "minus": first.minus,
        "plus_wire": first.plus_wire,
        "minus_wire": first.minus_wire,
        **further_ways(first),
        "feeds": [
            {
                "coil": joint.coil,
                "connector": joint.connector,
                "minus_connector": joint.minus_connector,
                "plus": joint.plus,
                "minus": joint.minus,
                "plus_wire": joint.plus_wire,
                "minus_wire": joint.minus_wire,
                **further_ways(joint),
            }
            for joint in fix.joints
        ],
        "shared_with": list(fix.shared_with),
        "warning": fix.warning,
        **cost,
    }
