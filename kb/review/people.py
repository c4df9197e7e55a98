"""Who is listed, with which role. A role says who signs; it keeps nobody out of a file.

It stands alone because acts, the queue and the command line all ask it.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from kb.errors import Refused
from kb.store.names import checked_name

if TYPE_CHECKING:
    from sqlite_utils import Database

Role = Literal["tech", "lead"]
ROLES: tuple[Role, ...] = ("tech", "lead")


@dataclass(frozen=True)
class Person:
    """Somebody who is listed."""

    name: str
    role: str
    since: str
    by: str


def people(connection: sqlite3.Connection) -> list[Person]:
    """Everybody who is listed, leads first."""
    return [
        Person(*row)
        for row in connection.execute(
            "SELECT name, role, since, by FROM person ORDER BY role <> 'lead', name COLLATE NOCASE"
        )
    ]


def leads(connection: sqlite3.Connection) -> list[str]:
    """The names of the leads."""
    return [person.name for person in people(connection) if person.role == "lead"]


def is_lead(connection: sqlite3.Connection, name: str) -> bool:
    """Whether `name` is listed as a lead; letter case makes no second person."""
    return name.casefold() in {lead.casefold() for lead in leads(connection)}


def must_be_lead(connection: sqlite3.Connection, name: str, purpose: str) -> None:
    """Raise Refused where `name` is no lead, with what would be right."""
    if is_lead(connection, name):
        return
    known = leads(connection)
    if known:
        raise Refused(f"{name} acts as a technician; only a lead {purpose}: {', '.join(known)}.")
    raise Refused(
        f"{name} acts as a technician, and this book has no lead yet; "
        f"`loombook people add {name} --role lead` lists one."
    )


def add_person(database: Database, name: str, role: Role, *, by: str) -> Person:
    """List somebody, or change a role. Raises Refused where `by` may not, or nothing changes."""
    name = checked_name(name)
    _may_list(database.conn, by)
    for person in people(database.conn):
        if person.name.casefold() != name.casefold():
            continue
        if person.name != name:
            raise Refused(f"{person.name} is listed already; write the name in the same way.")
        if person.role == role:
            raise Refused(f"{name} is listed as {role} already.")
        if role != "lead":
            _may_step_down(database.conn, person)
    return _append(database, name, role, by)


def remove_person(database: Database, name: str, *, by: str) -> None:
    """Take somebody off the list; what they did stays theirs. Raises Refused."""
    _may_list(database.conn, by)
    for person in people(database.conn):
        if person.name.casefold() == name.casefold():
            _may_step_down(database.conn, person)
            _append(database, person.name, "none", by)
            return
    known = ", ".join(person.name for person in people(database.conn)) or "nobody"
    raise Refused(f"{name} is not listed; listed are: {known}.")


def _may_list(connection: sqlite3.Connection, by: str) -> None:
    if leads(connection):
        must_be_lead(connection, by, "lists people")


def _may_step_down(connection: sqlite3.Connection, person: Person) -> None:
    if person.role == "lead" and leads(connection) == [person.name]:
        raise Refused(f"{person.name} is the only lead; list another lead first.")


def _append(database: Database, name: str, role: str, by: str) -> Person:
    from kb.store.revisions import append_act

    record = append_act(database, None, "role", by=checked_name(by), person=name, value=role)
    return Person(name, role, record.at, record.by)
