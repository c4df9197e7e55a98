"""What a question is about: `of`, `for`, `on` and `with`, looked up in the book.

Names become numbers of revisions here and nowhere later, so that the SQL narrows by key.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Literal

from grammar.errors import QueryError
from grammar.tree import AnyPath, Path, Query, Scope, Things, Value, leading_minus, word_key
from kb.answers.mating import contests, not_plugging_in
from kb.answers.path import Path as KitPath
from kb.answers.path import choose_path
from kb.errors import Refused
from kb.query.bound import Kits
from kb.query.catalogue import Subject
from kb.query.vehicles import NoVehicle, find_vehicle

ALWAYS_PARTS = "Each kit by the parts that are always used; parts of choice are left aside."


@dataclass(frozen=True)
class Scoped:
    """The scopes of a query, resolved; see kb.query.bound.Bound for what each means."""

    scope: tuple[int | str, ...] | None
    vehicles: tuple[int, ...] | None
    kits: Kits | None
    given: frozenset[str]
    notes: tuple[str, ...]


def _numbers(named: tuple[int | str, ...] | tuple[int, ...] | None) -> tuple[int, ...] | None:
    return None if named is None else tuple(int(number) for number in named)


class Scopes:
    """Resolves one query's scopes."""

    def __init__(
        self,
        connection: sqlite3.Connection,
        query: Query,
        text: str,
        subject: Subject,
        newest: bool,
    ) -> None:
        self._connection = connection
        self._query = query
        self._text = text
        self._subject = subject
        self._newest = newest
        self._notes: list[str] = []
        self._chosen: KitPath | None = None

    def resolve(self) -> Scoped:
        """Look every name up. Raises QueryError at the name that points at nothing, or at many."""
        things: tuple[int | str, ...] | None = None
        vehicles: tuple[int, ...] | None = None
        kits: Kits | None = None
        for scope in self._query.scopes:
            if isinstance(scope, AnyPath):
                kits = self._any_kit(scope)
                continue
            self._refuse_minus(scope)
            if isinstance(scope, Path):
                kits = self._path(scope)
            elif self._names_vehicles(scope):
                self._refuse_twice(scope)
                found = tuple(self._vehicle(name) for name in scope.names)
                if self._subject.of == "vehicle":
                    things = found
                else:
                    vehicles = found
            elif self._subject.of == "entry":
                things = tuple(self._entry(name) for name in scope.names)
            else:
                things = tuple(self._kit(name) for name in scope.names)
        named = vehicles if self._subject.of != "vehicle" else things
        if self._chosen is not None:
            self._say_of_path(self._chosen, _numbers(named))
        elif kits is not None:
            self._say_always(_numbers(named))
        return self._scoped(things, vehicles, kits)

    def _scoped(
        self,
        things: tuple[int | str, ...] | None,
        vehicles: tuple[int, ...] | None,
        kits: Kits | None,
    ) -> Scoped:
        given = set()
        if vehicles is not None:
            given.add("vehicle")
            if len(vehicles) > 1:
                given.add("several vehicles")
            kits = self._kits_for(things, vehicles, kits)
        if kits is not None and vehicles is None:
            given.add("kit")
            if kits.kit is None:
                given.add("any kit")
        return Scoped(things, vehicles, kits, frozenset(given), tuple(self._notes))

    def _kits_for(
        self,
        things: tuple[int | str, ...] | None,
        vehicles: tuple[int, ...],
        kits: Kits | None,
    ) -> Kits:
        """The paths behind `kits for V` and `leads ... on V`: each kit by its `always` parts."""
        if kits is not None:
            return kits
        if self._subject.name == "leads" and things is not None and len(things) == 1:
            return self._always(int(things[0]), vehicles)
        self._say_always(vehicles)
        return Kits()

    def _always(self, kit: int, vehicles: tuple[int, ...]) -> Kits:
        path = choose_path(self._connection, kit)
        self._left_aside(path, vehicles)
        return Kits(kit, path.chosen, self._is_verified(kit))

    def _say_always(self, vehicles: tuple[int, ...] | None) -> None:
        """Each kit as it comes; a kit made of choices alone would look as if it fitted nothing."""
        self._notes.append(ALWAYS_PARTS)
        if not vehicles:
            return
        from kb.query.plugging import choices_that_plug_in, kits_let_in, said_of_choices

        found = choices_that_plug_in(self._connection, vehicles, self._mark)
        asked = kits_let_in(self._query.where)
        if asked is not None:
            found = {id: parts for id, parts in found.items() if id.casefold() in asked}
        if found:
            # Of kits nothing can be asked with a part: what one comes to is asked of the vehicle.
            name = self._subject.name if self._subject.takes_kit else "vehicles"
            relation = "of" if self._subject.of == "vehicle" or name == "vehicles" else "on"
            self._notes.append(
                f"Parts of choice that plug in here: {said_of_choices(found)};"
                f" `{name} {relation} VEHICLE with KIT + PART` counts with them."
            )

    @property
    def _mark(self) -> str:
        return "newest" if self._newest else "answers"

    def _is_verified(self, kit: int) -> bool:
        sql = "SELECT state FROM kit WHERE kit = ?"
        (state,) = self._connection.execute(sql, (kit,)).fetchone()
        return bool(state == "verified")

    def _id_of(self, kit: int) -> str:
        (id,) = self._connection.execute("SELECT id FROM kit WHERE kit = ?", (kit,)).fetchone()
        return str(id)

    def _left_aside(self, path: KitPath, vehicles: tuple[int, ...] | None) -> None:
        """The parts of choice that the path has not; advised is only one that plugs in."""
        if not path.unchosen:
            return
        id = self._id_of(path.kit)
        head = "Parts of choice are left aside" if path.chosen else f"No part of {id} is chosen"
        said = f"{head} ({', '.join(path.unchosen)})"
        fit = path.unchosen
        if vehicles:
            from kb.query.plugging import parts_that_plug_in

            plugs_in = parts_that_plug_in(self._connection, path.kit, vehicles)
            fit = tuple(part for part in path.unchosen if part in plugs_in)
        if not fit:
            self._notes.append(f"{said}; none of these plugs in here.")
            return
        chosen = self._connection.execute(
            "SELECT part FROM part WHERE kit = ? AND use = 'choice' ORDER BY position", (path.kit,)
        )
        with_it = [part for (part,) in chosen if part in path.chosen]
        adds = " + ".join([id, *with_it, fit[0]])
        if len(fit) < len(path.unchosen):
            said += f"; of these {', '.join(fit)} plug{'s' if len(fit) == 1 else ''} in here"
        self._notes.append(f"{said}; `with {adds}` adds {'one' if len(fit) > 1 else 'it'}.")

    def _say_of_path(self, path: KitPath, vehicles: tuple[int, ...] | None) -> None:
        if vehicles is not None:
            self._what_does_not_plug_in(vehicles, path)
        elif self._subject.of == "vehicle" and path.chosen:
            from kb.query.plugging import vehicles_that_take

            fit, all_ = vehicles_that_take(self._connection, path.kit, path.chosen, self._mark)
            if fit < all_:
                path_said = " + ".join(name.text for name in self._path_names())
                self._notes.append(
                    f"{path_said} plugs into {fit} of {all_} vehicles; in the others, as far as"
                    " their plugs are documented, nothing is carried."
                    f" `vehicles with {path_said} where fits` lists those that take it."
                )
        self._left_aside(path, vehicles)

    def _path_names(self) -> tuple[Value, ...]:
        return next(scope.names for scope in self._query.scopes if isinstance(scope, Path))

    def _what_does_not_plug_in(self, vehicles: tuple[int, ...], path: KitPath) -> None:
        """A part that goes in nowhere explains why nothing is carried: said for named vehicles."""
        kit = self._id_of(path.kit)
        for vehicle in vehicles:
            (id,) = self._connection.execute(
                "SELECT id FROM vehicle WHERE vehicle = ?", (vehicle,)
            ).fetchone()
            for one in not_plugging_in(self._connection, vehicle, path):
                self._notes.append(f"Does not plug in: {kit}'s part {one.part} on {id}; {one.why}.")
            for contest in contests(self._connection, vehicle, path):
                self._notes.append(f"Not all plug in at once, of {kit} on {id}: {contest.said()}.")

    def _refuse_minus(self, scope: Things | Path) -> None:
        """Raises QueryError for `tarn -concert`: whoever types it asks to leave a thing out."""
        for name in scope.names:
            if "-" in name.text and leading_minus(name.text):
                raise QueryError(
                    "A minus in front of a word leaves nothing out; a scope names what is asked"
                    " about.",
                    self._text,
                    name.span,
                )

    def _names_vehicles(self, scope: Things) -> bool:
        if self._subject.of == "vehicle":
            return True
        if scope.relation == "of":
            return False
        if self._subject.takes_vehicle:
            return True
        raise self._error(f"`{scope.relation}` says nothing about {self._subject.name}.", scope)

    def _refuse_twice(self, scope: Things) -> None:
        """Raises QueryError where another clause before this one names vehicles as well."""
        for other in self._query.scopes:
            if other is scope:
                return
            if isinstance(other, Things) and self._names_vehicles(other):
                relation = other.relation
                raise QueryError(
                    f"The vehicle is said twice: after `{relation}` and after `{scope.relation}`.",
                    self._text,
                    scope.span,
                    hint=f"`{relation} A, B` names several vehicles.",
                )

    def _any_kit(self, scope: AnyPath) -> Kits:
        if word_key(scope.subject.text) not in ("kit", "kits"):
            raise QueryError(
                "After `with any` comes `kit`.", self._text, scope.subject.span, expected=("kit",)
            )
        if not self._subject.takes_kit or self._subject.of != "vehicle":
            raise self._error(f"`with` says nothing about {self._subject.name}.", scope)
        return Kits(only_plugging_in=True)

    def _path(self, scope: Path) -> Kits:
        if not self._subject.takes_kit:
            from kb.query.hints.scopes_meant import kits_with_parts

            error = self._error(f"`with` says nothing about {self._subject.name}.", scope)
            error.repaired = kits_with_parts(self._query, self._text)
            raise error
        try:
            kit = self._kit(scope.names[0])
        except QueryError as error:
            from kb.query.hints.scopes_meant import parts_of_kit

            error.repaired = parts_of_kit(self._query, self._text) or error.repaired
            raise
        parts = []
        for name in scope.names[1:]:
            part = self._part(kit, name.text.lower())
            try:
                choose_path(self._connection, kit, [part])
            except Refused as fault:
                raise QueryError(str(fault), self._text, name.span) from None
            parts.append(part)
        self._chosen = choose_path(self._connection, kit, parts)
        return Kits(kit, self._chosen.chosen, self._is_verified(kit))

    def _part(self, kit: int, typed: str) -> str:
        """A part's id, where a space or an underscore stands for its hyphen."""
        if " " not in typed and "_" not in typed:
            return typed
        rows = self._connection.execute("SELECT part FROM part WHERE kit = ?", (kit,))
        same = [part for (part,) in rows if word_key(part) == word_key(typed)]
        return same[0] if len(same) == 1 else typed

    def _vehicle(self, name: Value) -> int:
        try:
            found = find_vehicle(self._connection, name.text, newest=self._newest)
        except NoVehicle as fault:
            self._refuse_other_kind(name, "kit")
            from kb.query.hints.name_and_more import refuse_first, where_left_out

            refuse_first(self._text, name)
            lines = [f"  {c.id}  ({c.title})" for c in fault.candidates]
            if fault.more:
                lines.append(f"  and {fault.more} more")
            hint = "\n".join([f"{fault.heading}:", *lines]) if lines else None
            repaired = where_left_out(self._connection, self._text, self._subject, name, "vehicle")
            if fault.of_all:
                from kb.query.hints.scopes_meant import about_all

                hint, repaired = about_all(self._query, self._text, self._subject, name)
            if fault.of_kind:
                from kb.query.hints.trade_words import asked_of_kind

                repaired = asked_of_kind(self._query, self._subject, name, fault.of_kind)
            raise QueryError(
                str(fault), self._text, name.span, hint=hint, repaired=repaired
            ) from None
        if found.note:
            self._notes.append(found.note)
        return found.vehicle

    def _refuse_other_kind(self, name: Value, kind: Literal["kit", "vehicle"]) -> None:
        """Raises QueryError where a kit is named as a vehicle, or a vehicle as a kit."""
        id = name.text.strip().lower()
        sql = f"SELECT 1 FROM {kind} WHERE id = ? AND {self._mark} = 1 LIMIT 1"
        if self._connection.execute(sql, (id,)).fetchone():
            raise self._named_otherwise(name, id, kind)

    def _named_otherwise(
        self, name: Value, said: str, kind: Literal["kit", "vehicle"]
    ) -> QueryError:
        from kb.query.hints.scopes_meant import named_otherwise

        other = "vehicle" if kind == "kit" else "kit"
        return QueryError(
            f"{said} is a {kind}, and here a {other} is named.",
            self._text,
            name.span,
            repaired=named_otherwise(self._query, self._text, self._subject, name, kind),
        )

    def _kit(self, name: Value) -> int:
        from kb.query.hints.kits_named import NoKit, find_kit

        try:
            kit, _, note = find_kit(self._connection, name.text, newest=self._newest)
        except NoKit as fault:
            if fault.lines:
                hint = "\n".join(fault.lines)
                raise QueryError(str(fault), self._text, name.span, hint=hint) from None
            self._refuse_other_kind(name, "vehicle")
            from kb.query.hints.name_and_more import no_kit
            from kb.query.hints.vehicle_alone import loosely_named

            if loosely_named(self._connection, name.text):
                raise self._named_otherwise(name, f'"{name.text}"', "vehicle") from None
            place = (self._query, self._text, self._subject, name)
            raise no_kit(self._connection, *place, str(fault), newest=self._newest) from None
        if note:
            self._notes.append(note)
        return kit

    def _entry(self, name: Value) -> str:
        id = name.text.lower()
        if self._connection.execute("SELECT 1 FROM entry WHERE id = ? LIMIT 1", (id,)).fetchone():
            return id
        from kb.nearest import nearest
        from kb.query.hints.scopes_meant import one_revision

        if "@" in id and (meant := one_revision(self._text)):
            raise meant
        known = [row[0] for row in self._connection.execute("SELECT DISTINCT id FROM entry")]
        near = nearest(id, known)
        hint = f"The nearest is {near}." if near else None
        raise QueryError(
            f'There is no entry "{name.text}" in this book.', self._text, name.span, hint=hint
        )

    def _error(self, sentence: str, scope: Scope) -> QueryError:
        allowed = [f"of {self._subject.of.upper()}"]
        if self._subject.takes_vehicle:
            allowed.append("for VEHICLE")
        if self._subject.takes_kit:
            allowed.append("with KIT")
        return QueryError(sentence, self._text, scope.span, expected=tuple(allowed))
