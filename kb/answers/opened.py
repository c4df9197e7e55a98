"""What a lead that nothing plays on leaves open of the car's own circuits.

A part that opens the factory wires opens every way that one of its leads lands on. Where no speaker
is on that way, something else of the car is, or may be: cut back, such a lead leaves it dead. It
stands alone because answers, plans and the drawings of faces must all say so of the same ways.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.documents.circuits import SpeakerPole, read_circuit

NEVER = "never just cut it back"


@dataclass(frozen=True)
class Opened:
    """The ways of a connector that a lead opens, or may, and on which no speaker is.

    `circuits` are those known to be on them; `untold` are the ways of which nobody knows what they
    carry. `sure`: it is recorded that the part opens the wires.
    """

    part: str
    lead: str
    connector: str
    ways: tuple[str, ...]
    circuits: tuple[str, ...]
    untold: tuple[str, ...]
    sure: bool

    @property
    def what(self) -> str:
        """`opens data+ and data- at R1`, `may open what way 24 of A1 carries`."""
        verb = "opens" if self.sure and self.circuits else "may open"
        things = [" and ".join(self.circuits)] if self.circuits else []
        if self.untold:
            ways = f"way{'s' if len(self.untold) > 1 else ''} {' and '.join(self.untold)}"
            things.append(f"whatever {ways} carr{'y' if len(self.untold) > 1 else 'ies'}")
        return f"{verb} {' and '.join(things)} at {self.connector}"

    @property
    def through(self) -> str:
        """`way 9 to 9, way 10 to 10`."""
        return ", ".join(f"way {at} to {at}" for at in self.ways)

    def said(self) -> str:
        """The caution."""
        lead = f"lead {self.lead} of {self.part} {self.what}"
        if self.sure:
            return f"{lead}: join its two sides through again, {NEVER}"
        return (
            f"{lead}, for nobody recorded whether {self.part} opens the wires: if it does, join "
            f"the two sides of that lead through again, {NEVER}"
        )


def opened_by(
    part: str,
    lead: str,
    connector: str | None,
    intercepts: bool | None,
    ways: tuple[tuple[str, str | None], ...],
) -> Opened | None:
    """What a lead opens there; None where that is nothing.

    `ways` are its two with what each carries: '' where it is known to be empty, None where nobody
    knows.
    """
    if connector is None or intercepts is False:
        return None
    found = {at: carries for at, carries in ways if carries != "" and not _of_a_speaker(carries)}
    if not found:
        return None
    return Opened(
        part=part,
        lead=lead,
        connector=connector,
        ways=tuple(found),
        circuits=tuple(dict.fromkeys(" ".join(filter(None, found.values())).split())),
        untold=tuple(at for at, carries in found.items() if carries is None),
        sure=bool(intercepts),
    )


def _of_a_speaker(carries: str | None) -> bool:
    return any(isinstance(read_circuit(text), SpeakerPole) for text in (carries or "").split())
