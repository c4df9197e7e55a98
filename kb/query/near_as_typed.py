"""What a text that fits no vehicle may have meant: near spellings, and the word that was too much.

Everything here is a guess and is labelled as one. It stands alone because it is asked only where
the list is empty, so that no letter of a text that finds something waits for it.
"""

from __future__ import annotations

import re
import sqlite3
from dataclasses import replace

from kb.nearest import LEAST_LIKENESS
from kb.query.as_typed import Listing, Sought, by_word
from kb.query.vin import looks_like_vin, why_no_vin
from kb.store.words import words_of_text

LEAST_LETTERS = 3
MOST_NEAR = 4


def guessed_vehicles(connection: sqlite3.Connection, text: str, *, limit: int = 100) -> Listing:
    """The vehicles that come nearest to a text that none fits; the note says how it was read."""
    for word in text.split():
        if why := why_no_vin(word):
            return Listing((), 0, f"{why}.")
        if looks_like_vin(word):
            return Listing((), 0)
    words = words_of_text(text)
    near = {word: _near(connection, word) for word in words if not _fits(connection, [word], {})}
    kept = [word for word in words if word not in near or near[word]]
    lost = [f"no vehicle here has “{word}”" for word in words if word not in kept]
    for end in range(len(kept), 0, -1):
        found = _fits(connection, kept[:end], near, limit)
        if found is None:
            continue
        if end < len(kept):
            before = " and ".join(f"“{word}”" for word in kept[:end])
            lost.append(f"“{kept[end]}” left none of those that fit {before}")
        read = [f"“{word}” read as {_or(near[word])}" for word in kept[:end] if word in near]
        guess = f"a guess: {', '.join(read)}" if read else "a guess: what fits without it"
        left = [word for word in words if word not in kept[:end]]
        doubt = next((f"What is listed is not “{word}”" for word in left if _digits(word)), "")
        return replace(found, note="; ".join([*lost, guess]) + ".", doubt=doubt)
    return Listing((), 0, f"{'; '.join(lost)}." if lost else None)


def _fits(
    connection: sqlite3.Connection, words: list[str], near: dict[str, list[str]], limit: int = 1
) -> Listing | None:
    sought = Sought()
    for word in words:
        by_word(word, sought, near.get(word, ()))
    found = sought.listed(connection, limit)
    return found if found.total else None


def _near(connection: sqlite3.Connection, word: str) -> list[str]:
    """The words of vehicles that are spelt nearly so, nearest first; a number is never another."""
    if word.isdigit() or len(word) < LEAST_LETTERS:
        return []
    from rapidfuzz import fuzz, process

    known = [row[0] for row in connection.execute("SELECT DISTINCT word FROM vehicle_word")]
    if digits := _digits(word):
        known = [own for own in known if _digits(own) == digits]
    found = process.extract(
        word, known, scorer=fuzz.ratio, score_cutoff=LEAST_LIKENESS, limit=MOST_NEAR
    )
    best = max((score for _, score, _ in found), default=0)
    return [name for name, score, _ in found if score == best]


def _digits(word: str) -> list[str]:
    return re.findall(r"[0-9]+", word)


def _or(words: list[str]) -> str:
    return " or ".join(f"“{word}”" for word in words)
