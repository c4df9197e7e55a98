"""What must be metered at the plugs before anything is cut, and how that is done without harm.

Promise: ohms and polarity are taken with the battery off; power comes back only for feeds that
nobody has found yet, with every plug shut and nothing cut, and goes off again, with the airbags'
wait, before the first joint. It stands alone because here a slip hurts someone.
"""

from __future__ import annotations

from collections.abc import Iterator

from kb.plan.cautions import srs_wait_words
from kb.plan.plan import Plan
from kb.plan.uses import ways_in_use


def metering_steps(plan: Plan) -> Iterator[tuple[str, str | None]]:
    """Each thing to do with what to mind; nothing where all is known and verified."""
    yield from _with_the_battery_off(plan)
    yield from _with_power(plan)


def _with_the_battery_off(plan: Plan) -> Iterator[tuple[str, str | None]]:
    plugs = ", ".join(ways_in_use(plan))
    unsigned = plan.papers.state != "verified"
    if (unsigned or plan.runs.vehicle.reason) and plugs:
        held = any(s.blocks_below_hz for s in plan.played.values() if not s.fitted)
        capacitor = "; behind a capacitor ohms read open, the pop still clicks" if held else ""
        yield (
            f"Meter each feed before cutting it, battery still off: unplug {plugs}, ohms of each "
            "pair in use, then a polarity pop (1.5 V cell) that sounds the right speaker",
            (
                f"this plan rests on entries that nobody verified{capacitor}"
                if unsigned
                else f"the vehicle was verified {plan.runs.vehicle.signed_less}{capacitor}"
            ),
        )
    if plan.runs.disputed_leads:
        leads = " and ".join(f"lead {lead} of {part}" for part, lead in plan.runs.disputed_leads)
        yield (
            f"Look at {leads} in hand, plug and ways: two revisions of the kit disagree",
            "until then swap, tap, cut back and join nothing for them",
        )
    for speaker in plan.runs.speakers:
        if speaker.disputed:
            yield f"Meter {speaker.speaker}'s pins: two entries disagree on them", None


def _with_power(plan: Plan) -> Iterator[tuple[str, str | None]]:
    unknown = [s for s in plan.runs.speakers if s.speaker in plan.wiring.not_planned]
    if not unknown:
        return
    yield (
        "Battery on for metering alone: every plug back on its unit, nothing cut, no bare end; "
        "then negative on, radio playing a low tone",
        "airbag plugs stay shut and no probe comes near them; nobody leans over an airbag",
    )
    for speaker in unknown:
        what = speaker.to_meter or "its feed"
        yield f"Meter {speaker.speaker}, AC volts at the plug: {what} is unknown", None
    yield (
        f"Ignition off, battery negative off again; wait {srs_wait_words(plan)}",
        "no cut and no joint before that",
    )
