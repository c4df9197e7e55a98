"""Offers as the lines that a shell's script reads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tui.completion.line import Typed
from tui.completion.offers import Offer


def told(typed: Typed, found: Iterable[Offer], shell: str | None) -> Iterator[tuple[str, str]]:
    """What to type, and a word about it; only what the shell can be told to put there."""
    answers = [
        (answer, offer.help) for offer in found if (answer := typed.answer(offer.start, offer.text))
    ]
    yield from answers
    goes_on = shell == "bash" or (
        shell == "fish" and answers[:1] and _goes_on(typed, answers[0][0])
    )
    if typed.quote and len(answers) == 1 and goes_on:
        # A second way to end keeps the shell from closing the quote after the only way to go on.
        yield answers[0][0] + " ", ""


def _goes_on(typed: Typed, answer: str) -> bool:
    """fish puts one of several in place of the word only where the word itself goes on."""
    return not typed.after and answer.startswith(typed.current)
