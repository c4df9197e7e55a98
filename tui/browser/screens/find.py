"""Find: one field for words, a VIN or a question; the list below answers while it is written.

What the field was taken for is said right under it, so that nobody needs a manual to see why a
line is there or is not.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Static

from kb.answers.titles import years
from kb.query.as_typed import ListedVehicle
from tui.browser.actions import ACTIONS, bindings_of
from tui.browser.finding import Found, look_up, offer
from tui.browser.room import Room
from tui.browser.text import OUTCOME_ROLES, lines, row, shown
from tui.browser.widgets.entries import Cell, Entry, Item, Note, Titles, paragraph
from tui.browser.widgets.field import Field
from tui.browser.widgets.rows import Rows

if TYPE_CHECKING:
    from kb.query.complete import Completion
    from kb.query.run import Answer, Row
    from kb.query.set_aside import SetAside

HEADINGS = ("make and model", "years", "audio", "body", "state")
MOST_OFFERED = 8
LEAST_NAME = 9
LESS = "not all measured"  # of a verified one, where the column has no room for all of it
YIELDS = ((4, len(LESS)), (3, 8), (3, 0), (0, 26), (2, 12))
CUT = "… there is more: PgDn, below the last row"
BRING_IN = (
    "`loombook add FILE` stores documents, `loombook share in FOLDER` takes in another shop's"
)
ASKED = "What is on the bay?"
HINT = "Type a make, a model, a year; a VIN; or a question such as:  speakers where ohms < 4"


class Find(Room):
    """The first screen."""

    ROOM = "find"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("find")]

    def __init__(self) -> None:
        super().__init__()
        self._offer: Completion | None = None
        self._shown_for: str | None = None  # the text that the list answers
        self._found = Found("", "")  # what is listed
        self._was_left = False  # for another screen
        self._opening = False  # Enter came before the list did
        self._looked_at: str | None = None  # the text whose list somebody has looked at
        # What Tab put in: the text before it, what it chose among, which, and the whole text.
        self._taken: tuple[str, tuple[str, ...], int, str] | None = None

    def body(self) -> Iterable[Widget]:
        yield Static(shown(ASKED), id="field-label")
        yield Field(id="field", classes="-asks", select_on_focus=False)
        yield Static(id="meant")
        yield Static(id="offer")
        yield Rows("found", headings=HEADINGS, yields=YIELDS, with_notes=True)
        yield Static(id="count")

    def on_mount(self) -> None:
        super().on_mount()
        field = self.query_one(Input)
        field.border_title = shown(ASKED)
        rows = self.query_one(Rows)
        rows.add_class("-lent")
        rows.can_focus = False
        field.focus()
        if self.shelf.is_there:
            self._opened(None)
        else:
            self.title_line(("Loombook", "title"), "   laying out the example book …")
            self.work(self.shelf.open_or_example, self._opened, group="open")

    def _opened(self, _: None) -> None:
        name = "" if self.shelf.example else f"   {self.shelf.path.name}"
        self.title_line(("Loombook", "title"), name)
        self._look_up(self.query_one(Field).value)

    def on_screen_suspend(self) -> None:
        self._was_left = isinstance(self.app.screen, Room)  # and not for a question over it

    def on_screen_resume(self) -> None:
        """What is typed now takes the place of what was sought; the arrows go into it."""
        field = self.query_one(Field)
        field.focus()
        if self._was_left:
            field.select_all()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        self._opening, self._looked_at = False, None
        self._look_up(event.value)

    def _look_up(self, text: str) -> None:
        if "open" not in self._pending:
            self.ask(
                lambda connection: look_up(connection, text),
                lambda found: self._show(found, text),
                group="find",
                again=lambda found: self._show(found, text, keep=True),
            )

    def _ask_offer(self, text: str) -> None:
        """After the list is drawn, so that it waits for nothing."""
        if text == self.query_one(Field).value:
            self.ask(lambda connection: offer(connection, text), self._offered, group="offer")

    def _offered(self, offered: Completion | None) -> None:
        self._offer = offered
        options = [option.text for option in offered.options] if offered else []
        named = "  ".join(options[:MOST_OFFERED]) + ("  …" if len(options) > MOST_OFFERED else "")
        line = self.query_one("#offer", Static)
        words = row(" ", ("Tab", "key"), (f"  {named}", "faint")) if options else shown("")
        line.update(row(words), layout=False)
        line.display = bool(options)

    def _show(self, found: Found, text: str = "", *, keep: bool = False) -> None:
        if not keep:
            self.say("")
        self._shown_for, self._found = text, found
        rows = self.query_one(Rows)
        if found.answer is not None:
            texts = _texts(found.answer)
            same = _same(found.answer, texts)
            rows.headings, rows.told_above = found.answer.headings, frozenset(same)
            told = list(_told(found.answer, found.meant, same))
            rows.yields = _yields(found.answer, same)
        else:
            same = {}
            rows.headings, rows.yields, rows.told_above = HEADINGS, YIELDS, frozenset()
            told = [(found.meant or HINT, "faint")]
            if found.in_empty_book:
                told.append((self._way_on(), "bold"))
            listed = [_line(vehicle, found) for vehicle in found.vehicles]
            rows.show([*listed, *map(_aside_line, found.aside)], keep=keep)
        meant, whole = self._within(told)
        if found.answer is not None:
            below = () if whole else (Note(text, role, "") for text, role in told)
            rows.show([*_answer_lines(found, texts), *below], keep=keep)
        meant += [shown(line, "caution") for line in found.problem.split("\n") if line]
        self.put("#meant", lines(meant))
        hidden = rows.without_room if found.answer is not None else []
        more = f" · no room for: {', '.join(hidden)}" if hidden else ""
        self.put("#count", shown(found.count + more, "faint"))
        self.call_after_refresh(self._ask_offer, text)
        if self._opening:
            self.action_open_found()

    def _way_on(self) -> str:
        """How vehicles come into a book that has none."""
        entries = next(action for action in ACTIONS if action.id == "entries")
        here = "" if self.why_not(entries) else f"{self.key_of(entries)} enters one here; "
        return f"This book has no vehicle yet: {here}{BRING_IN}."

    def _within(self, told: list[tuple[str, str]]) -> tuple[list[Content], bool]:
        """What is told above the list, in so many lines as leave it room, and whether that is all;
        if not, its last line says where all of it stands."""
        room, most = self.size.width - 2, self.size.height // 3
        made = [line for text, role in told for line in paragraph(Note(text, role, ""), room + 1)]
        if len(made) <= most:
            return made, True
        return [*made[: most - 1], shown(CUT, "caution")], False

    @on(Input.Submitted)
    def _submitted(self) -> None:
        self.action_open_found()

    @on(Rows.Chosen)
    def _chosen(self) -> None:
        self._looked_at = self._shown_for
        self.action_open_found()

    def action_open_found(self) -> None:
        """Open the marked line; never one of a list that the text has outrun, nor one that is in
        doubt before anybody can have looked at the list.
        """
        text = self.query_one(Field).value
        ahead, self._opening = self._opening, self._shown_for != text
        if self._opening:
            return
        item = self.query_one(Rows).item
        if item is not None and isinstance(item.key, str):
            from tui.browser.opening import review_entry

            review_entry(self, item.key)
            return
        if item is None or not isinstance(item.key, tuple):
            self.say("There is nothing to open here.", "faint")
            return
        doubt = self._doubt(ahead=ahead)
        if doubt and self._looked_at != text:
            self._looked_at = text
            self.say(f"{doubt}: Enter again opens the marked line.", "caution")
            return
        vehicle, speaker, kit, parts = (*item.key, None, None, ())[:4]
        self.browser.open_vehicle(vehicle, speaker, kit=kit, parts=parts)

    def _doubt(self, *, ahead: bool) -> str:
        """Why the marked line may not be the one that is meant; `ahead`: Enter came before it."""
        if self._found.doubt or not ahead:
            return self._found.doubt
        if self._found.guessed:
            return "What is listed is a guess"
        return "More than one line fits" if len(self.query_one(Rows).items) > 1 else ""

    def action_next_found(self) -> None:
        """Mark the next line."""
        self._look_at().action_move(1)

    def action_previous_found(self) -> None:
        """Mark the line before."""
        self._look_at().action_move(-1)

    def action_page_found(self) -> None:
        """Mark one page further down."""
        self._look_at().action_page(1)

    def action_page_back_found(self) -> None:
        """Mark one page further up."""
        self._look_at().action_page(-1)

    def _look_at(self) -> Rows:
        """The list, looked at by whoever moves its mark."""
        self._looked_at = self._shown_for
        return self.query_one(Rows)

    def action_complete(self) -> None:
        """Take over the word that is offered; once more takes the next one in its place."""
        field = self.query_one(Field)
        if self._taken and field.value == self._taken[-1]:
            before, options, at, _ = self._taken
            at = (at + 1) % len(options)
        elif self._offer is not None and self._offer.options:
            before = field.value[: self._offer.start]
            options, at = tuple(option.text for option in self._offer.options), 0
        else:
            return
        text = before + options[at] + (" " if len(options) == 1 else "")
        self._taken = (before, options, at, text)
        field.value = text
        field.cursor_position = len(text)

    def leave(self) -> None:
        """Clear the field; on an empty one there is nothing before this screen."""
        field = self.query_one(Input)
        if field.value:
            field.value = ""
        else:
            self.say("This is the first screen; Ctrl+Q leaves.", "faint")


def _line(vehicle: ListedVehicle, found: Found) -> Item:
    state = f"{vehicle.state} {vehicle.signed_less}".strip()
    return _vehicle_item((vehicle.id,), vehicle, state, found.makers.get(vehicle.id, ""))


def _aside_line(one: SetAside) -> Item:
    """A vehicle that nothing answers for: its line opens the review of that revision."""
    vehicle = one.vehicle
    key = f"vehicle/{vehicle.id}@{one.hash[:12]}"
    return _vehicle_item(key, vehicle, f"{vehicle.state}, {one.author}'s")


def _vehicle_item(key: object, vehicle: ListedVehicle, state: str, maker: str = "") -> Item:
    span = years(vehicle.first_year, vehicle.last_year)
    name = f"{vehicle.make} {vehicle.model}"
    spoken = "maker not recorded" if maker.endswith("?") else maker
    told = (f"{name} {span}", vehicle.body, vehicle.audio, state, spoken)
    return Item(
        key,
        (
            Cell(name, "bold"),
            Cell(span),
            Cell(vehicle.audio or ""),
            Cell(vehicle.body or "", "faint"),
            Cell(
                state,
                "fine" if state == "verified" else "caution",
                short=LESS if vehicle.signed_less.startswith("on less") else "",
            ),
            *([Cell(maker, "unknown" if maker.endswith("?") else "fine")] if maker else ()),
        ),
        sentence=", ".join(part for part in told if part),
    )


def _told(answer: Answer, meant: str, same: dict[int, str]) -> Iterator[tuple[str, str]]:
    """What is said of an answer, each with its role: first what it is warned of."""
    for sentence in answer.warned:
        yield sentence, "caution"
    yield meant, "faint"
    if same:
        held = (f"{answer.headings[at]} {text}" for at, text in same.items())
        yield f"in every row: {', '.join(held)}", "faint"


def _texts(answer: Answer) -> list[list[str]]:
    from tui.drawing.answer_page import shown as value_in_words

    return [
        [value_in_words(kind, found[key])
         for key, kind in zip(answer.columns, answer.kinds, strict=True)]
        for found in answer.rows
    ]  # fmt: skip


def _same(answer: Answer, texts: list[list[str]]) -> dict[int, str]:
    """The columns that hold the same in every row, with what they hold: told once, above."""
    from tui.drawing.answer_page import same_everywhere

    return {} if answer.why_empty else {at: texts[0][at] for at in same_everywhere(answer, texts)}


def _yields(answer: Answer, same: Collection[int]) -> tuple[tuple[int, int], ...]:
    """Columns give way whole, those that are missed least first; what names a row is only cut."""
    from tui.drawing.giving_way import giving_way, names_of_rows

    names = ((at, LEAST_NAME) for at in reversed(names_of_rows(answer)) if at not in same)
    return (*((at, -1) for at in giving_way(answer) if at not in same), *names)


def _answer_lines(asked: Found, told: list[list[str]]) -> Iterator[Entry]:
    """The rows of a question, each with what it opens."""
    answer = asked.answer
    if answer is None or not answer.rows or answer.why_empty:
        return
    yield Titles()
    for number, (found, texts) in enumerate(zip(answer.rows, told, strict=True)):
        vehicle = found.get("id" if answer.subject == "vehicles" else "vehicle")
        vehicle = vehicle or asked.vehicle
        cells = tuple(
            Cell(text, _role(found[key])) for key, text in zip(answer.columns, texts, strict=True)
        )
        said = (f"{name} {text}" for name, text in zip(answer.headings, texts, strict=True))
        yield Item(_key(found, vehicle, asked.path, number), cells, sentence=", ".join(said))


def _key(
    row: Row, vehicle: object, path: tuple[str, tuple[str, ...]] | None, number: int
) -> object:
    """What a row opens: a vehicle, with the speaker and the kit that it or the question names; a
    revision's review; or nothing.
    """
    if vehicle:
        kit, parts = path or (row.get("kit"), ())
        return (vehicle, row.get("speaker"), kit, parts, number)
    if {"kind", "id", "revision"} <= row.keys():
        return f"{row['kind']}/{row['id']}@{str(row['revision'])[:12]}"
    return number


def _role(value: object) -> str:
    return "unknown" if value is None else OUTCOME_ROLES.get(str(value), "plain")
