"""Leads that a plan cuts back on wires of which nobody knows what they carry."""

from copy import deepcopy
from typing import Any

import pytest

from kb.plan.plan_json import plan_json
from tests.kb.plan.small_car import ALL, KIT, Planned, car, job
from tests.tui.sheet_cells import cells_of
from tui.drawing.plan_page import plan_page
from tui.drawing.sheet import sheet_html
from tui.ink import Ink


@pytest.mark.parametrize("pin", [{"wire": "GN/BK"}, {"carries": "?"}])
def test_a_lead_on_a_wire_that_nobody_traced_is_cut_back_as_live(
    planned: Planned, pin: dict[str, Any]
) -> None:
    vehicle, kit = deepcopy(car()), deepcopy(KIT)
    vehicle["connector"][2] |= {"rows": 2, "numbering": "rows", "seen_from": "wire"}
    vehicle["connector"][2]["pins"] += [{"at": 7, **pin}, {"at": 8}, {"at": 9}, {"at": 10, **pin}]
    kit["part"][0]["leads"] += [
        {"lead": "B", "plug": "ZA-1", "plus": 7, "minus": 8},
        {"lead": "C", "plug": "ZA-1", "plus": 8, "minus": 9},
    ]
    whole = planned(job(*ALL), vehicle, kit)
    assert {lead.lead: lead.take_as_live for lead in whole.plan.cut_back} == {"B": True, "C": False}
    steps = {step.do: step.caution for step in whole.steps if step.do.startswith("Cut back")}
    assert [caution for do, caution in steps.items() if "lead B" in do] == [
        "take it as live until metered"
    ]
    assert [caution for do, caution in steps.items() if "lead C" in do] == [None]
    assert any("lead B of main may be live" in text for text in whole.cautions)
    cells = cells_of(sheet_html(whole), "A1")
    assert [cells[at] for at in ("7", "8", "9", "10")] == [
        ["live?", "cut B"], ["cut B", "cut C"], ["cut C"], ["live?"],
    ]  # fmt: skip
    assert [lead["take_as_live"] for lead in plan_json(whole)["cut_back"]] == [True, False]


def test_the_step_that_cuts_a_lead_says_that_it_will_be_live(planned: Planned) -> None:
    """Whoever ticks the steps does not turn back to the cautions."""
    vehicle, kit = deepcopy(car()), deepcopy(KIT)
    vehicle["connector"][2]["pins"] += [{"at": 7, "carries": ["turn-on"]}, {"at": 8}]
    kit["part"][0]["leads"] += [{"lead": "B", "plug": "ZA-1", "plus": 7, "minus": 8}]
    whole = planned(job(*ALL), vehicle, kit)
    (lead,) = whole.plan.cut_back
    assert (lead.live, lead.take_as_live) == (("turn-on",), False)
    (step,) = [step for step in whole.steps if step.do.startswith("Cut back")]
    assert step.caution == "live once plugged in (turn-on): insulate it before the plug goes on"
    page = " ".join(" ".join(plan_page(whole, 80, Ink(colour=False))).split())
    assert f"way carries something else; {step.caution}" in page
    done = [step.do for step in whole.steps]
    assert done.index(step.do) < done.index("Part main into A1")
