"""What a person is asked about a path: which parts are used, and from where costs are counted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kb.answers.kits import PartFit, parts_for
from kb.answers.runs import Runs
from tui.browser.room import Room


def ask_for_parts(
    room: Room, vehicle: str, answer: Runs, then: Callable[[tuple[str, ...]], None]
) -> None:
    """Take other parts of the kit, or leave some; `then` gets those that are taken."""

    def taken(parts: tuple[str, ...] | None) -> None:
        if parts is not None:
            then(parts)

    def offer(parts: list[PartFit]) -> None:
        from tui.browser.screens.parts import Parts

        room.app.push_screen(Parts(answer.kit_title, parts, answer.path.chosen), taken)

    kit = answer.kit.id
    room.ask(lambda connection: parts_for(connection, vehicle, kit), offer, group="parts")


def ask_for_place(room: Room, vehicle: str, now: str | None, then: Callable[[str], None]) -> None:
    """Choose among the places of a vehicle; `then` gets the one that was chosen."""

    def taken(place: str | None) -> None:
        if place is not None:
            then(place)

    def offer(places: list[str]) -> None:
        from tui.browser.screens.pick import Pick

        options = [(place, "") for place in places]
        title = "Where does the new amplifier go? Costs are counted from there."
        room.app.push_screen(Pick(title, options, now), taken)

    def read(connection: Any) -> list[str]:
        from kb.answers.choices import places

        return places(connection, vehicle)

    room.ask(read, offer, group="places")
