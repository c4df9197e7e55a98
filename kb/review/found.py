"""What a person says was found on a pin: read, and doubted where it is likelier a slip than a fact.

Promise: a word that names nothing of this vehicle is never taken as a fact unasked. What cannot be
is refused with what is near; what would be a new circuit is asked about once. It stands alone
because the terminal and the browser ask for the same answers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kb.documents.carried import NOTHING, UNKNOWN
from kb.documents.circuits import (
    POLED_FAMILIES,
    USUAL_CIRCUITS,
    SpeakerPole,
    UnreadableCircuit,
    in_poled_family,
    read_circuit,
)
from kb.documents.colours import UnreadableColour, meant_as_colour, nearest_colour, read_colour
from kb.errors import Refused
from kb.nearest import nearest
from kb.review.readings import PinReading, checked
from kb.review.touched import Touched, TouchedPin


def read_found(touched: Touched, pin: TouchedPin, line: str) -> PinReading:
    """A typed answer: nothing, `ok`, or circuits and a colour in any order.

    Raises Refused where it can be no reading of this pin.
    """
    if line.casefold() in ("", "-"):
        return PinReading(pin.connector, pin.at, "")
    if line.casefold() in ("ok", "y", "yes"):
        return checked(PinReading(pin.connector, pin.at, "ok"), pin)
    circuits, wires = [], []
    for word in line.split():
        try:
            read_colour(word)
            wires.append(word)
        except UnreadableColour as fault:
            if meant_as_colour(word):
                raise Refused(f"{pin.name}: {fault}.") from fault
            circuits.append(word)
    for circuit in circuits:
        _must_be_of(touched, pin, circuit)
    return checked(
        PinReading(
            pin.connector, pin.at, "differs", " ".join(circuits) or None, " ".join(wires) or None
        ),
        pin,
    )


def doubt_of(touched: Touched, reading: PinReading) -> str | None:
    """What to ask before this reading is taken, or None where it names only what is known."""
    known = {*USUAL_CIRCUITS, *POLED_FAMILIES, *touched.circuits}
    for circuit in (reading.found_carries or "").split():
        if circuit in (NOTHING, UNKNOWN) or circuit in known or _named(circuit) is None:
            continue
        if in_poled_family(circuit.rstrip("+-")) and circuit[-1] in "+-":
            continue
        near = list(_near(touched, circuit))
        meant = f"; did you mean {' or '.join(near)}?" if near else "."
        return f'{reading.name}: "{circuit}" would be a new circuit, which nothing here has{meant}'
    return None


def _must_be_of(touched: Touched, pin: TouchedPin, circuit: str) -> None:
    """A speaker's circuit names a speaker of this vehicle, with its pole, its coil as it has it."""
    if circuit in (NOTHING, UNKNOWN):
        return
    if circuit in touched.speakers:
        raise Refused(
            f'{pin.name}: "{circuit}" lacks its pole; write {_or(_poles_of(touched, circuit))}.'
        )
    try:
        read = read_circuit(circuit)
    except UnreadableCircuit as fault:
        raise Refused(f"{pin.name}: {fault}.") from fault
    if not isinstance(read, SpeakerPole):
        return
    if read.speaker not in touched.speakers:
        near = nearest(read.speaker, touched.speakers)
        names = ", ".join(touched.speakers)
        meant = f"the nearest is {near}{read.pole}" if near else f"its speakers are {names}"
        raise Refused(f'{pin.name}: this vehicle has no speaker "{read.speaker}"; {meant}.')
    right = _poles_of(touched, read.speaker)
    if circuit not in right:
        raise Refused(f"{pin.name}: {read.speaker} has no {circuit}; write {_or(right)}.")


def _poles_of(touched: Touched, speaker: str) -> list[str]:
    coils = sorted(coil or "" for coil in touched.speakers[speaker])
    stems = [f"{speaker}.{coil}" if coil else speaker for coil in coils]
    return [f"{stem}{pole}" for stem in stems for pole in "+-"]


def _named(circuit: str) -> str | None:
    """The name of a circuit that is no speaker's."""
    read = read_circuit(circuit)
    return None if isinstance(read, SpeakerPole) else read.name


def _near(touched: Touched, word: str) -> Iterator[str]:
    """What is spelt like it: a colour, a usual circuit, a speaker."""
    colour = nearest_colour(word)
    if colour:
        yield f"the colour {colour[0]} ({colour[1]})"
    circuit = nearest(word, {*USUAL_CIRCUITS, *touched.circuits})
    if circuit:
        yield circuit
    speaker = nearest(word, touched.speakers)
    if speaker:
        yield _or(_poles_of(touched, speaker))


def _or(words: Iterable[str]) -> str:
    names = list(words)
    return " or ".join(filter(None, (", ".join(names[:-1]), names[-1]))) if names else "none"
