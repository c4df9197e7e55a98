"""Readings that are not submitted yet: of one job, one book and one person, each with its pin.

Promise: a reading is kept with the pin as it was documented when it was read, so that another
revision of the vehicle loses none: what is documented the same there still stands, and what is not
is named, to be looked at anew. Nothing is taken away but by a person.
It stands alone because the form and the list of jobs must find the same readings.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from tui.browser.journal import Journal, Owner, unstored
from tui.browser.lock import Lock

if TYPE_CHECKING:
    from kb.review.touched import Touched, TouchedPin

FIRST = "readings"
Reading = dict[str, Any]  # result, where it differs what was found, and `was`: its pin as it stood
_OLDER_NAME = re.compile(r"(?P<job>.+)-(?P<hash>[0-9a-f]{16})")  # a file for each revision


@dataclass(frozen=True)
class Begun:
    """What was kept: each pin's reading, how they were read, and of which revision."""

    readings: dict[str, Reading] = field(default_factory=dict)
    method: str = "meter"
    vehicle: str | None = None  # the whole hash, or the beginning of it
    kept_at: float | None = None  # where it was read from disk


@dataclass(frozen=True)
class Sorted:
    """The same under the revision that answers now."""

    stand: dict[str, Reading]
    anew: dict[str, Reading]  # the pin is documented otherwise now, or no longer touched


class KeptReadings:
    """The readings of one job on disk, while they are open."""

    def __init__(self, job: str, owner: Owner) -> None:
        self.job = job
        self._journal = Journal(FIRST, job, owner=owner)
        self._owner = owner
        self._lock = Lock(self._journal.path.with_suffix(".lock"))

    def open(self) -> str | None:
        """Take them for this browser alone; else who has them."""
        return self._lock.take()

    def close(self) -> None:
        """Leave them to others."""
        self._lock.release()

    def read(self, connection: Any) -> Begun | None:
        """What was kept, under whichever revision."""
        found = [begun for begun in map(_begun, self._older()) if begun]
        now = _begun(self._journal)
        if now:
            found.append(now)
        if not found:
            return None
        readings: dict[str, Reading] = {}
        for begun in found:  # what was read last counts
            readings |= _with_pins(connection, self.job, begun)
        return replace(found[-1], readings=readings)

    def keep(self, begun: Begun) -> None:
        """Replace what was kept, on disk when this returns. Raises OSError."""
        self._journal.keep(
            {
                "job": self.job,
                "vehicle": begun.vehicle,
                "readings": begun.readings,
                "method": begun.method,
            }
        )
        for older in self._older():  # all of it was read, and is in the file above now
            if older.read() is not None:
                older.forget()

    def forget(self) -> None:
        """They are submitted, or thrown away."""
        self._journal.forget()
        for older in self._older():
            if older.read() is not None:  # what is nobody's, or cannot be read, is left alone
                older.forget()

    def _older(self) -> list[Journal]:
        """Files of before, one for each revision, the oldest first."""
        start = self._journal.path.stem
        named = (
            path
            for path in self._journal.path.parent.glob(f"{start}-*.json")
            if (match := _OLDER_NAME.fullmatch(path.stem)) and match["job"] == start
        )
        journals = []
        for path in sorted(named, key=lambda path: path.stat().st_mtime):
            journal = Journal.at(path)
            journal.owner = self._owner
            journals.append(journal)
        return journals


def begun_jobs(owner: Owner, known: Iterator[str] | list[str]) -> list[str]:
    """The jobs of which an owner has begun readings; `known` are those of the book."""
    names = set(unstored(FIRST, owner))
    stems = names | {match["job"] for name in names if (match := _OLDER_NAME.fullmatch(name))}
    found = [job for job in known if _name_in_file(job, owner) in stems]
    for name in sorted(names - {_name_in_file(job, owner) for job in found}):
        kept = Journal(FIRST, name, owner=owner).read() or {}
        job = kept.get("job")
        if isinstance(job, str) and job not in found:
            found.append(job)  # it answers no longer, and what was read for it is still here
    return found


def sorted_for(begun: Begun, touched: Touched) -> Sorted:
    """Which readings stand for the pins as they are documented now."""
    pins = {pin.name: pin for pin in touched.pins}
    stand: dict[str, Reading] = {}
    anew: dict[str, Reading] = {}
    for name, reading in begun.readings.items():
        pin = pins.get(name)
        same = pin is not None and reading.get("was") == as_documented(pin)
        (stand if same else anew)[name] = reading
    return Sorted(stand, anew)


def as_documented(pin: TouchedPin) -> dict[str, Any]:
    """A pin as it stands beside a reading of it."""
    return {"documented": pin.documented, "carries": pin.carries, "wire": pin.wire}


def in_words(reading: Mapping[str, Any]) -> str:
    """What was read on a pin, with what was documented there then where nothing else was found."""
    if reading.get("result") == "differs":
        return " ".join(filter(None, (reading.get("carries"), reading.get("wire"))))
    was = reading.get("was") or {}
    return " ".join(filter(None, (was.get("carries"), was.get("wire")))) or "empty"


def _name_in_file(job: str, owner: Owner) -> str:
    return Journal(FIRST, job, owner=owner).path.stem.removeprefix(f"{FIRST}-{owner.mark}-")


def _begun(journal: Journal) -> Begun | None:
    kept = journal.read()
    if kept is None or not isinstance(kept.get("readings"), dict):
        return None
    readings = {
        name: reading
        for name, reading in kept["readings"].items()
        if isinstance(reading, dict) and reading.get("result") in ("ok", "differs")
    }
    method, vehicle = kept.get("method"), kept.get("vehicle")
    older = _OLDER_NAME.fullmatch(journal.path.stem)
    if not isinstance(vehicle, str):
        vehicle = older["hash"] if older else None
    how = method if isinstance(method, str) else "meter"
    return Begun(readings, how, vehicle, journal.kept_at)


def _with_pins(connection: Any, job: str, begun: Begun) -> dict[str, Reading]:
    """Readings of before said nothing of the pin as it stood: the revision still does."""
    if begun.vehicle is None or all("was" in reading for reading in begun.readings.values()):
        return begun.readings
    from kb.review.same_pins import pins_at

    was = {pin.name: pin for pin in pins_at(connection, job, begun.vehicle, begun.readings)}
    return {
        name: {**reading, "was": as_documented(was[name])}
        if "was" not in reading and name in was
        else reading
        for name, reading in begun.readings.items()
    }
