"""What goes to the car: a length or size that is unknown is on the list too, and said to be so."""

from typing import Any

from kb.answers.papers import plan_job
from tests.kb.plan.small_car import ALL, Planned, car, changed, job
from tui.drawing.sheet import sheet_html


def test_wire_whose_size_is_unknown_is_taken_along(connection: Any) -> None:
    """Of the Orrin's dash-r nobody knows the ohms, so its wire has a length and no size yet."""
    head = {
        "id": "orrin", "vehicle": "brask-orrin-17-van4", "kit": "pellard-t4",
        "amplifier": "korrel-4-75", "amplifier_place": "seat-front-left",
        "battery_place": "bay-left",
    }  # fmt: skip
    whole = plan_job(connection, {"kind": "job", "job": head})
    assert "speaker pair for dash-r, 1.7 m, size unknown" in whole.take
    assert "3.4 m of 18 AWG speaker pair, plus slack" in whole.take
    metres = sum(wire.metres or 0 for wire in whole.plan.speaker_wire)
    assert round(metres, 3) == 5.1  # as the sheet has it at its top
    caption = sheet_html(whole).split("<figcaption>")[1].split("</figcaption>")[0]
    assert caption.endswith("as listed; not in the drawing, nor what goes by there: step-left")


def test_cable_of_unknown_length_is_taken_along(planned: Planned) -> None:
    vehicle = car()
    vehicle["route"] = [stretch for stretch in vehicle["route"] if stretch["to"] != "bay-left"]
    vehicle["unit"][0]["place"] = "bay-left"  # so that the place is documented, and no way to it
    whole = planned(job(*ALL), vehicle)
    assert whole.plan.supply.metres is None
    assert "copper cable for supply and ground, size and length unknown" in whole.take


def test_a_wire_without_a_documented_way_is_taken_along(planned: Planned) -> None:
    vehicle = car()
    vehicle["unit"][1]["place"] = "load-floor"  # where lead A plugs in, and no route leads there
    take = planned(job(*ALL), vehicle).take
    assert "speaker pair for sub, length and size unknown" in take


def test_a_kit_without_a_part_in_use_says_so_on_the_sheet(planned: Planned) -> None:
    vehicle = changed(car(), "sub", keep="it is the box")
    vehicle["connector"][2]["plug"] = "ZB-9"
    kit_line = sheet_html(planned(job(*ALL), vehicle)).split("<br>")[1]
    assert "(main)" in kit_line
    bare = {
        "kind": "kit",
        "kit": {"id": "kit", "maker": "Zill", "name": "K", "takes_out": [], "line_outputs": 4},
    }
    assert "Zill K (no part), Zill A" in sheet_html(planned(job(*ALL), vehicle, bare))
