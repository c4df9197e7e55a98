"""What storing readings would do, found out by doing it and taking it back.

Promise: the book is left as it was. It stands alone because a person should see what changes before
it is theirs to answer for, and no second way of working that out may differ from the first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kb.review.effect import Effect, effect_against
from kb.review.readings import PinReading, store_readings
from kb.review.revisions import revisions_of
from kb.review.same_pins import must_be_the_same
from kb.review.touched import Touched, touched_by
from kb.store.book import Book


@dataclass
class _TakenBack(Exception):
    """Carries the effect out of the transaction that must not be kept."""

    effect: Effect


def effect_of_readings(
    book: Book, touched: Touched, readings: Sequence[PinReading], *, method: str, by: str
) -> Effect:
    """Which answers would change if the readings answered. Raises Refused as storing does."""
    try:
        with book.writing() as database:
            now = touched_by(database.conn, touched.job)
            must_be_the_same(now, touched)
            stored = store_readings(database, now, readings, method=method, by=by)
            (revision,) = revisions_of(database.conn, f"{stored.kind}/{stored.id}@{stored.hash}")
            raise _TakenBack(effect_against(database.conn, revision, now.vehicle.revision))
    except _TakenBack as taken_back:
        return taken_back.effect
