"""A cost that nobody can tell says so and says what is missing, in every screen alike.

Which places a route joins is judged by networkx, a general graph library, on the documents alone.
"""

import tomllib
from pathlib import Path
from typing import Any

import networkx as nx
import pytest

import seed_data
from kb.answers.fixes import Fix
from kb.answers.papers import places_of, runs_with_costs
from kb.answers.runs_json import runs_json
from kb.shipped import shipped_book
from tests.books import book_of
from tests.kb.answers.test_runs_quirks import car, kit, plug
from tui.browser.lines.speaker import fix_entries, fix_notes
from tui.browser.widgets.entries import Item, Note
from tui.drawing.fix_words import fix_in_words
from tui.drawing.runs_page import runs_page
from tui.ink import Ink

FOLDER = Path(seed_data.__path__[0]) / "vehicles"
CONTENTS = [tomllib.loads(path.read_text("utf-8")) for path in sorted(FOLDER.glob("*.toml"))]


def reason(routes: nx.Graph, start: str, end: str | None) -> str | None:
    """What must be said of a run of new wire; None where a route leads there."""
    if end is None:
        return "where this wire ends is not recorded"
    if start == end or (start in routes and end in routes and nx.has_path(routes, start, end)):
        return None
    if start not in routes:
        return f"no route is recorded from {start}"
    if end not in routes:
        return f"no route is recorded to {end}"
    return f"the stretch that joins the routes from {start} to those of {end} is not recorded"


def test_it_is_told_why_no_route_leads_there(tmp_path: Path) -> None:
    seen = set()
    with shipped_book(tmp_path / "b.db").reading() as connection:
        for content in CONTENTS:
            routes = nx.Graph((row["from"], row["to"]) for row in content.get("route", ()))
            for place in sorted(places_of(content)):
                answer = runs_with_costs(
                    connection, content["vehicle"]["id"], "oku-b6", place=place
                )
                for speaker in answer.speakers:
                    for fix in (fix for fix in speaker.fixes if fix.way == "run"):
                        why = reason(routes, place, speaker.place)
                        assert (fix.metres is None) == (why is not None)
                        if why:
                            assert fix.cost_unknown == why
                            assert fix_in_words(fix).endswith(f" [cost unknown: {why}]")
                            seen.add(" ".join(why.split()[:5]))
                    assert all((f.minutes is None) == bool(f.cost_unknown) for f in speaker.fixes)
    assert len(seen) >= 2, seen  # from a place without a route, and to one


def small(**more: Any) -> dict[str, Any]:
    vehicle = car(plug("R1", {1: "door+", 2: "door-"}, unit="radio"))
    vehicle["unit"][0]["place"] = "dash-centre"
    vehicle["unit"][1]["place"] = "boot-left"
    vehicle["speaker"][0]["place"] = "door-front-left"
    return vehicle | more


def fixes_from(path: Path, vehicle: dict[str, Any], place: str) -> tuple[Any, tuple[Fix, ...]]:
    with book_of(path / "b.db", [vehicle, kit()]).reading() as connection:
        answer = runs_with_costs(connection, "car", "kit", place=place)
    return answer, answer.speakers[0].fixes


def route(start: str, end: str, **more: Any) -> dict[str, Any]:
    return {"from": start, "to": end, "metres": 2.0, **more}


@pytest.mark.parametrize(
    ("routes", "words"),
    [
        ([], "no route is recorded from boot-left"),
        ([route("boot-left", "dash-centre")], "no route is recorded to door-front-left"),
        (
            [route("boot-left", "dash-centre"), route("door-front-left", "sill-left")],
            "the stretch that joins the routes from boot-left to those of door-front-left",
        ),
    ],
)
def test_every_screen_says_what_is_missing(
    tmp_path: Path, routes: list[dict[str, Any]], words: str
) -> None:
    answer, _ = fixes_from(tmp_path, small(route=routes), "boot-left")
    (speaker,) = answer.speakers
    page = " ".join(" ".join(runs_page(answer, 80, Ink(colour=False))).split())
    assert f"[cost unknown: {words}" in page
    (said,) = [f for f in runs_json(answer)["speakers"][0]["fixes"] if f["way"] == "run"]
    assert said["minutes"] is None and said["cost_unknown"].startswith(words)
    entries = list(fix_entries(speaker, answer, panels=True))
    notes = [entry.text for entry in entries if isinstance(entry, Note)]
    assert any(f"cost unknown: {words}" in note for note in notes)
    items = [entry for entry in entries if isinstance(entry, Item)]
    assert any(item.sentence and words in item.sentence for item in items)
    assert any(words in note.text for note in fix_notes(speaker, answer) if isinstance(note, Note))


def test_minutes_that_nobody_wrote_name_the_panel(tmp_path: Path) -> None:
    routes = [route("boot-left", "door-front-left", panels=["card"])]
    vehicle = small(route=routes, panel=[{"id": "card"}, {"id": "facia", "minutes": 5}])
    _, fixes = fixes_from(tmp_path, vehicle, "boot-left")
    (run,) = [fix for fix in fixes if fix.way == "run"]
    assert (run.minutes, run.metres) == (None, 2.0)
    assert fix_in_words(run).endswith("[minutes unknown: nobody wrote the minutes of card; 2 m]")


def test_a_way_without_a_panel_costs_no_minutes(tmp_path: Path) -> None:
    """Though nobody wrote the minutes of any panel of the car: none comes off."""
    routes = [route("boot-left", "door-front-left")]
    _, fixes = fixes_from(tmp_path, small(route=routes, panel=[{"id": "card"}]), "boot-left")
    (run,) = [fix for fix in fixes if fix.way == "run"]
    assert (run.minutes, run.cost_unknown) == (0, None)
