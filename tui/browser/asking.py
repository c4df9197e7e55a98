"""How a screen asks the book, writes into it, and sees that somebody else has changed it.

Promise: a question runs in a thread on a connection of its own, its answer comes back as a
message, and so does its failure, as one sentence; the answer to an overtaken question is dropped.
What a screen shows is read anew where the book has changed since: looked for whenever the screen
comes back, every few seconds, and with every other question that it asks; then the mark stays, and
where what is shown differs, that is said.
It stands alone because these rules must not be written again in each screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from textual import on
from textual.message import Message
from textual.widgets import Static

from kb.errors import Refused
from kb.store.chain import last_chain
from tui.browser.copying import Copying
from tui.browser.text import row

if TYPE_CHECKING:
    from tui.browser.shelf import Shelf

Answer = TypeVar("Answer")
SLOW_AFTER = 0.3  # seconds until a wait is said
ANEW = "anew"  # the group of the question that nobody asked for
CHANGED = "the book has changed: read anew"


@dataclass(frozen=True)
class Basis:
    """What a screen's lines follow from: the question, its answer, and the book as it was then."""

    question: Callable[[Any], Any]
    again: Callable[[Any], None]
    book: str
    answer: Any


class Asking(Copying):
    """What of a screen is asked and answered."""

    class Answered(Message):
        """A question has its answer."""

        def __init__(self, group: str, number: int, value: Any, then: Callable[[Any], None]):
            super().__init__()
            self.group, self.number, self.value, self.then = group, number, value, then

    class Failed(Message):
        """A question failed, and this is what to tell."""

        def __init__(self, group: str, number: int, sentence: str):
            super().__init__()
            self.group, self.number, self.sentence = group, number, sentence

    class Looked(Message):
        """What the book is like now; None where it could not be looked at."""

        def __init__(self, book: str | None):
            super().__init__()
            self.book = book

    def __init__(self) -> None:
        super().__init__()
        self._numbers: dict[str, int] = {}
        self._asked: dict[str, Any] = {}  # the open connection of each question under way
        self._pending: set[str] = set()
        self._last_said: tuple[object, str] = ("", "plain")
        self._basis: Basis | None = None
        self._looking = False

    @property
    def shelf(self) -> Shelf:
        """The book that is looked at."""
        raise NotImplementedError

    def say(self, text: object, role: str = "plain") -> None:
        """Say one thing above the footer; empty text takes it away."""
        if self._last_said != (text, role):
            self._last_said = (text, role)
            self._draw_said(text, role)

    def _draw_said(self, text: object, role: str) -> None:
        said = self.query_one("#said", Static)
        said.update(row(" ", (text, role)))
        said.set_class(not str(text), "-empty")

    # -- a question and its answer

    def ask(
        self,
        question: Callable[[Any], Answer],
        then: Callable[[Answer], None],
        *,
        group: str = "main",
        again: Callable[[Answer], None] | None = None,
    ) -> None:
        """Ask an open connection in a thread; `then` gets the answer on this side.

        A later question of the same group overtakes this one: its work is stopped. `again`: what
        the screen shows is the answer to this; where the book has changed it is asked once more,
        and `again` gets an answer that differs.
        """

        def told(found: tuple[str, Answer]) -> None:
            book, value = found
            if again is not None:
                self._basis = Basis(question, again, book, value)
            else:
                self._seen_at(book)
            then(value)

        self.work(lambda: self._ask_book(question, group), told, group=group)

    def _ask_book(self, question: Callable[[Any], Answer], group: str) -> tuple[str, Answer]:
        """The answer, and the book as it was before it was asked."""
        with self.shelf.book.reading() as connection:
            self._asked[group] = connection
            try:
                return last_chain(connection), question(connection)
            finally:
                self._asked.pop(group, None)

    def change(
        self, act: Callable[[Any], Answer], then: Callable[[Answer], None], *, group: str = "change"
    ) -> None:
        """Write in a thread, all or nothing; a refusal is said and nothing changes."""

        def write() -> Answer:
            with self.shelf.writing() as database:
                return act(database)

        self.work(write, then, group=group)

    def work(
        self, task: Callable[[], Answer], then: Callable[[Answer], None], *, group: str
    ) -> None:
        """Run anything in a thread; the end is a message either way."""
        self._stop(group)
        number = self._numbers[group] = self._numbers.get(group, 0) + 1
        self._pending.add(group)
        self.set_timer(SLOW_AFTER, partial(self._say_slow, group, number))

        def run() -> None:
            try:
                value = task()
            except Exception as fault:
                self.post_message(self.Failed(group, number, sentence_of(fault)))
            else:
                self.post_message(self.Answered(group, number, value, then))

        self.run_worker(run, thread=True, group=group, exclusive=True, exit_on_error=False)

    @on(Answered)
    def _answered(self, message: Answered) -> None:
        if message.number == self._numbers.get(message.group):
            self._end(message.group)
            message.then(message.value)

    @on(Failed)
    def _failed(self, message: Failed) -> None:
        if message.number == self._numbers.get(message.group):
            self._end(message.group)
            if message.group == ANEW:
                said = f"The book has changed and cannot be read anew. {message.sentence}"
                self._say_on_top(said, "flag")
            else:
                self.failed(message.sentence, message.group)

    def failed(self, sentence: str, group: str) -> None:  # noqa: ARG002  # screens override it
        """What to do with a failure: say it."""
        self.say(sentence, "flag")

    def _say_slow(self, group: str, number: int) -> None:
        if group != ANEW and group in self._pending and self._numbers[group] == number:
            self._draw_said("working it out … Esc stops", "faint")
            self.add_class("-slow")

    def _end(self, group: str) -> None:
        self._pending.discard(group)
        if self.has_class("-slow"):
            self.remove_class("-slow")
            self._draw_said(*self._last_said)

    def _stop(self, group: str) -> None:
        connection = self._asked.get(group)
        if connection is not None:
            with suppress(Exception):  # it may just have been closed: then nothing is to stop
                connection.interrupt()

    def stop_all(self) -> bool:
        """Stop what is being worked out; whether there was anything that somebody asked for."""
        under_way = list(self._pending)
        for group in under_way:
            self._stop(group)
            self._numbers[group] += 1
            self._pending.discard(group)
        self.remove_class("-slow")
        return any(group != ANEW for group in under_way)

    # -- the book as others change it

    @property
    def origin(self) -> Asking:
        """The screen whose answer this one shows; itself, but for a page of another's answer."""
        return self

    @property
    def is_behind(self) -> bool:
        """Whether what is shown is just being read anew."""
        return ANEW in self.origin._pending

    def on_screen_resume(self) -> None:
        """Whoever comes back here sees the book as it is."""
        self.look_at_book()

    def look_at_book(self) -> None:
        """See, in a thread, whether the book is still the one that was read."""
        origin = self.origin
        if not origin._looking and origin._basis is not None:
            origin._looking = True
            origin.run_worker(origin._look_now, thread=True, group="look", exit_on_error=False)

    def _look_now(self) -> None:
        book = None
        try:
            with self.shelf.book.reading() as connection:
                book = last_chain(connection)
        except Refused:  # in use, or gone: the next question says so
            pass
        finally:
            self.post_message(self.Looked(book))

    @on(Looked)
    def _looked(self, message: Looked) -> None:
        self._looking = False
        if message.book is not None:
            self._seen_at(message.book)

    def _seen_at(self, book: str) -> None:
        """An answer came from the book as it is now: what is shown must come from it too."""
        origin = self.origin
        if origin._basis is not None and origin._basis.book != book:
            origin._read_anew(origin._basis)

    def _read_anew(self, basis: Basis) -> None:
        def told(found: tuple[str, Any]) -> None:
            book, answer = found
            if self._basis is not basis:  # another question was asked meanwhile
                return
            self._basis = replace(basis, book=book, answer=answer)
            differs = answer != basis.answer
            if differs:
                basis.again(answer)
                self.say_changed()
            for screen in self._showing_this():
                screen.book_moved()

        if ANEW not in self._pending:
            self.work(lambda: self._ask_book(basis.question, ANEW), told, group=ANEW)

    def _showing_this(self) -> Iterator[Asking]:
        for screen in list(self.app.screen_stack):
            if isinstance(screen, Asking) and screen.origin is self:
                yield screen

    def book_moved(self) -> None:
        """Called once the book was read anew, for what a screen shows beside that answer."""

    def say_changed(self) -> None:
        """Tell whoever looks that what was shown differs now."""
        self._say_on_top(self.changed_in_words(), "caution")

    def changed_in_words(self) -> str:
        """What is told then."""
        return CHANGED

    def _say_on_top(self, text: str, role: str) -> None:
        top = next(s for s in reversed(self.app.screen_stack) if isinstance(s, Asking))
        said, how = top._last_said
        if how in ("fine", "flag") and text.startswith(CHANGED):
            # What somebody did here, or was refused, is not talked over, however often the book
            # is read anew beneath it: once for a list, and once for the faces below that.
            done = str(said).partition(f" {_sentence(CHANGED)}")[0]
            text, role = f"{done} {_sentence(text)}.", how
        top.say(text, role)


def _sentence(text: str) -> str:
    """With a capital, to stand behind another sentence."""
    return f"{text[0].upper()}{text[1:]}"


def sentence_of(fault: Exception) -> str:
    """What to tell a person of a failure."""
    from grammar.errors import QueryError

    if isinstance(fault, Refused):
        return str(fault)
    if isinstance(fault, QueryError):
        return fault.render()
    return (
        f"This is a mistake of Loombook's own ({type(fault).__name__}: {fault}); "
        "nothing was changed."
    )
