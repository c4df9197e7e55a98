"""The plan as the JSON document that scripts rely on. A null is an unknown.

Keys beyond the design's contract say more and take nothing away.
"""

from __future__ import annotations

from typing import Any

from kb.answers.runs import SpeakerAnswer
from kb.answers.runs_json import further_ways
from kb.plan.alternatives import how
from kb.plan.channels import ChannelPlan
from kb.plan.fitting import fittings_of
from kb.plan.leftovers import CutBack
from kb.plan.not_driven import not_driven
from kb.plan.plan import Plan
from kb.plan.reach import Fix, Reach
from kb.plan.speaker_wire import SpeakerWire
from kb.plan.whole import WholePlan
from kb.wire_sizes import write_awg


def plan_json(whole: WholePlan) -> dict[str, Any]:
    """The whole plan."""
    plan = whole.plan
    supply = plan.supply
    return {
        "job": plan.job,
        "vehicle": plan.runs.vehicle.id,
        "kit": plan.runs.kit.id,
        "amplifier": plan.papers.amplifier_entry.id,
        "parts": list(plan.runs.path.chosen),
        "state": plan.papers.state,
        "signed_less": list(plan.papers.signed_less),
        "faults": list(plan.faults),
        "warnings": list(plan.warnings),
        "reach": _reach(plan, whole),
        "signal": [
            {
                "output": lead.output,
                "channel": lead.channel,
                "carries": lead.carries,
                "fades": lead.fades,
                "note": lead.note,
                "metres": plan.signal_metres,
            }
            for lead in plan.signal
        ],
        "turn_on": plan.turn_on,
        "channels": [_channel(channel) for channel in plan.channels],
        "suggested": None
        if plan.suggestion is None
        else {
            "why": list(plan.suggestion.reasons),
            "without_channel": list(plan.suggestion.without),
        },
        "input": {"output_volts": plan.input.output_volts, "fault": plan.input.fault},
        "supply": {
            "amps": supply.amps,
            "fuse_amps": supply.fuse_amps,
            "awg": _awg(supply.awg),
            "mm2": supply.mm2,
            "material": supply.material,
            "engine_space": supply.engine_space,
            "metres": supply.metres,
            "ground_metres": supply.ground_metres,
            "drop_volts": supply.drop_volts,
            "faults": list(supply.faults),
            "notes": list(supply.notes),
        },
        "speaker_wire": [_wire(wire) for wire in plan.speaker_wire],
        "cut_back": [_left_over(lead) for lead in plan.cut_back if not lead.opened],
        "join_through": [_left_over(lead) for lead in plan.cut_back if lead.opened],
        "settings": [vars(setting) for setting in whole.settings],
        "loads": [
            {
                "unit": load.unit,
                "connector": load.connector,
                "plus": load.plus,
                "minus_connector": load.minus_connector,
                "minus": load.minus,
                "speakers": list(load.speakers),
                "ohms": None if load.resistor is None else load.resistor.ohms,
                "watts": None if load.resistor is None else load.resistor.dissipates,
                "rating": None if load.resistor is None else load.resistor.rating,
            }
            for load in plan.loads
        ],
        "keep": [{"speaker": keep.speaker, "why": keep.why} for keep in plan.keep],
        "not_driven": list(not_driven(plan)),
        "fitting": [vars(fitting) for fitting in fittings_of(plan)],
        "steps": [vars(step) for step in whole.steps],
        "cautions": list(whole.cautions),
        "take": list(whole.take),
        "why": [why.line() for why in plan.whys],
    }


def _left_over(lead: CutBack) -> dict[str, Any]:
    """A lead that nothing plays on; of one to join through, what it leaves open if it is cut."""
    return {**vars(lead), "opened": vars(lead.opened) if lead.opened else None}


def _reach(plan: Plan, whole: WholePlan) -> dict[str, Any]:
    reach = plan.reach
    return {
        "choices": [
            *(_named(speaker) for speaker in plan.by_named_parts),
            *(_choice(plan, fix) for fix in reach.fixes),
        ],
        "panels": list(whole.panels),
        **_cost(reach),
        "supply_metres": reach.supply_metres,
        "exact": reach.exact,
        "flags": list(reach.flags),
        "unreachable": list(reach.unreachable),
        "meter_first": list(plan.wiring.not_planned),
        "others": [
            {"name": other.name, "how": how(other.reach), **_cost(other.reach)}
            for other in plan.others
        ],
    }


def _cost(reach: Reach) -> dict[str, Any]:
    return {
        "minutes": reach.minutes,
        "metres": reach.metres,
        "known_minutes": reach.known_minutes,
        "known_metres": reach.known_metres,
        "guessed_panels": list(reach.guessed),
        "taps": reach.taps,
        "runs": reach.runs,
    }


def _named(speaker: SpeakerAnswer) -> dict[str, Any]:
    """A choice that the job made itself, by naming the part."""
    feed = speaker.feeds[0]
    return {
        "speaker": speaker.speaker,
        "way": "part",
        "part": speaker.part,
        "lead": speaker.lead,
        "connector": feed.lead_connector or feed.connector,
        "pinned": True,
    }


def _choice(plan: Plan, fix: Fix) -> dict[str, Any]:
    known = plan.wiring.known[fix]
    answer = next(s for s in plan.runs.speakers if s.speaker == fix.speaker)
    found: dict[str, Any] = {
        "speaker": fix.speaker,
        "way": fix.way,
        "part": known.part,
        "lead": known.lead,
        "connector": known.connector,
        "pinned": False,
    }
    if fix.way == "part" and answer.feeds:
        found["connector"] = answer.feeds[0].lead_connector or answer.feeds[0].connector
    if fix.way == "run":
        found["to"] = known.to
    joints = [
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
        for joint in known.joints
    ]
    if joints:
        found |= {key: value for key, value in joints[0].items() if key != "coil"}
        found["feeds"] = joints
        found["shared_with"] = list(known.shared_with)
        found["warning"] = known.warning
    return found


def _channel(channel: ChannelPlan) -> dict[str, Any]:
    return {
        "channel": channel.channel,
        "speakers": list(channel.speakers),
        "along": list(channel.along),
        "wiring": channel.wiring,
        "zone": channel.zone,
        "nominal_ohms": channel.nominal_ohms,
        "lowest_ohms": channel.lowest_ohms,
        "min_ohms": channel.min_ohms,
        "fault": channel.fault,
        "watts": channel.watts,
        "limited_by": channel.limited_by,
        "gain_volts": channel.gain_volts,
        "warnings": list(channel.warnings),
    }


def _wire(wire: SpeakerWire) -> dict[str, Any]:
    return {
        "speaker": wire.speakers[0],
        "speakers": list(wire.speakers),
        "coil": wire.coil,
        "kind": wire.kind,
        "to": wire.to,
        "places": list(wire.places),
        "metres": wire.metres,
        "load_ohms": wire.load_ohms,
        "awg": _awg(wire.awg),
        "fault": wire.fault,
        "notes": list(wire.notes),
    }


def _awg(awg: int | None) -> int | str | None:
    """A size as documents write it: 10, or "1/0"."""
    return awg if awg is None or awg > 0 else write_awg(awg)
