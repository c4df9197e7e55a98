"""Which line output of the kit feeds which amplifier input, and what goes with it.

Promise: a kit that does not say what its outputs carry gets no invented routing. It stands alone
because it compares two products and needs nothing of the vehicle but what each channel plays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class LineOutput:
    """One line output: what it carries, and whether balance and fade move it (None: unknown)."""

    id: str
    carries: str
    fades: bool | None = None


@dataclass(frozen=True)
class SignalLead:
    """One channel's input: the output that feeds it, None where none is documented to fit.

    `shared` says that another channel had the output first, so that it takes a Y lead.
    """

    output: str | None
    channel: str
    carries: str | None
    fades: bool | None
    note: str | None
    shared: bool = False


def route_signal(
    outputs: Sequence[LineOutput], channels: Sequence[tuple[str, str | None]]
) -> tuple[SignalLead, ...]:
    """One lead for each (channel, zone), each output used once while others of its kind are free;
    bass from an output that does not fade where there is one."""
    used: list[str] = []
    found = []
    for channel, zone in channels:
        output, note = _output_for(zone, outputs, used)
        if output is None:
            found.append(SignalLead(None, channel, zone, None, note))
            continue
        shared = output.id in used
        split = f"output {output.id} feeds several inputs: split it with a Y lead"
        said = "; ".join(text for text in (split if shared else None, note) if text) or None
        used.append(output.id)
        found.append(SignalLead(output.id, channel, output.carries, output.fades, said, shared))
    return tuple(found)


def _output_for(
    zone: str | None, outputs: Sequence[LineOutput], used: Sequence[str]
) -> tuple[LineOutput | None, str | None]:
    if not outputs:
        return None, "what each line output carries is not documented: listen to each in turn"
    if zone is None:
        return None, "the channel mixes zones: choose its output by ear"
    if zone == "bass":
        return _bass_output(outputs, used)
    fitting = [output for output in outputs if output.carries == zone]
    if not fitting:
        return None, f"no output carries {zone}"
    return min(fitting, key=lambda output: used.count(output.id)), None


def _bass_output(
    outputs: Sequence[LineOutput], used: Sequence[str]
) -> tuple[LineOutput | None, str | None]:
    steady = [output for output in outputs if output.fades is False]
    for choice in (
        [output for output in steady if output.carries == "bass"],
        steady,
        [output for output in outputs if output.carries == "bass"],
    ):
        if choice:
            output = min(choice, key=lambda output: used.count(output.id))
            note = None if output.fades is False else _fading_note(output)
            return output, note
    fitting = [output for output in outputs if output.carries.startswith("front")]
    if not fitting:
        return None, "no output carries bass"
    output = min(fitting, key=lambda output: used.count(output.id))
    return output, f"no output carries bass: {output.carries} does, and low-passed; it fades"


def _fading_note(output: LineOutput) -> str | None:
    if output.fades is None:
        return f"whether output {output.id} fades is not documented: try the fader"
    return f"output {output.id} fades: the bass goes with balance and fade"


def turn_on_note(gives: float | None, wants: float | None) -> tuple[str, bool]:
    """Whether the kit's turn-on lead can carry the amplifier's input: a sentence, and True where it
    is a fault."""
    if gives is None or wants is None:
        lacking = " and ".join(
            name
            for name, value in (
                ("what the kit's turn-on lead gives", gives),
                ("what the amplifier's turn-on input draws", wants),
            )
            if value is None
        )
        return f"turn-on: {lacking} is not documented; measure it, or put a relay in between", False
    if wants > gives:
        return (
            f"turn-on: the amplifier draws {wants:g} A and the kit's lead gives {gives:g} A: "
            "put a relay in between",
            True,
        )
    return f"turn-on: the kit's lead gives {gives:g} A, the amplifier draws {wants:g} A", False
