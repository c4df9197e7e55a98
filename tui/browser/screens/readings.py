"""After the job: each pin that it touched, as documented, different, or not looked at.

Every key is on disk before the next: what a dead terminal leaves is picked up again.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from kb.documents.vocabulary import EVIDENCE_METHODS
from tui.browser.actions import Action, bindings_of
from tui.browser.kept_readings import (
    Begun,
    KeptReadings,
    Reading,
    as_documented,
    in_words,
    sorted_for,
)
from tui.browser.lines.readings import carried_on, summary, wire_if_any
from tui.browser.room import Room
from tui.browser.screens.confirm import Confirm
from tui.browser.screens.pick import Pick
from tui.browser.screens.prompt import Prompt
from tui.browser.text import row, shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item
from tui.browser.widgets.rows import Rows

if TYPE_CHECKING:
    from kb.review.effect import Effect
    from kb.review.readings import PinReading
    from kb.review.touched import Touched, TouchedPin

STATES = {
    "": ("·", "not looked at", "faint"),
    "ok": ("✓", "as documented", "fine"),
    "differs": ("✗", "differs", "flag"),
    "anew": ("↻", "look anew", "caution"),  # read, but of an older revision, of another pin
}


class Readings(Room):
    """The form: one line a pin, one key a reading."""

    ROOM = "readings"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("readings")]

    def __init__(self, job: str) -> None:
        super().__init__()
        self.job = job
        self.touched: Touched | None = None
        self.readings: dict[str, Reading] = {}
        self.anew: dict[str, Reading] = {}  # read under an older revision, documented otherwise now
        self.method = "meter"
        self._undo: list[tuple[str, Reading | None, Reading | None]] = []
        self._kept: KeptReadings | None = None
        self._left: Begun | None = None  # what was kept before this form was opened
        self._held_by: str | None = None  # who else writes these readings down
        self._asked_about: tuple[str, str] | None = None  # the doubtful answer that was asked about

    def body(self) -> Iterable[Widget]:
        yield Static(id="progress")
        yield Rows(
            "pins", headings=("pin", "carries", "wire", "reading", "found"),
            yields=((4, 8), (2, 5), (1, 8)),
        )  # fmt: skip

    def on_mount(self) -> None:
        super().on_mount()
        self.title_line(("Readings", "title"), f"   {self.job}")
        self.query_one(Rows).focus()

        self._kept = KeptReadings(self.job, self.shelf.owner)
        self.read_pins()

    def read_pins(self) -> None:
        """The pins as they are documented now, and what was read of them before."""

        def read(connection: Any) -> Touched:
            from kb.review.touched import touched_by

            if self._kept is not None and self.touched is None:
                self._left = self._kept.read(connection)
            return touched_by(connection, self.job)

        self.ask(read, self._arrived, again=self._arrived)

    def _arrived(self, touched: Touched) -> None:
        first, begun = self.touched is None, self._begun() or self._left
        self.touched = touched
        if first and self._kept is not None:
            self._hold(self._kept)
        self.title_line(("Readings", "title"), f"   {self.job}, of {touched.entry}")
        if begun and not self._held_by:
            under = sorted_for(begun, touched)
            self.readings, self.anew, self.method = under.stand, under.anew, begun.method
            newer = not touched.vehicle.hash.startswith(begun.vehicle or "?")
            told = (self._looked_at(), list(self.anew))
            said = carried_on(*told, newer=newer, kept_at=begun.kept_at)
            self.say(said, "caution" if newer else "fine")
        self._show()
        open_pins = [pin.name for pin in touched.pins if pin.name not in self.readings]
        if open_pins and first:
            self.query_one(Rows).mark_key(open_pins[0])

    def say_changed(self) -> None:
        """What another revision means for these readings was said as it arrived."""

    def _begun(self) -> Begun | None:
        """All that was read so far, under the revision that it was read of."""
        if self.touched is None:
            return None
        return Begun(self.anew | self.readings, self.method, self.touched.vehicle.hash)

    def _hold(self, kept: KeptReadings) -> None:
        """Two browsers that write down the same readings would each lose the other's."""
        self._held_by = None if self.shelf.read_only else kept.open()
        if self._held_by:
            self.refresh_foot()
            self.say(self._elsewhere(), "caution")

    def on_unmount(self) -> None:
        if self._kept is not None:
            self._kept.close()

    def _elsewhere(self) -> str:
        return (
            f"These readings are open in {self._held_by}: go on there, or close them there first."
        )

    def why_not(self, action: Action) -> str:
        """Readings that somebody else writes down are only looked at."""
        if "change" in self._pending and (action.writes or action.prepares):
            return "What was read is being summed up; one moment."
        held = self._held_by and (action.writes or action.prepares)
        return self._elsewhere() if held else super().why_not(action)

    # -- showing

    def _show(self) -> None:
        assert self.touched is not None
        entries: list[Entry] = []
        connector = ""
        for pin in self.touched.pins:
            if pin.connector != connector:
                connector = pin.connector
                entries.append(Heading(shown(f" CONNECTOR {connector} ", "bold")))
            entries.append(self._line(pin))
        self.query_one(Rows).show(entries)
        looked, total = self._looked_at(), len(self.touched.pins)
        differ = sum(reading["result"] == "differs" for reading in self.readings.values())
        self.query_one("#progress", Static).update(
            row(
                f" {looked} of {total} looked at, ",
                (
                    f"{differ} differs" if differ == 1 else f"{differ} differ",
                    "flag" if differ else "plain",
                ),
                "   read by ",
                (self.method, "bold"),
                ("" if self.shelf.read_only else "   every key is kept on disk", "faint"),
            )
        )

    def _looked_at(self) -> int:
        return sum(bool(reading["result"]) for reading in self.readings.values())

    def _line(self, pin: TouchedPin) -> Item:
        reading = self.readings.get(pin.name)
        then = None if reading else self.anew.get(pin.name)
        mark, words, role = STATES["anew" if then else reading["result"] if reading else ""]
        carries = "empty" if pin.carries == "" else pin.told
        found = f"was {in_words(then)}" if then else ""
        if reading and reading["result"] == "differs":
            found = in_words(reading)
        return Item(
            pin.name,
            (
                Cell(f"{mark} {pin.name}", role),
                Cell(carries, "unknown" if pin.carries is None else "plain"),
                Cell("" if pin.carries == "" else pin.wire),
                Cell(words, role),
                Cell(found, "flag"),
            ),
            sentence=", ".join((pin.name, carries or "not documented", *wire_if_any(pin)))
            + f": {words}"
            + (f", {'' if then else 'found '}{found}" if found else ""),
        )

    @property
    def pin(self) -> TouchedPin | None:
        """The marked pin."""
        item = self.query_one(Rows).item
        if item is None or self.touched is None:
            return None
        return next(pin for pin in self.touched.pins if pin.name == item.key)

    # -- reading

    @on(Rows.Chosen)
    def _chosen(self) -> None:
        if self.may("as_documented"):
            self.action_as_documented()

    def action_as_documented(self) -> None:
        """The marked pin is as documented; on to the next."""
        pin = self.pin
        if pin is None:
            return
        if not pin.documented:
            self.say(
                f"Nothing is documented on {pin.name}: press d and say what was found.", "caution"
            )
            return
        self._take(pin, {"result": "ok"})

    def action_differs(self) -> None:
        """The marked pin differs: say what was found."""
        pin = self.pin
        if pin is None:
            return
        has = " ".join(filter(None, (pin.told, pin.wire)))
        documented = f"documented is {has}" if has else "nothing is documented of it"
        self._asked_about = None
        self.app.push_screen(
            Prompt(
                f"{pin.name}: {documented}. What was found?",
                "a circuit, a wire colour, or both: door-fl- GY/BK; `nothing` for an empty way, "
                "`?` for a wire of which nobody knows",
                check=lambda text: self._wrong_with(pin, text),
            ),
            lambda text: self._found(pin, text) if text else None,
        )

    def _wrong_with(self, pin: TouchedPin, text: str) -> str | None:
        """Why an answer is not taken: it is refused, or doubted and not yet confirmed."""
        from kb.errors import Refused
        from kb.review.found import doubt_of, read_found

        assert self.touched is not None
        try:
            doubt = doubt_of(self.touched, read_found(self.touched, pin, text))
        except Refused as fault:
            return str(fault)
        if doubt and self._asked_about != (pin.name, text):
            self._asked_about = (pin.name, text)
            return f"{doubt} Enter once more takes it as it stands."
        return None

    def _found(self, pin: TouchedPin, text: str) -> None:
        from kb.review.found import read_found

        assert self.touched is not None
        reading = read_found(self.touched, pin, text)
        self._take(
            pin,
            {
                "result": reading.result,
                "carries": reading.found_carries,
                "wire": reading.found_wire,
            }
            if reading.result
            else None,
        )

    def action_not_looked_at(self) -> None:
        """The marked pin was not looked at."""
        pin = self.pin
        if pin is not None:
            self._take(pin, None)

    def _take(self, pin: TouchedPin, reading: Reading | None) -> None:
        self._undo.append((pin.name, self.readings.get(pin.name), self.anew.get(pin.name)))
        if reading:
            reading = {**reading, "was": as_documented(pin)}
        self._put(pin.name, reading)
        self.say("")
        self.query_one(Rows).action_move(1)

    def _put(self, name: str, reading: Reading | None, anew: Reading | None = None) -> None:
        self.anew.pop(name, None)
        if anew is not None:
            self.anew[name] = anew
        if reading is None:
            self.readings.pop(name, None)
        else:
            self.readings[name] = reading
        self._keep()
        self._show()

    def _keep(self) -> None:
        begun = self._begun()
        if self._kept is None or begun is None:
            return
        try:
            self._kept.keep(begun)
        except OSError as fault:
            self.say(f"Not kept on disk ({fault.strerror}): submit before you leave.", "flag")

    def action_undo(self) -> None:
        """Take the last reading back."""
        if not self._undo:
            self.say("Nothing to undo.", "faint")
            return
        name, reading, anew = self._undo.pop()
        self._put(name, reading, anew)
        self.query_one(Rows).mark_key(name)
        self.say(f"{name} is as it was.", "faint")

    def action_choose_method(self) -> None:
        """How the pins were read."""
        options = [(method, "") for method in EVIDENCE_METHODS]
        self.app.push_screen(Pick("How were they read?", options, self.method), self._method)

    def _method(self, method: str | None) -> None:
        if method:
            self.method = method
            self._keep()
            self._show()

    # -- storing

    def action_submit(self) -> None:
        """Show what was read and what follows from it; Enter there submits it."""
        touched, method, acting = self.touched, self.method, self.shelf.acting
        if touched is None:
            return
        book, readings = self.shelf.book, list(self._pin_readings(touched))

        def foresee() -> Effect:
            from kb.review.foreseen import effect_of_readings

            return effect_of_readings(book, touched, readings, method=method, by=acting)

        self.work(foresee, partial(self._confirm, touched, readings), group="change")

    def _confirm(self, touched: Touched, readings: list[PinReading], effect: Effect) -> None:
        said = summary(touched, readings, self.method, effect, list(self.anew))
        self.app.push_screen(
            Confirm("Submit these readings?", said, "submits them"),
            lambda yes: self._submit(touched, readings) if yes else None,
        )

    def _submit(self, touched: Touched, readings: list[PinReading]) -> None:
        method, acting = self.method, self.shelf.acting

        def store(database: Any) -> Any:
            from kb.review.readings import store_readings
            from kb.review.same_pins import must_be_the_same
            from kb.review.touched import touched_by

            now = touched_by(database.conn, self.job)
            must_be_the_same(now, touched)
            return store_readings(database, now, readings, method=method, by=acting)

        self.change(store, self._stored)

    def failed(self, sentence: str, group: str) -> None:
        """A refusal that names a pin marks its line."""
        from kb.review.same_pins import CHANGED_SINCE

        super().failed(sentence, group)
        if sentence == CHANGED_SINCE:
            self.read_pins()  # what was read is kept, and is carried over from there
            return
        words = sentence.replace(":", " ").replace(",", " ").split()
        for pin in self.touched.pins if self.touched else ():
            if pin.name in words:
                self.query_one(Rows).mark_key(pin.name)
                return

    def _pin_readings(self, touched: Touched) -> Iterable[PinReading]:
        from kb.review.readings import PinReading

        for pin in touched.pins:
            reading = self.readings.get(pin.name)
            if reading:
                yield PinReading(
                    pin.connector,
                    pin.at,
                    reading["result"],
                    reading.get("carries"),
                    reading.get("wire"),
                )

    def _stored(self, stored: Any) -> None:
        if self._kept is not None:
            self._kept.forget()
        self.app.pop_screen()
        below = self.app.screen
        if isinstance(below, Room):
            below.say(f"{stored.id}@{stored.hash[:12]} is submitted with the readings.", "fine")
