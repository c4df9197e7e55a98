"""An answer with what its screens show beside it, read in one go, and the lines at its head."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from textual.content import Content

from kb.answers.kits import PartFit, parts_for
from kb.answers.papers import runs_with_costs
from kb.answers.rivals import Rival, rivals_of
from kb.answers.runs import Runs
from kb.documents.circuits import SpeakerPole, read_circuit
from kb.review.measured import unmeasured
from tui.browser.lines import vehicle as lines
from tui.browser.text import flow, row, shown


@dataclass(frozen=True)
class KitAnswer:
    """`parts` are all those of the kit; `rivals` are the claims against each disputed speaker;
    `unmeasured` are the poles of each speaker that nobody measured, as circuits with their ways.
    """

    answer: Runs
    parts: list[PartFit]
    rivals: dict[str, tuple[Rival, ...]]
    unmeasured: dict[str, tuple[str, ...]]


def read_kit_answer(
    connection: Any,
    vehicle: str,
    kit: str,
    parts: Sequence[str],
    place: str | None,
) -> KitAnswer:
    """The answer with its costs from `place`, else from that of the unit taken out."""
    answer = runs_with_costs(connection, vehicle, kit, parts, place=place)
    return KitAnswer(
        answer,
        parts_for(connection, vehicle, kit),
        {
            speaker.speaker: rivals_of(connection, answer.vehicle.revision, speaker.speaker)
            for speaker in answer.speakers
            if speaker.disputed
        },
        _by_speaker(unmeasured(connection, answer.vehicle.revision)),
    )


def _by_speaker(poles: Sequence[str]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for said in poles:
        circuit = read_circuit(said.partition(" ")[0])
        if isinstance(circuit, SpeakerPole):
            found.setdefault(circuit.speaker, []).append(said)
    return {speaker: tuple(said) for speaker, said in found.items()}


def headline(found: KitAnswer, width: int) -> list[Content]:
    """The path with what `p` could add, then the answer in a few words."""
    answer = found.answer
    path = " + ".join(answer.path.chosen)
    items = [row(" with ", (answer.kit_title, "bold"), f", {path}" if path else "")]
    if spare := _spare_parts(found):
        items.append(shown(spare, "faint" if path else "caution"))
    if doubt := lines.trust_in_short(answer):
        items.append(shown(doubt, "caution"))
    return [*flow(items, width), *lines.headline(answer, width)]


def _spare_parts(found: KitAnswer) -> str:
    path = found.answer.path
    if path.chosen:
        many = len(path.unchosen)
        return f"p: {many} more part{'' if many == 1 else 's'}" if many else ""
    fitting = [part.part for part in found.parts if part.fits]
    plugs = "plugs" if len(fitting) == 1 else "plug"
    here = f"{' and '.join(fitting)} {plugs} in here" if fitting else "none plugs in here"
    return f"no part chosen yet: press p; {here}"
