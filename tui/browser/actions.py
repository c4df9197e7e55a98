"""Everything that a person can do, once: bindings, footer, `?`, palette and the docs read this.

Promise: no key does anything that is not listed here. Keys are plain ones that survive tmux, SSH
and a screen reader's own; each can be changed under `[keys]` of the settings file by its id.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from textual.binding import Binding

EVERYWHERE = "everywhere"
GROUPS = {
    "find": "Find",
    "vehicle": "The vehicle",
    "speaker": "A speaker",
    "jobs": "Jobs",
    "plan": "The plan of a job",
    "readings": "After the job: the readings",
    "queue": "The queue",
    "review": "A review",
    "entries": "New entries",
    "grid": "A new entry",
    EVERYWHERE: "Everywhere",
}


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do. `id` names the method `action_ID` of its screen and the key's setting."""

    id: str
    keys: str
    label: str
    help: str
    room: str = EVERYWHERE
    foot: int = 0  # its rank in the footer from the left (2: it ends the task); 0: not there
    priority: bool = False  # the key works while a text field has the focus
    writes: bool = False  # stores in the book: refused where nothing may be stored
    prepares: bool = False  # makes what is to be stored: refused in the bay, where it cannot be
    listed: bool = True  # in the palette

    @property
    def setting(self) -> str:
        """The name under `[keys]`."""
        return self.id.replace("_", "-")

    @property
    def first_key(self) -> str:
        """The key that the footer shows."""
        return key_in_words(self.keys.split(",")[0])


_NAMES = {
    "question_mark": "?",
    "escape": "Esc",
    "enter": "Enter",
    "tab": "Tab",
    "slash": "/",
    "space": "Space",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "plus": "+",
    "minus": "-",
    "backspace": "Backspace",
    "delete": "Del",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "equals_sign": "=",
    "full_stop": ".",
}


def key_in_words(key: str) -> str:
    """A key as it stands on the keyboard: `question_mark` is `?`, `ctrl+y` is `Ctrl+Y`."""
    if key in _NAMES:
        return _NAMES[key]
    if "+" in key:
        return "+".join(part.upper() if len(part) == 1 else part.title() for part in key.split("+"))
    return key.upper() if len(key) > 1 and key.startswith("f") else key


A = Action
ACTIONS: tuple[Action, ...] = (
    A("open_found", "enter", "open", "Open what is marked", "find", 1, listed=False),
    A("complete", "tab", "complete", "Take over the word that is offered", "find", 5,
      priority=True, listed=False),
    A("next_found", "down", "move", "Mark the next line", "find", 4, priority=True, listed=False),
    A("previous_found", "up", "up", "Mark the line before", "find", priority=True, listed=False),
    A("page_found", "pagedown", "page", "Mark one page further down", "find", 6, priority=True,
      listed=False),
    A("page_back_found", "pageup", "page back", "Mark one page further up", "find", priority=True,
      listed=False),
    A("go_on", "enter", "go on", "Choose the kit, or open the speaker, that is marked", "vehicle",
      4, listed=False),
    A("choose_kit", "k", "kit", "List the kits, those that plug in first", "vehicle", 5),
    A("choose_parts", "p", "parts", "Take another part of the kit, or leave it", "vehicle", 6),
    A("next_flag", "n", "next flag", "Mark the next speaker that is not plainly carried",
      "vehicle", 7),
    A("plan_job", "j", "plan a job", "Plan a job with this kit and these parts", "vehicle", 8),
    A("toggle_drawing", "v", "drawing", "Show or hide the vehicle from above", "vehicle", 9),
    A("choose_place", "f", "costs from", "Say from which place the costs of the ways are counted",
      "vehicle", 11),
    A("see_dispute", "d", "dispute", "The review of what another revision says of the marked "
      "speaker's pins", "vehicle"),
    A("edit_vehicle", "e", "edit", "Enter another revision of this vehicle", "vehicle",
      prepares=True),
    A("take_part", "enter", "take it", "Take the marked part of the kit, and see what "
      "becomes of the speaker then", "speaker", 4, listed=False),
    A("next_speaker", "right,n", "next", "The next speaker", "speaker", 4),
    A("previous_speaker", "left,N", "before", "The speaker before", "speaker", 5),
    A("other_side", "s", "other side", "See the connector from its other side", "speaker", 6),
    A("choose_place", "f", "costs from", "Say from which place the costs of the ways are counted",
      "speaker", 7),
    A("see_dispute", "d", "dispute", "The review of what another revision says of its pins",
      "speaker"),
    A("open_plan", "enter", "plan", "Walk through the plan of the marked job", "jobs", 4,
      listed=False),
    A("open_readings", "r", "readings", "Bring back what was found on its pins", "jobs", 5),
    A("discard", "delete", "discard", "Throw the marked unstored changes away, after asking",
      "jobs", 6),
    A("submit", "S", "submit", "Submit the readings as a new revision with its evidence, after "
      "showing what they say", "readings", 2, writes=True),
    A("as_documented", "enter,space", "as documented", "The pin is as documented; on to the next",
      "readings", 4, listed=False, prepares=True),
    A("differs", "d", "differs", "It differs: say what was found", "readings", 5, prepares=True),
    A("choose_method", "m", "method", "How they were read: meter, tone, polarity pop, scope",
      "readings", 6, prepares=True),
    A("undo", "u", "undo", "Take the last reading back", "readings", 7, prepares=True),
    A("not_looked_at", "backspace,minus", "not looked at", "The pin was not looked at",
      "readings", 8, prepares=True),
    A("store", "S", "store", "Store the job, submitted for review", "plan", 2, writes=True),
    A("change", "enter,space", "change", "Change what is marked: pick another, take it or leave "
      "it, let it play or not", "plan", 4, listed=False),
    A("toggle_steps", "o", "order", "Show or hide the order of work", "plan", 5),
    A("toggle_why", "w", "why", "Show or hide each figure's formula and source", "plan", 6),
    A("write_sheet", "P", "sheet", "Write the plan on paper: an HTML page that prints", "plan", 7,
      prepares=True),
    A("undo", "u", "undo", "Take the last change back", "plan", 8),
    A("other_pane", "tab", "other side", "Between the choices and the plan, to scroll it", "plan",
      9),
    A("open_entry", "enter", "open", "Begin the marked entry, or go on with it", "entries", 4,
      listed=False, prepares=True),
    A("discard", "delete", "discard", "Throw the marked work away, or withdraw the marked draft, "
      "after asking", "entries", 5, prepares=True),
    A("edit_entry", "e", "edit", "Enter another revision of a kit, an amplifier or a job that the "
      "book has", "entries", 6, prepares=True),
    A("submit", "f10", "submit", "Submit it for review", "grid", 2, writes=True),
    A("store_draft", "f9", "draft", "Keep it in the book as a draft", "grid", 2, writes=True),
    A("next_sheet", "f6", "next sheet", "The next sheet of the document", "grid", 4),
    A("previous_sheet", "f7", "sheet before", "The sheet before", "grid"),
    A("edit_cell", "enter", "change", "Change what the cell holds", "grid", 5, listed=False),
    A("next_finding", "ctrl+g", "next finding", "To the cell of the next finding", "grid", 6),
    A("fill_down", "ctrl+d", "fill down", "Put in what is above: a position counts on, a pole "
      "turns round", "grid", 7),
    A("repeat_row", "ctrl+r", "repeat row", "Put in the row above: positions count on, poles turn "
      "round", "grid", 8),
    A("undo", "ctrl+u", "undo", "Take the last change back", "grid", 9),
    A("insert_row", "ctrl+n", "new row", "A new row above this one", "grid"),
    A("delete_row", "ctrl+k", "delete row", "Take this row away", "grid"),
    A("clear_cell", "delete,backspace", "clear", "Empty the cell", "grid"),
    A("first_row", "ctrl+home", "first row", "To the first row", "grid"),
    A("last_row", "ctrl+end", "last row", "To the last row, to add one below", "grid"),
    A("copy_cell", "ctrl+l", "copy cell", "Copy the cell", "grid"),
    A("copy_row", "ctrl+y", "copy row", "Copy the row, tab between its cells", "grid"),
    A("copy_table", "ctrl+o", "copy sheet", "Copy the sheet, tab between its columns", "grid"),
    A("paste_here", "ctrl+v", "paste", "Put what was copied here from the cell on", "grid"),
    A("open_review", "enter", "open", "Open the marked revision: what it changes, and the effect",
      "queue", 4, listed=False),
    A("verify", "v", "verify", "Sign exactly this revision", "review", 2, writes=True),
    A("give_back", "r", "return", "Send it back with what is wrong", "review", 2, writes=True),
    A("withdraw", "w", "withdraw", "Take back what you entered yourself, with the reason", "review",
      2, writes=True),
    A("next_review", "right,n", "next", "The next one that waits", "review", 4),
    A("previous_review", "left,N", "before", "The one before", "review", 5),
    A("toggle_history", "h", "history", "Every revision of this entry and what was done to it, or "
      "back to what it changes", "review", 6),
    A("edit_entry", "e", "edit", "Enter another revision, from the one that is shown", "review",
      prepares=True),
    A("back", "escape", "back", "Stop what runs, else one step back; in Find, clear the field",
      foot=1),
    A("help", "question_mark", "help", "Every key, searchable", foot=3, priority=True),
    A("help_from_field", "f1", "help", "The same, from within a text field", priority=True,
      listed=False),
    A("page_down", "pagedown", "page", "One page further down", foot=10, listed=False),
    A("page_up", "pageup", "page back", "One page further up", listed=False),
    A("command_palette", "ctrl+p", "palette", "Find anything to do by its name", foot=13,
      priority=True, listed=False),
    A("copy_row", "y,ctrl+y", "copy row", "Copy the marked line, tab between its columns", foot=12),
    A("copy_cell", "c", "copy cell", "Copy the first column of the marked line"),
    A("copy_table", "Y", "copy table", "Copy the whole table, tab between its columns"),
    A("find", "f2,slash", "find", "Back to the field that finds everything"),
    A("queue", "f3", "queue", "What waits for a lead"),
    A("jobs", "f4", "jobs", "The jobs of this book"),
    A("entries", "f5", "new entry", "Enter a new vehicle, kit, amplifier or job", prepares=True),
    A("colours", "ctrl+t", "colours", "Change between dark, light and the terminal's own colours"),
    A("flat", "f8", "flat text", "Plain lines without frames or drawings, for a screen reader"),
    A("quit", "ctrl+q", "quit", "Leave; nothing is lost", foot=14, priority=True),
)  # fmt: skip


def actions_of(room: str) -> list[Action]:
    """What can be done in a room, its own actions first."""
    return [action for action in ACTIONS if action.room == room] + [
        action for action in ACTIONS if action.room == EVERYWHERE
    ]


def bindings_of(room: str) -> list[Binding]:
    """The bindings of a room, its own only or those of everywhere."""
    return [
        Binding(
            action.keys,
            f"do({action.id!r})",
            action.label,
            show=False,
            priority=action.priority,
            id=action.setting,
        )
        for action in ACTIONS
        if action.room == room
    ]


def footer_of(room: str) -> list[Action]:
    """What the footer shows: the way out, what ends the task, help, then the rest as it fits."""
    return sorted((a for a in actions_of(room) if a.foot), key=lambda action: action.foot)


def key_table(set_to: Mapping[str, str] = MappingProxyType({})) -> Iterator[str]:
    """The table of keys in Markdown, as they are set; for the docs from this registry alone."""
    yield "| where | key | does | setting |"
    yield "|---|---|---|---|"
    for room, title in GROUPS.items():
        for action in ACTIONS:
            if action.room == room:
                names = set_to.get(action.setting, action.keys).split(",")
                keys = " or ".join(f"`{key_in_words(key)}`" for key in names)
                yield f"| {title} | {keys} | {action.help} | `{action.setting}` |"
