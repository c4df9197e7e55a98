"""The connectors of a speaker's feeds, and which of their ways to point at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kb.answers.face import Face, read_face
from kb.answers.runs import SpeakerAnswer


def connectors_of(speaker: SpeakerAnswer) -> list[str]:
    """Each connector that a pole of the speaker is on, once, the first feed's first."""
    return list(dict.fromkeys(connector for connector, _ in _spots(speaker)))


def lit_ways(speaker: SpeakerAnswer, connector: str) -> list[str]:
    """The ways of a connector that are the speaker's, all of them: each may have to be cut."""
    return [at for name, at in _spots(speaker) if name == connector]


def _spots(speaker: SpeakerAnswer) -> list[tuple[str, str]]:
    """Every way of each feed at its unit, those that are shown for it first."""
    return [spot for feed in speaker.feeds for spot in (*feed.plus_spots, *feed.minus_spots)]


def read_faces(connection: Any, vehicle: str, connectors: Sequence[str]) -> list[Face]:
    """The faces of these connectors."""
    return [read_face(connection, vehicle, connector) for connector in connectors]
