"""What a speaker sounds beside music (chimes, calls), and what is said where that could be lost.

It stands alone because answers, plans and screens must all tell a duty that nobody wrote from none.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kb.answers.runs import Runs, SpeakerAnswer

Said = tuple[tuple[str, ...], str]
"""The speakers that a caution is about, and the caution."""

Duties = tuple[str, ...] | None
"""The duties of a speaker; None where nobody wrote any, which is not the same as none."""

DUTY_WORDS = {
    "chime": "the warning chimes",
    "emergency-call": "the emergency call's voice",
    "noise-cancelling": "the engine-noise cancelling",
    "phone": "the phone's voice",
}


def read_duties(kept: str | None) -> Duties:
    """Duties as a row of the book keeps them: words, an empty text for none, NULL for unwritten."""
    return None if kept is None else tuple(kept.split())


def duties_in_words(duties: Duties) -> str:
    """`chime` and the like as a person says them; nothing for none, nor where nobody wrote any."""
    return " and ".join(DUTY_WORDS.get(duty, duty) for duty in duties or ())


def lost_duty(speaker: SpeakerAnswer) -> str:
    """What is said of a speaker that falls silent with its duties."""
    return (
        f"{speaker.speaker} goes silent and with it {duties_in_words(speaker.duties)}: "
        "they must not be lost, so give this speaker a feed before the car leaves"
    )


def moved_duty(speaker: SpeakerAnswer) -> str:
    """What is said of a speaker whose duties the new amplifier plays."""
    return (
        f"{speaker.speaker} also sounds {duties_in_words(speaker.duties)}: "
        "hear them through the new amplifier before the car leaves"
    )


def duty_caution(speaker: SpeakerAnswer) -> str | None:
    """What is said of a speaker that sounds more than music; None where nothing changes for it."""
    if not speaker.duties:
        return None
    if speaker.effect == "goes silent":
        return lost_duty(speaker)
    if speaker.effect == "moves to new amplifier":
        return moved_duty(speaker)
    if speaker.outcome == "unknown":
        return (
            f"{speaker.speaker} also sounds {duties_in_words(speaker.duties)}, and what becomes of "
            "it is unknown: meter it before anything is unplugged"
        )
    return None


def duties_said(answer: Runs) -> list[Said]:
    """What is lost comes first, then what moves, then what nobody can say, or nobody wrote."""
    order = ("goes silent", "moves to new amplifier", "meter first")
    said = [
        (speaker.effect, (speaker.speaker,), caution)
        for speaker in answer.speakers
        if (caution := duty_caution(speaker)) is not None
    ]
    known = [
        (names, caution) for effect in order for found, names, caution in said if found == effect
    ]
    silent = [speaker for speaker in answer.speakers if speaker.effect == "goes silent"]
    return known + unwritten_duties(silent)


def unwritten_duties(silent: Sequence[SpeakerAnswer]) -> list[Said]:
    """What is said of speakers that fall silent and of which nobody wrote what else they sound."""
    names = tuple(speaker.speaker for speaker in silent if speaker.duties is None)
    if not names:
        return []
    one = len(names) == 1
    caution = (
        f"nobody wrote whether {_listed(names)} {'sounds' if one else 'sound'} chimes or calls, "
        f"and {'it goes' if one else 'they go'} silent: listen before the battery is off, for what "
        "warns or calls must not be lost"
    )
    return [(names, caution)]


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
