"""A job with everything it names: the documents that answer, and what its kit does to each speaker.

The plan reads whole documents (routes, channels, steps), which the projection does not hold; this
is the one place that fetches them, so that the plan itself needs no database.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from kb.answers.choices import place_taken_over
from kb.answers.entries import Answering, answering
from kb.answers.runs import Runs, runs
from kb.errors import Refused
from kb.nearest import nearest

if TYPE_CHECKING:
    from kb.plan.alternatives import Wishes
    from kb.plan.plan import Limits
    from kb.plan.whole import WholePlan

Content = Mapping[str, Any]


@dataclass(frozen=True)
class Papers:
    """The documents of a job as their authors wrote them, and the answers of `runs`.

    `runs` is the answer with the parts that the job names; `with_part` the same with one further
    part each, for the parts that the plan may still choose (none where the job names its parts).
    `states` are those of every document that the plan rests on, a job from a file left out.
    """

    job: Content
    vehicle: Content
    kit: Content
    amplifier: Content
    job_entry: Answering | None
    amplifier_entry: Answering
    runs: Runs
    with_part: Mapping[str, Runs]

    @property
    def signed_less(self) -> tuple[str, ...]:
        """The entries whose signature lacks something, each with what."""
        entries = (self.runs.vehicle, self.runs.kit, self.amplifier_entry, self.job_entry)
        return tuple(
            f"{entry.kind} {entry.id} {entry.state} {entry.signed_less}"
            for entry in entries
            if entry is not None and entry.signed_less
        )

    @property
    def state(self) -> str:
        """The weakest state that the plan rests on."""
        states = {self.runs.state, self.amplifier_entry.state}
        states |= {self.job_entry.state} if self.job_entry else set()
        return "verified" if states == {"verified"} else min(states - {"verified"})


def papers_of(
    connection: sqlite3.Connection, job: str | Content, *, newest: bool = False
) -> Papers:
    """The papers of a stored job (its id) or of one that was just read from a file (its content).

    Raises Refused where the book lacks something that the job names.
    """
    entry = None
    if isinstance(job, str):
        entry = answering(connection, "job", job, newest=newest)
        content = content_of(connection, entry.revision)
    else:
        content = job
    head = content["job"]
    amplifier = answering(connection, "amplifier", head["amplifier"], newest=newest)
    parts = head.get("parts")
    answer = runs(connection, head["vehicle"], head["kit"], parts or (), newest=newest)
    choices = answer.path.unchosen if parts is None else ()
    return Papers(
        job=content,
        vehicle=content_of(connection, answer.vehicle.revision),
        kit=content_of(connection, answer.kit.revision),
        amplifier=content_of(connection, amplifier.revision),
        job_entry=entry,
        amplifier_entry=amplifier,
        runs=answer,
        with_part={
            part: runs(connection, head["vehicle"], head["kit"], [part], newest=newest)
            for part in choices
        },
    )


def runs_with(
    connection: sqlite3.Connection, papers: Papers, parts: tuple[str, ...], *, newest: bool = False
) -> Runs:
    """The answer of `runs` with the job's parts and those that the plan chose."""
    if not parts:
        return papers.runs
    head = papers.job["job"]
    return runs(
        connection,
        head["vehicle"],
        head["kit"],
        [*(head.get("parts") or ()), *parts],
        newest=newest,
    )


def content_of(connection: sqlite3.Connection, revision: int) -> Content:
    """The document of one revision, as it was written."""
    (text,) = connection.execute(
        "SELECT content FROM revision WHERE number = ?", (revision,)
    ).fetchone()
    content: Content = json.loads(text)
    return content


def plan_job(
    connection: sqlite3.Connection,
    job: str | Content,
    wishes: Wishes | None = None,
    limits: Limits | None = None,
    *,
    newest: bool = False,
) -> WholePlan:
    """The whole plan of a stored job or of one from a file: the call of every front end."""
    from kb.answers.face import Face, read_face
    from kb.plan.whole import whole_plan

    papers = papers_of(connection, job, newest=newest)

    def with_parts(parts: tuple[str, ...]) -> Runs:
        return runs_with(connection, papers, parts, newest=newest)

    def face_of(connector: str) -> Face:
        return read_face(connection, papers.runs.vehicle.id, connector, newest=newest)

    return whole_plan(papers, with_parts, face_of, wishes, limits)


def with_costs_from(
    connection: sqlite3.Connection, answer: Runs, place: str, *, newest: bool = False
) -> Runs:
    """The answer of `runs` with each fix's panels, minutes and metres for an amplifier at `place`.

    Raises Refused where the vehicle documents no such place, naming the nearest.
    """
    from kb.plan.fix_costs import with_costs

    vehicle = content_of(connection, answer.vehicle.revision)
    _check_place(vehicle, place)
    parts = {
        fix.part for speaker in answer.speakers for fix in speaker.fixes if fix.part is not None
    }
    with_part = {
        part: runs(
            connection,
            answer.vehicle.id,
            answer.kit.id,
            [*answer.path.chosen, part],
            newest=newest,
        )
        for part in sorted(parts)
    }
    kit = content_of(connection, answer.kit.revision)
    costed = with_costs(answer, vehicle, kit, with_part, place)
    return replace(costed, costs_from=place)


def runs_with_costs(
    connection: sqlite3.Connection,
    vehicle: str,
    kit: str,
    parts: Sequence[str] = (),
    *,
    place: str | None = None,
    newest: bool = False,
) -> Runs:
    """`runs` with what each way costs from `place`, else from that of the unit taken out.

    Where neither is known, the costs stay unknown. Raises Refused as `runs` does, and for a place
    that the vehicle does not document.
    """
    answer = runs(connection, vehicle, kit, parts, newest=newest)
    taken = place_taken_over(connection, answer.vehicle.revision, answer.kit.revision)
    place = place or taken
    return answer if place is None else with_costs_from(connection, answer, place, newest=newest)


def places_of(vehicle: Content) -> set[str]:
    """Every place that the vehicle's document names."""
    known = {
        row["place"]
        for t in ("unit", "speaker", "connector")
        for row in vehicle.get(t, ())
        if row.get("place")
    }
    return known | {row[end] for row in vehicle.get("route", ()) for end in ("from", "to")}


def _check_place(vehicle: Content, place: str) -> None:
    known = places_of(vehicle)
    if place in known:
        return
    near = nearest(place, known)
    hint = f"; the nearest is {near}" if near else f"; it has {', '.join(sorted(known)) or 'none'}"
    raise Refused(f"{vehicle['vehicle']['id']} documents no place {place!r}{hint}.")
