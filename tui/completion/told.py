"""Offers as the lines that a shell's script reads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tui.completion.line import Typed
from tui.completion.offers import FILES, Offer

CHOOSE = ("", "choose")
"""The shell is to leave the word as it is, and to show what there is."""


def told(typed: Typed, found: Iterable[Offer], shell: str | None) -> Iterator[tuple[str, str]]:
    """What to type, and a word about it; only what the shell can be told to put there."""
    answers: list[tuple[str, str]] = []
    start = typed.replaced
    for offer in found:
        if offer is FILES:
            yield offer.text, offer.help
            return
        answer = typed.answer(offer.start, offer.text)
        if answer:
            answers.append((answer, offer.help))
            start = max(start, offer.start)
    if shell in ("bash", "zsh") and len(answers) > 1 and _loses(typed, start, answers):
        yield CHOOSE
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


def _loses(typed: Typed, start: int, answers: list[tuple[str, str]]) -> bool:
    """Whether what all have in common, which a shell puts in, is less than what is typed."""
    texts = [answer for answer, _ in answers]
    first, last = min(texts), max(texts)  # what these two have in common, all between them have
    same = 0
    while same < len(first) and first[same] == last[same]:
        same += 1
    return _key(typed.current[start:]) not in _key(first[len(typed.kept(start)) : same])


def _key(text: str) -> str:
    return text.casefold().replace("-", " ").replace("_", " ").strip("\"' ")
