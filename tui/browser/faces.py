"""The connectors of a speaker's feeds, and which of their ways to point at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kb.answers.face import Face, read_face
from kb.answers.runs import SpeakerAnswer


def connectors_of(speaker: SpeakerAnswer) -> list[str]:
    """Each connector that a pole of the speaker is on, once, the first feed's first."""
    named = (name for feed in speaker.feeds for name in (feed.connector, feed.minus_connector))
    return list(dict.fromkeys(name for name in named if name))


def lit_ways(speaker: SpeakerAnswer, connector: str) -> list[str]:
    """The ways of a connector that are the speaker's."""
    return [
        at
        for feed in speaker.feeds
        for name, at in (
            (feed.connector, feed.plus),
            (feed.minus_connector or feed.connector, feed.minus),
        )
        if name == connector and at is not None
    ]


def read_faces(connection: Any, vehicle: str, connectors: Sequence[str]) -> list[Face]:
    """The faces of these connectors."""
    return [read_face(connection, vehicle, connector) for connector in connectors]
