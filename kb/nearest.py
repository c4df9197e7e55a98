"""The nearest known word, for hints: named only where it is really near."""

from __future__ import annotations

from collections.abc import Iterable

LEAST_LIKENESS = 70.0  # of 100; below it a hint misleads more often than it helps


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word nearest to `word` in spelling, or None where nothing is near.

    Of those that are as near, the one with the fewest slips: `plsu` is `plus` and not `plug`.
    """
    from rapidfuzz import fuzz, process
    from rapidfuzz.distance import OSA

    typed = word.casefold()
    folded = {candidate.casefold(): candidate for candidate in known}
    found = process.extract(
        typed, folded.keys(), scorer=fuzz.ratio, score_cutoff=LEAST_LIKENESS, limit=None
    )
    best = [name for name, score, _ in found if score == found[0][1]]
    return folded[min(best, key=lambda name: OSA.distance(typed, name))] if best else None
