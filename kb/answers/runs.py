"""The main job: what a path does to every speaker of a vehicle, and the ways to what it leaves out.

One answer, made once; the table, the JSON, the browser and the sheets only show it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from kb.answers.duties import Duties, read_duties
from kb.answers.entries import Answering, answering
from kb.answers.factory_cuts import joined_besides
from kb.answers.feeds import Feed, feeds_of
from kb.answers.fixes import Carrying, Fix, fixes_for
from kb.answers.glance import unlisted_speakers
from kb.answers.grips import Grip, grips, named_grip
from kb.answers.mating import Contest, Unplugged, contests, not_plugging_in
from kb.answers.opened import Opened, opened_by
from kb.answers.outcomes import with_outcomes
from kb.answers.path import Path, choose_path, path_rows
from kb.answers.pole_ways import PoleWay, pole_ways
from kb.answers.rival_leads import Lead
from kb.answers.titles import kit_title, vehicle_title

CHOSEN = 0  # the number of the chosen path among those asked about together


@dataclass(frozen=True)
class SpeakerAnswer:
    """What becomes of one speaker. `ways` are all that its poles are on, in line too."""

    speaker: str
    place: str | None
    role: str
    ohms: float | None
    duties: Duties
    keep: str | None
    fed_by: str | None
    fed_by_kind: str | None
    claimed_by: tuple[str, ...]
    outcome: str
    effect: str
    part: str | None
    lead: str | None
    feeds: tuple[Feed, ...]
    grips: tuple[Grip, ...]
    disputed: bool
    measured: bool
    ways: tuple[PoleWay, ...] = ()
    fixes: tuple[Fix, ...] = ()

    @property
    def spare_grips(self) -> tuple[Grip, ...]:
        """Leads that hold it too, beside the ones named: two outputs must never meet on a wire."""
        named = [feed.grip for feed in self.feeds]
        return tuple(grip for grip in self.grips if grip not in named)

    @property
    def to_meter(self) -> str | None:
        """What is missing before this speaker can be answered for; None where nothing is."""
        if self.outcome != "unknown":
            return None
        if len(self.claimed_by) > 1:
            return f"which of {' and '.join(self.claimed_by)} drives it"
        missing = [
            f"the {name} pin{f' of coil {feed.coil}' if feed.coil else ''}"
            for feed in self.feeds
            for name, at in (("plus", feed.plus), ("minus", feed.minus))
            if at is None
        ]
        if self.fed_by is None:
            return "which unit drives it, and on which pins"
        return f"{' and '.join(missing)} at {self.fed_by}"


@dataclass(frozen=True)
class IdleLead:
    """A lead on whose ways this vehicle has no speaker.

    What a way carries is '' where it is known to be empty, None where nobody documented it.
    `untold` are its ways that have a wire of which nobody knows what it carries; `unit_out`: the
    unit of that connector comes out, so that nothing of the car's is left to open there.
    """

    part: str
    lead: str
    wire: str | None
    plug: str
    plus: str
    minus: str
    connector: str | None
    why: str
    plus_carries: str | None
    minus_carries: str | None
    disputed: bool
    untold: tuple[str, ...] = ()
    intercepts: bool | None = None
    unit_out: bool = False

    @property
    def opened(self) -> Opened | None:
        """What of the car's own circuits it leaves open where it is just cut back."""
        if self.unit_out or self.why in ("no such plug", "no such way"):
            return None
        ways = ((self.plus, self.plus_carries), (self.minus, self.minus_carries))
        return opened_by(self.part, self.lead, self.connector, self.intercepts, ways)

    @property
    def half_known(self) -> str | None:
        """What is said instead of why, where one of its ways is known to be empty and nobody wrote
        the other down: `A1 way 12 is empty, way 24 is not documented`."""
        carries = (self.plus_carries, self.minus_carries)
        if self.why != "way not documented" or set(carries) != {"", None}:
            return None
        plus, minus = ("is not documented" if one is None else "is empty" for one in carries)
        return f"{self.connector} way {self.plus} {plus}, way {self.minus} {minus}"

    @property
    def take_as_live(self) -> bool:
        """Whether it mates with a way of which nobody knows what it carries."""
        mates = self.why not in ("no such plug", "no such way")
        return mates and None in (self.plus_carries, self.minus_carries)


@dataclass(frozen=True)
class Runs:
    """The answer of `runs` for one vehicle and one path.

    `unlisted` is how many speakers the vehicle was sold with beyond those that its entry lists;
    `costs_from` the place of the new amplifier from which the fixes' costs are counted, if any;
    `cautions_about` gives for each speaker those of the cautions that are about it;
    `disputed_leads` are those (part, mark) in use that another live revision of the kit has
    otherwise.
    """

    vehicle: Answering
    vehicle_title: str
    kit: Answering
    kit_title: str
    path: Path
    speakers: tuple[SpeakerAnswer, ...]
    idle_leads: tuple[IdleLead, ...]
    unplugged: tuple[Unplugged, ...]
    contests: tuple[Contest, ...]
    unlisted: int
    costs_from: str | None = None
    cautions: tuple[str, ...] = field(default=())
    cautions_about: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    disputed_leads: tuple[Lead, ...] = ()

    @property
    def state(self) -> str:
        """The weaker of the two states that the answer rests on."""
        states = {self.vehicle.state, self.kit.state}
        return "verified" if states == {"verified"} else min(states - {"verified"})

    @property
    def does_not_plug_in(self) -> tuple[str, ...]:
        """The chosen parts all of whose plugs are absent."""
        return tuple(part.part for part in self.unplugged)

    @property
    def alone(self) -> bool:
        """Whether a shop of one verified something of it, with nobody else to look."""
        return self.vehicle.alone or self.kit.alone

    @property
    def unknowns(self) -> int:
        """Speakers of which the book cannot say what becomes of them."""
        return sum(speaker.outcome == "unknown" for speaker in self.speakers)


def runs(
    connection: sqlite3.Connection,
    vehicle: str,
    kit: str,
    parts: Sequence[str] = (),
    *,
    newest: bool = False,
) -> Runs:
    """What `kit` with its `always` parts and `parts` does to each speaker of `vehicle`.

    Raises Refused for ids that the book does not have.
    """
    from kb.answers.cautions import cautions_of

    the_vehicle = answering(connection, "vehicle", vehicle, newest=newest)
    the_kit = answering(connection, "kit", kit, newest=newest)
    path = choose_path(connection, the_kit.revision, parts)
    answer = Runs(
        vehicle=the_vehicle,
        vehicle_title=vehicle_title(connection, the_vehicle.revision),
        kit=the_kit,
        kit_title=kit_title(connection, the_kit.revision),
        path=path,
        speakers=_speakers(connection, the_vehicle.revision, path),
        idle_leads=_idle_leads(connection, the_vehicle.revision, path),
        unplugged=not_plugging_in(connection, the_vehicle.revision, path),
        contests=contests(connection, the_vehicle.revision, path),
        unlisted=unlisted_speakers(connection, the_vehicle.revision),
    )
    return cautions_of(connection, answer)


def _speakers(
    connection: sqlite3.Connection, vehicle: int, path: Path
) -> tuple[SpeakerAnswer, ...]:
    # Path 0 is the chosen one; path n stands for it and the n-th unchosen part.
    paths = [path.chosen, *((*path.chosen, extra) for extra in path.unchosen)]
    sql, parameters = path_rows(path.kit, paths)
    rows = connection.execute(
        with_outcomes("SELECT :vehicle", sql) + _SPEAKERS,
        {"vehicle": vehicle, **parameters},
    ).fetchall()
    held = grips(connection, vehicle, path)
    ways = pole_ways(connection, vehicle)
    carrying = _carrying(connection, vehicle, path, rows, held, ways)
    feeds = feeds_of(connection, vehicle, path, held, ways)
    return tuple(
        SpeakerAnswer(
            speaker=row["speaker"],
            place=row["place"],
            role=row["role"],
            ohms=row["ohms"],
            duties=read_duties(row["duties"]),
            keep=row["keep"],
            fed_by=row["unit"],
            fed_by_kind=row["kind"],
            claimed_by=tuple((row["claimed_by"] or "").split()),
            outcome=row["outcome"],
            effect=row["effect"],
            part=row["part"],
            lead=row["lead"],
            feeds=feeds[row["speaker"]],
            grips=held.get(row["speaker"], ()),
            disputed=bool(row["disputed"]),
            measured=bool(row["measured"]) and row["unit"] is not None,
            ways=ways.get(row["speaker"], ()),
            fixes=fixes_for(
                ways,
                row["speaker"],
                row["place"],
                carrying.get(row["speaker"], ()),
                stays=row["effect"] == "stays on factory feed",
            )
            if row["outcome"] in ("left out", "partial")
            else (),
        )
        for row in rows
        if row["path"] == CHOSEN
    )


_SPEAKERS = """
SELECT o.path, o.speaker, o.outcome, o.effect, o.part, o.lead,
       s.place, s.role, s.ohms, s.duties, s.keep, b.unit, b.kind,
       (SELECT group_concat(unit, ' ') FROM (SELECT DISTINCT p.unit FROM pole p
        WHERE p.vehicle = o.vehicle AND p.speaker = o.speaker AND p.unit IS NOT NULL
        ORDER BY p.unit)) AS claimed_by,
       -- This revision or a rival one has the speaker on a pin on which the two differ.
       EXISTS (SELECT 1 FROM dispute d JOIN pole p
               ON p.vehicle IN (d.revision, d.rival) AND p.connector = d.connector AND p.at = d.at
               WHERE d.revision = o.vehicle AND p.speaker = o.speaker) AS disputed,
       NOT EXISTS (SELECT 1 FROM unmeasured u
                   WHERE u.revision = o.vehicle AND u.speaker = o.speaker) AS measured
FROM outcome o
JOIN speaker s ON s.vehicle = o.vehicle AND s.speaker = o.speaker
JOIN fed_by b ON b.vehicle = o.vehicle AND b.speaker = o.speaker
ORDER BY o.path, s.position
"""


def _carrying(
    connection: sqlite3.Connection,
    vehicle: int,
    path: Path,
    rows: Sequence[sqlite3.Row],
    chosen_grips: Mapping[str, tuple[Grip, ...]],
    ways: Mapping[str, Sequence[PoleWay]],
) -> dict[str, list[Carrying]]:
    """For each speaker, the unchosen parts that would carry it, and by which of their leads."""
    chosen = {row["speaker"]: row["outcome"] for row in rows if row["path"] == CHOSEN}
    leads: dict[str, dict[str, tuple[Grip, ...]]] = {}
    found: dict[str, list[Carrying]] = {}
    for row in rows:
        speaker = row["speaker"]
        if row["path"] == CHOSEN or row["outcome"] not in ("carried", "reversed"):
            continue
        if chosen[speaker] not in ("left out", "partial"):
            continue
        extra = path.unchosen[row["path"] - 1]
        if extra not in leads:
            leads[extra] = grips(connection, vehicle, path, extra)
        held = leads[extra].get(speaker, ())
        named = [grip for coil in _coils(held) if (grip := named_grip(held, coil))]
        found.setdefault(speaker, []).append(
            Carrying(
                part=extra,
                leads=tuple(dict.fromkeys(grip.lead for grip in named)),
                reversed=row["outcome"] == "reversed",
                intercepts=named[0].intercepts,
                joined=joined_besides(
                    ways.get(speaker, ()), named, (*held, *chosen_grips.get(speaker, ()))
                ),
            )
        )
    return found


def _coils(held: Sequence[Grip]) -> list[str | None]:
    return list(dict.fromkeys(grip.coil for grip in held))


def _idle_leads(connection: sqlite3.Connection, vehicle: int, path: Path) -> tuple[IdleLead, ...]:
    sql, parameters = path_rows(path.kit, [path.chosen])
    rows = connection.execute(
        with_outcomes("SELECT :vehicle", sql)
        + """
        SELECT i.part, i.lead, l.wire, l.plug, l.plus, l.minus, i.connector, i.why,
               p.carries AS plus_carries, m.carries AS minus_carries,
               iif(p.carries IS NULL, p.at, NULL) AS plus_untold,
               iif(m.carries IS NULL, m.at, NULL) AS minus_untold, t.intercepts,
               EXISTS (SELECT 1 FROM connector c JOIN takes_out o ON o.kind = c.kind
                       WHERE c.vehicle = i.vehicle AND c.connector = i.connector
                         AND o.kit = i.kit) AS unit_out,
               EXISTS (SELECT 1 FROM dispute d
                       WHERE d.revision = i.vehicle AND d.connector = i.connector
                         AND d.at IN (l.plus, l.minus)) AS disputed
        FROM idle_lead i JOIN lead l USING (kit, part, lead) JOIN part t USING (kit, part)
        LEFT JOIN pin p ON p.vehicle = i.vehicle AND p.connector = i.connector AND p.at = l.plus
        LEFT JOIN pin m ON m.vehicle = i.vehicle AND m.connector = i.connector AND m.at = l.minus
        WHERE i.path = 0 ORDER BY l.position
        """,
        {"vehicle": vehicle, **parameters},
    )
    return tuple(_idle_lead(dict(row)) for row in rows)


def _idle_lead(row: dict[str, Any]) -> IdleLead:
    untold = (row.pop("plus_untold"), row.pop("minus_untold"))
    for name in ("disputed", "unit_out"):
        row[name] = bool(row[name])
    row["intercepts"] = None if row["intercepts"] is None else bool(row["intercepts"])
    return IdleLead(**row, untold=tuple(filter(None, untold)))
