"""No sequence of acts by any people breaks a rule: a state machine beside a model of its own.

The model below is written from the design's sentences, in Python, and knows no SQL. Every act is
tried twice: straight into the table, past every sentence of kb.review, and through kb.review; both
must be allowed exactly when the model allows it.
"""

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from kb.errors import Refused
from kb.review import acts
from kb.review.audit import audit
from kb.review.people import add_person, remove_person
from kb.store.projection import refresh
from kb.store.revisions import append_act
from tests.kb.review.cases import ALL_PINS, CAR, car, memory_book, meter, store, whole

PEOPLE = ("lena", "lou", "tom")
people = st.sampled_from(PEOPLE)
MEASURES = ("meter", "tone")
# Lines of evidence that authors bring, pass on, or leave out.
LINES = [
    meter(ALL_PINS, note="one"),
    meter(ALL_PINS, "tone", note="two"),
    meter(ALL_PINS[:3], note="three poles only"),
    meter(ALL_PINS, "hearsay", note="from the forum"),
]
BROUGHT = [(), (0,), (0,), (0, 1), (1,), (2,), (3,), (0, 3)]


@dataclass
class Made:
    """The model's revision."""

    author: str
    lines: tuple[int, ...]
    state: str
    made_from: str | None = None


class Review(RuleBasedStateMachine):
    def __init__(self) -> None:
        super().__init__()
        self.book = memory_book()
        self.roles: dict[str, str] = {}
        self.made: dict[str, Made] = {}
        self.brought: dict[int, str] = {}
        self.order: list[str] = []  # a draft that is submitted comes last again

    # -- the model's answers

    def leads(self) -> set[str]:
        return {name for name, role in self.roles.items() if role == "lead"}

    def may_verify(self, by: str, hash: str, alone: bool, reason: str | None) -> bool:
        one = self.made[hash]
        if by not in self.leads() or one.state != "submitted":
            return False
        if alone and self.leads() != {by}:
            return False
        measures = [line for line in one.lines if LINES[line]["method"] in MEASURES]
        counted = measures or one.lines
        own = one.author == by or (
            bool(counted) and all(self.brought[line] == by for line in counted)
        )
        if own and not alone:
            return False
        poles = {pin for line in measures for pin in LINES[line]["of"]}
        return poles == set(ALL_PINS) or reason is not None

    # -- both ways in

    def attempt(
        self, allowed: bool, directly: Callable[[], Any], kindly: Callable[[], Any]
    ) -> None:
        """Kept only through kb.review; the direct way is undone again."""
        try:
            with whole(self.book):
                directly()
                raise _Undo
        except _Undo:
            assert allowed, "the database let through what the rules forbid"
        except sqlite3.IntegrityError as fault:
            assert not allowed, f"the database forbids what the rules allow: {fault}"
        try:
            with whole(self.book):
                kindly()
            assert allowed, "kb.review let through what the rules forbid"
        except Refused as fault:
            assert not allowed, f"kb.review forbids what the rules allow: {fault}"

    def some(self, number: int) -> str:
        return list(self.made)[number % len(self.made)]

    # -- what people do

    @initialize(leads=st.sampled_from([(), ("lena",), ("lena",), ("lena", "lou")]))
    def begin(self, leads: tuple[str, ...]) -> None:
        for lead in leads:
            with whole(self.book):
                add_person(self.book, lead, "lead", by="lena")
            self.roles[lead] = "lead"

    @rule(by=people, lines=st.sampled_from(BROUGHT), draft=st.sampled_from([False, False, True]))
    def bring(self, by: str, lines: tuple[int, ...], draft: bool) -> None:
        number = len(self.made)
        content = car(evidence=[LINES[line] for line in sorted(lines)], body=f"body {number}")
        with whole(self.book):
            hash = store(self.book, by, content, draft=draft)
        for line in lines:
            self.brought.setdefault(line, by)
        state = "draft" if draft else "submitted"
        parent = self.order[-1] if self.order else None
        self.made[hash] = Made(by, tuple(sorted(lines)), state, parent)
        self.order.append(hash)

    @precondition(lambda self: self.made)
    @rule(by=people, number=st.integers(0, 9))
    def pass_on(self, by: str, number: int) -> None:
        """Somebody's evidence in somebody else's revision."""
        self.bring(by, self.made[self.some(number)].lines, False)

    @rule(by=people, person=people, role=st.sampled_from(["lead", "tech"]))
    def list_somebody(self, by: str, person: str, role: str) -> None:
        leads = self.leads()
        allowed = (not leads or by in leads) and not (role == "tech" and leads == {person})
        if self.roles.get(person) == role:
            return  # nothing would change; kb.review says so
        self.attempt(
            allowed,
            lambda: append_act(self.book, None, "role", by=by, person=person, value=role),
            lambda: add_person(self.book, person, role, by=by),  # type: ignore[arg-type]
        )
        if allowed:
            self.roles[person] = role

    @rule(by=people, person=people)
    def strike_off(self, by: str, person: str) -> None:
        if person not in self.roles:
            return
        allowed = (not self.leads() or by in self.leads()) and self.leads() != {person}
        self.attempt(
            allowed,
            lambda: append_act(self.book, None, "role", by=by, person=person, value="none"),
            lambda: remove_person(self.book, person, by=by),
        )
        if allowed:
            del self.roles[person]

    @precondition(lambda self: self.made)
    @rule(
        by=people,
        number=st.integers(0, 9),
        alone=st.sampled_from([False, False, True]),
        reason=st.sampled_from(["so", None]),
    )
    def verify(self, by: str, number: int, alone: bool, reason: str | None) -> None:
        hash = self.some(number)
        allowed = self.may_verify(by, hash, alone, reason)
        self.attempt(
            allowed,
            lambda: append_act(self.book, hash, "verify", by=by, alone=alone, reason=reason),
            lambda: acts.verify(self.book, f"{CAR}@{hash}", by=by, alone=alone, reason=reason),
        )
        if allowed:
            for other, one in self.made.items():
                if other != hash and one.state == "verified":
                    one.state = "superseded"
                elif one.state == "submitted" and self.replaced(other, hash):
                    one.state = "returned"
            self.made[hash].state = "verified"

    def submitted(self) -> list[int]:
        return [n for n, one in enumerate(self.made.values()) if one.state == "submitted"]

    @precondition(lambda self: self.submitted() and self.leads())
    @rule(number=st.integers(0, 9), who=st.integers(0, 1), reason=st.sampled_from(["so", None]))
    def a_lead_verifies(self, number: int, who: int, reason: str | None) -> None:
        leads, waiting = sorted(self.leads()), self.submitted()
        self.verify(leads[who % len(leads)], waiting[number % len(waiting)], False, reason)

    @precondition(lambda self: self.submitted() and self.leads())
    @rule(number=st.integers(0, 9), who=st.integers(0, 1), reason=st.sampled_from(["so", None]))
    def a_lead_verifies_alone(self, number: int, who: int, reason: str | None) -> None:
        leads, waiting = sorted(self.leads()), self.submitted()
        self.verify(leads[who % len(leads)], waiting[number % len(waiting)], True, reason)

    def replaced(self, older: str, newer: str) -> bool:
        """Whether one was made from the other by the same author, at however many steps."""
        at = self.made[newer].made_from
        while at is not None and at != older:
            at = self.made[at].made_from
        return at == older and self.made[older].author == self.made[newer].author

    @precondition(lambda self: self.made)
    @rule(by=people, number=st.integers(0, 9))
    def send_back(self, by: str, number: int) -> None:
        hash = self.some(number)
        allowed = by in self.leads() and self.made[hash].state == "submitted"
        self.attempt(
            allowed,
            lambda: append_act(self.book, hash, "return", by=by, reason="poles"),
            lambda: acts.send_back(self.book, f"{CAR}@{hash}", by=by, why="poles"),
        )
        if allowed:
            self.made[hash].state = "returned"

    @precondition(lambda self: self.made)
    @rule(by=people, number=st.integers(0, 9))
    def withdraw(self, by: str, number: int) -> None:
        hash = self.some(number)
        one = self.made[hash]
        allowed = by == one.author and one.state in ("draft", "submitted", "verified")
        self.attempt(
            allowed,
            lambda: append_act(self.book, hash, "withdraw", by=by),
            lambda: acts.withdraw(self.book, f"{CAR}@{hash}", by=by),
        )
        if allowed:
            one.state = "withdrawn"

    @precondition(lambda self: self.made)
    @rule(by=people, number=st.integers(0, 9))
    def submit(self, by: str, number: int) -> None:
        hash = self.some(number)
        allowed = self.made[hash].state == "draft" and by == self.made[hash].author
        self.attempt(
            allowed,
            lambda: append_act(self.book, hash, "submit", by=by),
            lambda: acts.submit(self.book, f"{CAR}@{hash}", by=by),
        )
        if allowed:
            self.made[hash].state = "submitted"
            self.order.remove(hash)
            self.order.append(hash)

    @precondition(lambda self: self.made)
    @rule(
        by=people,
        number=st.integers(0, 9),
        act=st.sampled_from(["verify", "return", "supersede", "withdraw", "submit", "draft"]),
    )
    def forge(self, by: str, number: int, act: str) -> None:
        """Straight into the table, and kept where the database lets it: never a second verified."""
        if act in ("verify", "return", "withdraw", "submit"):
            return  # their own rules try them; here only what no person can ask for
        hash = self.some(number)
        try:
            with whole(self.book):
                append_act(self.book, hash, act, by=by)  # type: ignore[arg-type]
            raise AssertionError(f"{act} by {by} was let through")
        except sqlite3.IntegrityError:
            return

    # -- what always holds

    @invariant()
    def states_are_the_models(self) -> None:
        found = dict(
            tuple(row) for row in self.book.execute("SELECT hash, state FROM revision_state")
        )
        assert found == {hash: one.state for hash, one in self.made.items()}
        assert (
            dict(tuple(row) for row in self.book.execute("SELECT hash, state FROM entry")) == found
        )

    @invariant()
    def one_answers_and_it_is_the_verified_one(self) -> None:
        verified = [hash for hash, one in self.made.items() if one.state == "verified"]
        assert len(verified) <= 1
        answering = [
            row[0] for row in self.book.execute("SELECT hash FROM entry WHERE answers = 1")
        ]
        assert len(answering) <= 1
        if verified:
            assert answering == verified

    def teardown(self) -> None:
        assert audit(self.book.conn).broken is None
        with whole(self.book):
            refresh(self.book, [("vehicle", CAR)])
        self.states_are_the_models()


class _Undo(Exception):
    pass


TestReview = Review.TestCase
TestReview.settings = settings(
    max_examples=40,
    stateful_step_count=30,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
