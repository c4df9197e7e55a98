"""Which vehicle a person means: an id, a VIN, or words that point at one.

In this order: the exact id; all words found among the vehicle's own (a year also matches a span
that holds it); each word the beginning of one; near spellings. The last two are guesses: they are
labelled as such, and where anything fits more than one vehicle, none is chosen: the candidates are
listed and the person decides. No guess changes a digit: another number is another vehicle.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from kb.answers.titles import years as years_in_words
from kb.query.vin import (
    BadVin,
    Vin,
    latest_model_year,
    looks_like_vin,
    read_vin,
    why_no_vin,
)

MOST_LISTED = 8
NOTHING_FITS = "No vehicle in this book fits"

SHORTEST_TURNED, SHORTEST_NEAR, SHORTEST_NEAR_BY_TWO = 4, 5, 8
"""Letters of a word in which two may stand the wrong way round (`tran` for `tarn`), in which one
may be missing, too much or another one, and in which two may. Of three, anything is near.
"""

SAID_OF_ALL = frozenset({"all", "any", "anything", "each", "every", "everything", "whole"})
SAID_OF_NONE = frozenset(
    {"book", "car", "cars", "entries", "entry", "fleet", "garage", "in", "of", "the", "vehicle"}
    | {"vehicles"}
)
"""Words that say all vehicles, and words that stand beside them and name none."""

SAID_INSTEAD = frozenset(
    {"here", "it", "that", "them", "there", "these", "this", "those"}
    | {"a", "an", "and", "are", "has", "have", "is", "or", "our", "the", "was", "were", "with"}
)
"""Words that stand for a vehicle said before, of which a question knows nothing, and words that
stand between others and name nothing: one of these begins some vehicle's word by chance."""

SHORTEST_BEGUN = 3
"""Letters of which at least one word has so many, where words are taken for a vehicle's beginnings;
of two, any vehicle might be meant."""


class NoVehicle(Exception):
    """Nothing fits, or several vehicles do. `candidates` are ids with what they are; `of_all` where
    the words ask for all vehicles instead of one, `of_kind` where they name a unit or a role.
    """

    def __init__(
        self,
        sentence: str,
        candidates: Sequence[Candidate] = (),
        more: int = 0,
        *,
        of_all: bool = False,
        of_kind: str | None = None,
    ) -> None:
        super().__init__(sentence)
        self.candidates = tuple(candidates)
        self.more = more
        self.of_all = of_all
        self.of_kind = of_kind

    @property
    def heading(self) -> str:
        """What the candidates are: those that fit, or those that are near."""
        if str(self).startswith(NOTHING_FITS):
            return "Near"
        return "They are" if len(self.candidates) > 1 else "It is in the words of"


@dataclass(frozen=True)
class Candidate:
    """A vehicle that answers."""

    vehicle: int
    id: str
    first_year: int
    last_year: int | None
    title: str
    words: frozenset[str]

    def holds_year(self, year: int) -> bool:
        """Whether it was made for a model year; an open span ends with the latest that is sold."""
        return self.first_year <= year <= (self.last_year or latest_model_year())


@dataclass(frozen=True)
class Found:
    """The vehicle's revision; `note` says how it was found where that was not by its exact id."""

    vehicle: int
    id: str
    note: str | None = None


def find_vehicle(connection: sqlite3.Connection, name: str, *, newest: bool = False) -> Found:
    """The one vehicle that `name` points at; raises NoVehicle."""
    mark = "newest" if newest else "answers"
    # The plus keeps SQLite to the index on the id: nearly every vehicle answers.
    row = connection.execute(
        f"SELECT vehicle, id FROM vehicle WHERE id = ? AND +{mark} = 1", (name.strip().lower(),)
    ).fetchone()
    if row is not None:
        return Found(row[0], row[1])
    from kb.answers.entries import not_answering

    if why := not_answering(connection, "vehicle", name.strip().lower()):
        raise NoVehicle(f"{why[0].upper()}{why[1:]}")
    words = _words(name)
    numbers = [word for word in words if looks_like_vin(word)]
    if len(numbers) > 1:
        raise NoVehicle("Two VINs point at two vehicles; name one.")
    everything = _candidates(connection, mark)
    if numbers:
        words.remove(numbers[0])
        return _by_vin(connection, numbers[0], words, everything)
    if not words:
        raise NoVehicle("A vehicle's name holds letters or digits.")
    if SAID_INSTEAD.issuperset(words):
        raise NoVehicle(f'"{name}" names no vehicle; say which one.')
    from kb.query.hints.trade_words import kind_named

    if kind := kind_named([word for word in words if word not in SAID_OF_NONE]):
        of, value = kind
        raise NoVehicle(f"`{value}` is a {of}, and names no vehicle by itself.", of_kind=value)
    if all(re.fullmatch(r"[0-9]{1,3}", word) for word in words):
        # How many speakers, which way, which year: a number alone is all of these.
        found = [
            one for one in everything if all(fits_word(one, word, whole_word) for word in words)
        ]
        raise NoVehicle(f'"{name}" is a number, and names no vehicle by itself.', *_some(found))
    return _by_words(connection, name, words, everything, mark)


def _words(text: str) -> list[str]:
    return re.findall(r"\w+", text.casefold().replace("_", " "))


def _candidates(connection: sqlite3.Connection, mark: str) -> list[Candidate]:
    rows = connection.execute(
        "SELECT vehicle, id, make, model, first_year, last_year, body, audio"
        f" FROM vehicle WHERE {mark} = 1 ORDER BY id"
    )
    return [candidate_of(*row) for row in rows]


def candidate_of(
    vehicle: int,
    id: str,
    make: str,
    model: str,
    first: int,
    last: int | None,
    body: str | None,
    audio: str | None,
) -> Candidate:
    parts = (f"{make} {model} {years_in_words(first, last)}", body, audio)
    title = ", ".join(part for part in parts if part)
    words = frozenset(_words(f"{id} {make} {model} {body or ''} {audio or ''}"))
    return Candidate(vehicle, id, first, last, title, words)


def _by_words(
    connection: sqlite3.Connection,
    name: str,
    words: list[str],
    candidates: list[Candidate],
    mark: str,
) -> Found:
    for read, fits, guessed in _readings(words, candidates):
        if guessed and says_all(words):
            raise NoVehicle(f'"{name}" names no one vehicle.', of_all=True)
        if guessed and all(word.isdigit() or len(word) < SHORTEST_BEGUN for word in read):
            break
        found = [c for c in candidates if all(fits_word(c, word, fits) for word in read)]
        if len(found) == 1:
            only = found[0]
            how = f'"{name}" taken as {only.id} ({only.title})'
            return Found(only.vehicle, only.id, f"A guess: {how}." if guessed else f"{how}.")
        if found:
            raise NoVehicle(
                f'"{name}" fits {len(found)} vehicles; name one of them.', *_some(found)
            )
    for word in words:
        if why := why_no_vin(word):
            raise NoVehicle(f"{why}.")
    from kb.query.hints.vehicles_unfound import near_vehicles, said_plainly, waiting

    plain = said_plainly(words, candidates)
    why = waiting(connection, plain, mark)
    said = f'{NOTHING_FITS} "{name}"' + (f" and answers: {why}" if why else ".")
    raise NoVehicle(said, near_vehicles(plain, candidates))


def _readings(
    words: list[str], candidates: list[Candidate]
) -> Iterator[tuple[list[str], Callable[[Candidate, str], bool], bool]]:
    """The words, how each is compared, and whether that makes a guess of it."""
    yield words, whole_word, False
    from kb.query.hints.vehicles_unfound import said_plainly

    plain = said_plainly(words, candidates)
    if plain != words:
        yield plain, whole_word, False
    yield plain, begun_word, True
    yield plain, near_word(candidates), True


def says_all(words: Sequence[str]) -> bool:
    """Whether the words say all vehicles and name none: `all`, `every vehicle`, `whole book`."""
    return not SAID_OF_ALL.isdisjoint(words) and set(words) <= SAID_OF_ALL | SAID_OF_NONE


def whole_word(candidate: Candidate, word: str) -> bool:
    return word in candidate.words


def begun_word(candidate: Candidate, word: str) -> bool:
    return any(begins_word(own, word) for own in candidate.words)


def begins_word(own: str, typed: str) -> bool:
    """Whether a word is typed as far as it goes; a number is typed to its end, or is another."""
    if not own.startswith(typed):
        return False
    return not (typed[-1].isdigit() and own[len(typed) : len(typed) + 1].isdigit())


def near_word(candidates: list[Candidate]) -> Callable[[Candidate, str], bool]:
    known = sorted({word for candidate in candidates for word in candidate.words})
    alike: dict[str, frozenset[str]] = {}

    def near(candidate: Candidate, word: str) -> bool:
        if word not in alike:
            alike[word] = frozenset(nearly(word, known))
        return begun_word(candidate, word) or not candidate.words.isdisjoint(alike[word])

    return near


def nearly(word: str, known: Sequence[str]) -> list[str]:
    """The known words that are spelt nearly so, nearest first; none of them with other digits."""
    if word.isdigit() or len(word) < SHORTEST_TURNED:
        return []
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    digits = _digits(word)
    apart = 2 if len(word) >= SHORTEST_NEAR_BY_TWO else 1
    found = process.extract(word, known, scorer=OSA.distance, score_cutoff=apart, limit=None)
    return [
        own
        for own, _, _ in found
        if _digits(own) == digits and (len(word) >= SHORTEST_NEAR or sorted(own) == sorted(word))
    ]


def _digits(word: str) -> list[str]:
    return re.findall(r"[0-9]+", word)


def fits_word(candidate: Candidate, word: str, fits: Callable[[Candidate, str], bool]) -> bool:
    """A word of the vehicle, or a year of its span; `22` is also 2022 (and `98` 1998)."""
    if fits(candidate, word):
        return True
    if re.fullmatch(r"(?:19|20)[0-9]{2}", word):
        return candidate.holds_year(int(word))
    if re.fullmatch(r"[0-9]{2}", word):
        return candidate.holds_year(2000 + int(word)) or candidate.holds_year(1900 + int(word))
    return False


def _by_vin(
    connection: sqlite3.Connection, number: str, words: list[str], candidates: list[Candidate]
) -> Found:
    try:
        vin = read_vin(number, latest=latest_model_year())
    except BadVin as fault:
        raise NoVehicle(f"{fault}; name the vehicle by words instead.") from None
    fitting = [c for c in candidates if _of_year(c, vin)]
    fitting = _of_maker(connection, vin, fitting)
    fitting = [c for c in fitting if all(fits_word(c, word, whole_word) for word in words)]
    said = f"VIN {vin.text}: {vin.years_said}, check digit right"
    if len(fitting) == 1:
        only = fitting[0]
        return Found(only.vehicle, only.id, f"{said}; a guess: {only.id} ({only.title}).")
    if not fitting:
        raise NoVehicle(f"{said}; no vehicle in this book fits it.")
    raise NoVehicle(f"{said}; {len(fitting)} vehicles fit, name one of them.", *_some(fitting))


def _of_year(candidate: Candidate, vin: Vin) -> bool:
    return not vin.years or any(candidate.holds_year(year) for year in vin.years)


def _of_maker(
    connection: sqlite3.Connection, vin: Vin, candidates: list[Candidate]
) -> list[Candidate]:
    """Those that list the VIN's first three characters, then those that list none at all: of
    these nobody wrote the maker down, which is no reason to drop them.
    """
    listed: dict[int, set[str]] = {}
    for vehicle, wmi in connection.execute("SELECT vehicle, wmi FROM wmi"):
        listed.setdefault(vehicle, set()).add(wmi)
    exact = [c for c in candidates if vin.wmi in listed.get(c.vehicle, ())]
    return exact + [c for c in candidates if c.vehicle not in listed]


def _some(found: list[Candidate]) -> tuple[list[Candidate], int]:
    return found[:MOST_LISTED], max(0, len(found) - MOST_LISTED)


def id_of_vehicle(connection: sqlite3.Connection, vehicle: int) -> str:
    """The id of the vehicle that a revision is of."""
    sql = "SELECT id FROM vehicle WHERE vehicle = ?"
    return str(connection.execute(sql, (vehicle,)).fetchone()[0])
