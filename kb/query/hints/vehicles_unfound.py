"""Words that fit no vehicle as they stand: what they say plainly, what is near, what waits.

What people say around a name is left aside, and letters and digits that a space parts are put
together where the book has that word; a digit is never changed. What is near is listed and never
chosen. It stands alone because only words that fit nothing pay for it.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Sequence

from kb.answers.entries import not_answering
from kb.query.subjects import OPEN_YEAR
from kb.query.vehicles import (
    MOST_LISTED,
    Candidate,
    begun_word,
    candidate_of,
    fits_word,
    near_word,
    whole_word,
)

MOST_NEAR = 3
MOST_WAITING = 3
LEAST_LIKENESS = 60.0
"""Of 100: what a vehicle needs to be listed as near where none fits."""

_SAID_AROUND = frozenset(
    {"a", "an", "car", "model", "my", "our", "that", "the", "this", "vehicle", "year"}
)
_MODEL_YEAR = re.compile(r"my((?:19|20)?[0-9]{2})")


def said_plainly(words: Sequence[str], candidates: Sequence[Candidate]) -> list[str]:
    """The words that name a vehicle: without `the`, with `MY22` as 22, with `cab 3` as cab3."""
    known = {own for candidate in candidates for own in candidate.words}
    kept: list[str] = []
    for word in words:
        if word in known:
            pass
        elif word in _SAID_AROUND:
            continue
        elif match := _MODEL_YEAR.fullmatch(word):
            word = match[1]
        elif word.isdigit() and kept and kept[-1].isalpha() and kept[-1] + word in known:
            kept[-1] += word
            continue
        kept.append(word)
    return kept or list(words)


def near_vehicles(words: Sequence[str], candidates: Sequence[Candidate]) -> list[Candidate]:
    """Vehicles to be looked at: those that all words but the numbers fit, whose years are other
    ones, then those that come nearest.
    """
    names = [word for word in words if not word.isdigit()]
    others: list[Candidate] = []
    if names and len(names) < len(words):
        for fits in (whole_word, begun_word, near_word(list(candidates))):
            others = [c for c in candidates if all(fits_word(c, word, fits) for word in names)]
            if others:
                break
    nearest = _nearest(words, candidates)
    if others:
        nearest = [c for c in nearest if any(whole_word(c, word) for word in names)]
    return list(dict.fromkeys([*others, *nearest]))[:MOST_LISTED]


def _nearest(words: Sequence[str], candidates: Sequence[Candidate]) -> list[Candidate]:
    """The vehicles whose words come nearest to all of these in spelling."""
    from rapidfuzz import fuzz, process

    known = sorted({own for candidate in candidates for own in candidate.words})
    alike = {
        word: {
            own: score
            for own, score, _ in process.extract(
                word, known, scorer=fuzz.ratio, score_cutoff=LEAST_LIKENESS, limit=None
            )
        }
        for word in words
    }

    def likeness(candidate: Candidate) -> float:
        scores = (
            100.0
            if fits_word(candidate, word, whole_word)
            else max((alike[word].get(own, 0.0) for own in candidate.words), default=0.0)
            for word in words
        )
        return sum(scores) / len(words)

    scored = sorted(((likeness(one), one) for one in candidates), key=lambda pair: -pair[0])
    return [one for score, one in scored[:MOST_NEAR] if score >= LEAST_LIKENESS]


def waiting(connection: sqlite3.Connection, words: Sequence[str], mark: str) -> str | None:
    """What to say of an entry that all words fit and that does not answer: a draft, one returned.

    Of one that is no draft only the id is left.
    """
    rows = connection.execute(
        "SELECT DISTINCT 0, e.id, coalesce(v.make, ''), coalesce(v.model, ''),"
        " coalesce(v.first_year, ?), v.last_year, v.body, v.audio"
        " FROM entry e LEFT JOIN vehicle v ON v.vehicle = e.revision"
        " WHERE e.kind = 'vehicle' AND NOT EXISTS (SELECT 1 FROM entry a"
        f" WHERE a.kind = e.kind AND a.id = e.id AND a.{mark} = 1)",
        (OPEN_YEAR,),
    )
    others = [candidate_of(*row) for row in rows]
    for fits in (whole_word, begun_word):
        found = {c.id for c in others if all(fits_word(c, word, fits) for word in words)}
        why = [said for id in sorted(found) if (said := not_answering(connection, "vehicle", id))]
        if why:
            more = f" And {len(why) - MOST_WAITING} more." if len(why) > MOST_WAITING else ""
            return " ".join(why[:MOST_WAITING]) + more
    return None
