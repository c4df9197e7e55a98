"""The vehicle and its speakers, as a technician must not misread them, at every size.

What is expected is the answer of `runs` for the shipped documents, read by eye from them.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from kb.store.book import open_book
from kb.store.revisions import add_documents
from seed_data import documents
from tests.tui.browser.driving import LARGE, SIZES, SMALL, WIDE, Driver, drive, lines_with, looks

MIDDLE = (100, 30)


def go(book: Path, *keys: str, size: tuple[int, int] = SMALL, flat: bool = False) -> list[str]:
    """The lines of the screen after words written and keys pressed (`:enter,n`)."""

    async def script(driver: Driver) -> list[str]:
        for part in keys:
            if part.startswith(":"):
                await driver.press(*part[1:].split(","))
            else:
                await driver.write(part)
        return driver.screen_lines()

    return drive(book, script, size=size, flat=flat)


def flow(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


# -- both coils, both halves


@pytest.mark.parametrize("size", [LARGE, WIDE])
def test_a_dual_coil_speaker_is_on_both_its_leads(book: Path, size: tuple[int, int]) -> None:
    (line,) = lines_with(go(book, "tarn 22 concert", ":enter,1", size=size), "✓ sub =")
    assert "✓ sub" in line and "leads G + H of main" in line


def test_where_that_has_no_room_both_leads_still_have(book: Path) -> None:
    (line,) = lines_with(go(book, "tarn 22 concert", ":enter,1"), "✓ sub =")
    assert "G+H of main" in line


def test_two_parts_of_like_names_stay_two(book: Path) -> None:
    lines = go(book, "dapple", ":enter,1")
    assert "1 of hinge-left" in lines_with(lines, "✓ door-fl")[0]
    assert "3 of hinge-right" in lines_with(lines, "✓ door-fr")[0]


def test_each_coil_names_its_own_lead(book: Path) -> None:
    lines = go(book, "tarn 22 concert", ":enter,1,end,enter")
    assert "by leads G + H of main" in flow(lines)
    assert "lead G of main" in lines_with(lines, "coil a")[0]
    assert "lead H of main" in lines_with(lines, "coil b")[0]


@pytest.mark.parametrize("size", SIZES)
def test_a_partial_speaker_rides_on_no_lead(book: Path, size: tuple[int, int]) -> None:
    said = flow(go(book, "sedge 20", ":enter,1,n,enter", size=size))
    assert "◐ PARTIAL GOES SILENT" in said and "PARTIAL GOES SILENT, by" not in said
    assert "held in part by leads A + B of main: leave both unconnected and insulated" in said
    assert "lead A of main at V1: + way 1 carries door-fl+, - way 9 carries door-fr-" in said
    assert "lead B of main at V1: + way 2 carries door-fr+, - way 10 carries door-fl-" in said


def test_the_list_says_of_a_partial_speaker_that_it_is_held_in_part(book: Path) -> None:
    small = lines_with(go(book, "sedge 20", ":enter,1"), "◐ door-fl")
    large = lines_with(go(book, "sedge 20", ":enter,1", size=LARGE), "◐ door-fl")
    assert "part: A+B" in small[0] and "in part on leads A + B of main" in large[0]


# -- what the ways cost


def test_costs_are_those_of_runs_and_say_from_where(book: Path) -> None:
    said = flow(go(book, "tarn 22 concert", ":enter,1,enter"))
    assert "costs from seat-front-left, each by itself" in said
    assert "part radio-28, lead J 2 panels, 28 min, 1.4 m of wire" in said
    assert "a run of new wire to quarter-left 4 panels, 28 min, 2.6 m of wire" in said
    assert "cost unknown" not in said


def test_costs_are_counted_from_another_place(book: Path) -> None:
    said = flow(go(book, "tarn 22 concert", ":enter,1,enter,f", "dash-centre", ":enter"))
    assert "costs from dash-centre" in said and "quarter-l" in said
    assert "a tap at R1 (dash-centre)" in said and "28 min, 1.4 m of wire" not in said


def test_a_place_that_nobody_named_is_asked_for(book: Path) -> None:
    said = flow(go(book, "brask", ":enter,1,n,enter"))
    assert "costs are not counted yet: f says where the amplifier goes" in said
    assert "cost unknown" not in said


# -- nothing is passed over


def test_every_speaker_that_is_not_plainly_carried_is_visited_worst_first(book: Path) -> None:
    async def script(driver: Driver) -> list[str]:
        await driver.write("sedge 20")
        await driver.press("enter", "1")
        seen = [driver.app.screen.marked]  # type: ignore[attr-defined]
        for _ in range(6):
            await driver.press("n")
            seen.append(driver.app.screen.marked)  # type: ignore[attr-defined]
        return seen

    assert drive(book, script) == [
        "centre", "door-fl", "door-fr", "door-rr", "shelf-l", "tw-r", "centre",
    ]  # fmt: skip


@pytest.mark.parametrize("size", [SMALL, MIDDLE, LARGE, WIDE])
def test_the_chooser_clips_no_unknown_and_no_count_with_all_parts(
    book: Path, size: tuple[int, int]
) -> None:
    (van,) = lines_with(go(book, "brask", ":enter", size=size), "Pellard T4")
    assert "✗3 of 4" in van or "3 left out of 4" in van
    assert "?1" in van or "? 1 unknown" in van
    assert "all parts: none known" in van or "none known with all parts" in van
    (tarn,) = lines_with(go(book, "tarn 22 concert", ":enter", size=size), "Oku B6")
    assert "✗3 of 10" in tarn or "3 left out of 10" in tarn
    assert "all parts: 1" in tarn or "1 with all parts" in tarn
    (sedge,) = lines_with(go(book, "sedge 20", ":enter", size=size), "Tavick S7")
    assert "✗1 ◐3 ⇄1 of 9" in sedge or "1 left out, 3 partial, 1 reversed of 9" in sedge


@pytest.mark.parametrize("size", SIZES)
def test_a_kit_that_does_not_plug_in_says_so_under_the_headline(
    book: Path, size: tuple[int, int]
) -> None:
    lines = go(book, "brask", ":enter,down,enter", size=size)
    assert "Nimmet P8 full bypass" in lines[1] and "NEED A WAY" in lines[2]
    assert lines[3].startswith(" ! part proc-40 DOES NOT PLUG IN: this vehicle has none of its")
    assert lines[4].startswith(" ! part amp-26 DOES NOT PLUG IN")


def test_idle_leads_of_a_part_that_does_not_plug_in_are_one_line(book: Path) -> None:
    said = flow(go(book, "brask", ":enter,down,enter", size=LARGE))
    assert "all of proc-40, which does not plug in: 1, 2, 3, 4" in said
    assert "all of amp-26, which does not plug in: 5, 6, 7, 8, 9, 10" in said


@pytest.mark.parametrize("size", SIZES)
def test_a_speaker_sold_with_the_car_but_not_listed_is_in_the_headline(
    book: Path, size: tuple[int, int]
) -> None:
    chooser = go(book, "skarne", ":enter", size=size)
    assert lines_with(chooser, "7 SPEAKERS")[0].count("? 1 sold with it but not listed") == 1
    answered = go(book, "skarne", ":enter,1", size=size)
    assert "? 1 sold with it but not listed" in flow(answered[1:5])


def test_no_chosen_part_says_which_one_plugs_in(book: Path) -> None:
    lines = go(book, "brask", ":enter,1")
    assert "no part chosen yet: press p; b16 plugs in here" in lines[1]


# -- what else runs says


def test_what_must_stay_and_what_to_meter_and_idle_ways_are_said(book: Path) -> None:
    said = flow(go(book, "marl 22", ":enter,1", size=(120, 60), flat=True))
    assert "roof: the emergency call is heard here and nowhere else" in said
    assert "10 of amp-26 (TQ turquoise): A1 way 13 carries turn-on, way 26 is empty" in said
    assert "meter the minus pin at amp" in flow(go(book, "sedge 20", ":enter,1"))


def test_a_lost_duty_and_what_must_stay_are_on_the_speakers_own_page(book: Path) -> None:
    lines = go(book, "marl 22", ":enter,1,n,n,enter")
    assert lines[0].startswith(" roof  with Nimmet P8 full bypass (proc-40 + amp-26)")
    said = flow(lines)
    assert "roof goes silent and with it the emergency call's voice and the phone's voice" in said
    assert "must stay in place: the emergency call is heard here and nowhere else" in said


@pytest.mark.parametrize("size", SIZES)
def test_duties_are_marked_beside_the_name_at_every_width(
    book: Path, size: tuple[int, int]
) -> None:
    lines = go(book, "tarn 22 concert", ":enter,1", size=size)
    assert lines_with(lines, "✗ centre !") and lines_with(lines, "✓ sub =")
    assert "! more than music; = must stay" in flow(lines)


# -- rival claims


@pytest.fixture
def disputed(book: Path) -> Path:
    """Somebody else submits the Tarn with another colour on one pin of its centre speaker."""
    return dispute(book, "centre+")


def dispute(book: Path, circuit: str) -> Path:
    content: dict[str, Any] = next(
        found
        for file in documents()
        if (found := tomllib.loads(file.read_text("utf-8"))).get("vehicle", {}).get("id")
        == "halden-tarn-19-concert10"
    )
    pins = (pin for connector in content["connector"] for pin in connector["pins"])
    next(pin for pin in pins if pin.get("carries") == circuit)["wire"] = "BU/RD"
    document = SimpleNamespace(kind="vehicle", id=content["vehicle"]["id"], content=content)
    with open_book(book).writing() as database:
        add_documents(database, [document], author="nell")
    return book


@pytest.mark.parametrize("size", SIZES)
def test_a_dispute_is_marked_and_tells_both_claims_and_whose(
    disputed: Path, size: tuple[int, int]
) -> None:
    assert lines_with(go(disputed, "tarn 22 concert", ":enter,1", size=size), "✗ centre !≠")
    lines = go(disputed, "tarn 22 concert", ":enter,1,n,n,enter", size=size)
    said = flow(lines)
    assert "≠ R1 way 11: here centre+, BU/RD blue/red; shipped (submitted" in said
    assert "says centre+, BU/YE blue/yellow" in said
    assert "another revision of this entry differs" in said
    assert "another entry of this vehicle" not in said


@pytest.mark.parametrize("size", [LARGE, WIDE])
def test_a_carried_speaker_in_dispute_says_so_in_headline_and_drawing(
    book: Path, size: tuple[int, int]
) -> None:
    """The outcome's own mark alone would call it settled."""
    lines = go(dispute(book, "door-rr+"), "tarn 22 concert", ":enter,1", size=size)
    assert "✓ 7 carried, 1 of them ≠ disputed" in flow(lines)
    assert lines_with(lines, "≠✓│") and not lines_with(lines, "│✓≠")
    assert lines_with(lines, "✓ door-rr ≠")


def test_a_dispute_leads_to_its_review(disputed: Path) -> None:
    lines = go(disputed, "tarn 22 concert", ":enter,1,n,n,enter,d", size=LARGE)
    assert "halden-tarn-19-concert10@" in lines[0] and lines[0].startswith(" Review")
    assert "R1.11" in flow(lines)


def test_without_a_dispute_its_key_says_so(book: Path) -> None:
    lines = go(book, "tarn 22 concert", ":enter,1,enter,d")
    assert "No other live revision differs" in flow(lines)


# -- room


@pytest.mark.parametrize("width", range(40, 130, 6))
def test_a_headline_breaks_between_its_items_and_goes_on_indented(book: Path, width: int) -> None:
    lines = go(book, "sedge 20", ":enter,1", size=(width, 24))
    whole = "\n".join(lines[1:8])
    for item in ("✗ 1 left out", "◐ 3 partial", "? 1 unknown", "⇄ 1 reversed", "✓ 3 carried"):
        assert item in whole
    for line in lines[3:5]:
        if line.lstrip()[:1] in "✗◐?⇄✓":
            assert line.startswith("  ") or "LEFT OUT" in line or line.startswith(" ✗ 1 LEFT")


def test_one_bar_scrolls_a_speaker_and_a_page_is_a_page(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("tarn 22 concert")
        await driver.press("enter", "1", "enter")
        first = driver.screen_lines()
        bars = [line for line in first if len(line) == SMALL[0] and line[-1] in "▁▂▃▄▅▆▇█"]
        assert len(bars) <= 1
        assert not lines_with(first, ">>> 4 <<<│>>> 5 <<<") or lines_with(first, "┌ latch ┐")
        await driver.press("pagedown")
        looks(driver, ">>> 4 <<<", ">>> 5 <<<", "┌ latch ┐", "data+")
        await driver.press("pageup")
        looks(driver, "✗ LEFT OUT", "▸ part radio-28")

    drive(book, script)


def test_paging_a_list_marks_where_the_mark_stood(book: Path) -> None:
    async def script(driver: Driver) -> list[str]:
        await driver.write("sedge 20")
        await driver.press("enter", "1")
        seen = []
        for key in ("pagedown", "pagedown", "pageup", "pageup", "pageup"):
            await driver.press(key)
            seen.append(driver.app.screen.marked)  # type: ignore[attr-defined]
        return seen

    seen = drive(book, script, size=(80, 14))
    assert seen[-1] == "centre" and len(set(seen)) > 1


def test_a_wide_screen_shows_the_marked_speakers_face_and_costs_beside_the_list(
    book: Path,
) -> None:
    lines = go(book, "tarn 22 concert", ":enter,1", size=WIDE)
    said = flow(lines)
    assert "connector R1 on radio" in said and "> 4 <" in said
    assert "costs from seat-front-left" in said and "[28 min, 1.4 m]" in said
    moved = flow(go(book, "tarn 22 concert", ":enter,1,end", size=WIDE))
    assert "connector A2 on amp" in moved


def test_everything_of_a_connector_is_seen_on_a_large_screen(book: Path) -> None:
    lines = go(book, "sedge 20", ":enter,1,n,enter,pagedown", size=LARGE)
    assert lines_with(lines, "data+") and lines_with(lines, "way  carries")


# -- flat text


def test_flat_text_numbers_the_kits_and_marks_one_line_alone(book: Path) -> None:
    lines = go(book, "tarn 22 concert", ":enter", size=LARGE, flat=True)
    assert len(lines_with(lines, "▸")) == 1
    assert lines_with(lines, "▸ 1: Oku B6 bypass: 3 left out of 10, 1 with all parts")
    assert lines_with(lines, "2: Oku B4 bypass")


def test_flat_text_says_a_taps_warning_once(book: Path) -> None:
    said = flow(go(book, "tarn 22 concert", ":enter,1,enter", size=LARGE, flat=True))
    assert said.count("cut the factory output off there") == 1


def test_flat_text_has_no_heading_that_leads_to_nothing(book: Path) -> None:
    for keys in (":enter", ":enter,1", ":enter,1,enter"):
        lines = go(book, "sedge 20", keys, size=LARGE, flat=True)
        assert not [line for line in lines if line.endswith(":")]


def test_the_parts_dialog_says_what_enter_does(book: Path) -> None:
    lines = go(book, "tarn 22 concert", ":enter,1,p")
    assert "Enter uses these" in lines[-1]
    assert lines_with(lines, "Parts of Oku B6 bypass")


@pytest.mark.parametrize("size", SIZES)
def test_what_nobody_verified_is_said_at_the_head_of_the_page(
    book: Path, size: tuple[int, int]
) -> None:
    assert "! not verified" in go(book, "tarn", ":enter,enter", size=size)[1]


@pytest.mark.parametrize("size", SIZES)
def test_how_a_speaker_was_established_is_whole_beside_the_list(
    book: Path, size: tuple[int, int]
) -> None:
    keys = ":enter,1" if size != SMALL else ":enter,1,enter,end"
    said = flow([line[size[0] // 2 :] if size != SMALL else line
                 for line in go(book, "tarn 22 concert", keys, size=size)])  # fmt: skip
    assert "established not measured: take it as a claim" in said


def test_no_lead_of_a_speaker_is_cut_beside_the_list(book: Path) -> None:
    lines = go(book, "tarn 22 concert", ":enter,1,end", size=LARGE)
    said = flow([line[76:] for line in lines])
    assert "by leads G + H of main" in said
    assert "coil a lead G of main" in said and "coil b lead H of main" in said


def test_a_closed_list_of_kits_asks_for_none_and_enter_opens_it(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("tarn 22 concert")
        await driver.press("enter", "k")
        looks(driver, "No kit chosen: k lists them.")
        assert "Which kit?" not in driver.text()
        await driver.press("enter")
        looks(driver, "Which kit?", "What becomes of a speaker hangs on the kit: choose one first.")
        await driver.press("1")
        looks(driver, "with Oku B6 bypass")
        assert "choose one first" not in driver.text()

    drive(book, script)


# -- reading on where nothing can be marked


def test_a_page_further_at_the_bottom_stays_at_the_bottom(book: Path) -> None:
    async def script(driver: Driver) -> None:
        await driver.write("tarn 22 concert")
        await driver.press("enter", "1", "enter", *("pagedown",) * 6)
        bottom = driver.text()
        assert "not documented, so take each as live" in bottom
        await driver.press("pagedown")
        assert driver.text() == bottom

    drive(book, script)
