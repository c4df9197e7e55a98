"""What can hurt a car or a person when a plan is wrong: taps, runs, shared wires, duties, fuses.

The car and kits here are invented for these tests and small enough to be worked out by hand.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from kb.answers.papers import plan_job
from kb.plan.facts import facts_of
from kb.plan.plan_json import plan_json
from kb.plan.whole import WholePlan
from tests.books import book_of
from tui.drawing.plan_page import plan_page
from tui.drawing.sheet import sheet_html
from tui.ink import Ink

Planned = Callable[..., WholePlan]


def pin(at: int, *carries: str, wire: str | None = None) -> dict[str, Any]:
    found: dict[str, Any] = {"at": at, "carries": carries[0] if len(carries) == 1 else [*carries]}
    return {**found, "wire": wire} if wire else found


def speaker(id: str, place: str, **more: Any) -> dict[str, Any]:
    return {"id": id, "place": place, "role": "full-range", "ohms": 4, **more}


def route(start: str, end: str, metres: float, **more: Any) -> dict[str, Any]:
    return {"from": start, "to": end, "metres": metres, **more}


def car(**more: Any) -> dict[str, Any]:
    """A radio that stays and senses its load; rear-l's poles are on two of its connectors."""
    return {
        "kind": "vehicle",
        "vehicle": {"id": "car", "make": "Oster", "model": "Fell", "years": "2020", "audio": "x"},
        "unit": [
            {"id": "radio", "kind": "radio", "place": "dash-centre", "senses_load": True},
            {"id": "amp", "kind": "amplifier", "place": "seat-left"},
        ],
        "speaker": [
            speaker("door-fl", "door-front-left"),
            speaker("tw-l", "sail-left"),
            speaker("rear-l", "shelf-left"),
            speaker("sub", "boot-left", role="subwoofer"),
        ],
        "connector": [
            {
                "id": "R1", "unit": "radio", "plug": "ZR-1", "ways": 20,
                "pins": [
                    pin(5, "door-fl+", "tw-l+", wire="VT"),
                    pin(6, "door-fl-", "tw-l-", wire="VT/BK"),
                    pin(3, "rear-l+", wire="GN"),
                ],
            },
            {
                "id": "R2", "unit": "radio", "plug": "ZR-2", "ways": 4,
                "pins": [pin(1, "rear-l-", wire="GN/BK")],
            },
            {
                "id": "A1", "unit": "amp", "plug": "ZA-1", "ways": 10,
                "pins": [pin(1, "sub+"), pin(2, "sub-")],
            },
        ],
        "panel": [{"id": "facia", "minutes": 20}, {"id": "shelf", "minutes": 30}],
        "route": [
            route("seat-left", "sill-left", 0.5),
            route("sill-left", "bay-left", 1.5),
            route("sill-left", "dash-centre", 1.2, note="keep off the airbag lead in the sill"),
            route("sill-left", "door-front-left", 0.9, panels=["facia"]),
            route("sill-left", "shelf-left", 2.0, panels=["shelf"]),
        ],
        **more,
    }  # fmt: skip


KIT: dict[str, Any] = {
    "kind": "kit",
    "kit": {
        "id": "kit", "maker": "Zill", "name": "K", "takes_out": ["amplifier"], "line_outputs": 4,
        "output_volts": [5.0, 4.0],
    },
    "part": [
        {
            "id": "main", "use": "always", "unit": "amplifier", "plugs": ["ZA-1"],
            "leads": [{"lead": "A", "plug": "ZA-1", "plus": 1, "minus": 2, "wire": "BN"}],
        }
    ],
}  # fmt: skip
AMPLIFIER: dict[str, Any] = {
    "kind": "amplifier",
    "amplifier": {
        "id": "amp-4", "maker": "Zill", "name": "A", "class": "D", "fuse_amps": 50,
        "input_volts": [0.2, 4.5],
    },
    "channel": [{"id": str(i), "watts": {"4": 70, "2": 100}, "min_ohms": 2} for i in range(1, 5)],
}  # fmt: skip


def job(*drives: dict[str, Any], **more: Any) -> dict[str, Any]:
    head = {
        "id": "j-1", "vehicle": "car", "kit": "kit", "amplifier": "amp-4",
        "amplifier_place": "seat-left", "battery_place": "bay-left", **more,
    }  # fmt: skip
    return {"kind": "job", "job": head, **({"drive": [*drives]} if drives else {})}


def drive(channel: str, *speakers: str, wiring: str = "parallel") -> dict[str, Any]:
    return {"channel": channel, "speakers": [*speakers], "wiring": wiring}


@pytest.fixture
def planned(tmp_path: Path) -> Planned:
    def plan(the_job: dict[str, Any], vehicle: Any = None, kit: Any = None) -> WholePlan:
        papers = [vehicle or car(), kit or KIT, AMPLIFIER]
        name = f"{len(list(tmp_path.iterdir()))}.db"
        with book_of(tmp_path / name, papers).reading() as connection:
            return plan_job(connection, the_job)

    return plan


def does(whole: WholePlan, words: str) -> Any:
    return next(step for step in whole.steps if words in step.do)


def page(whole: WholePlan, **more: bool) -> str:
    lines = plan_page(whole, 80, Ink(colour=False), **more)
    return " ".join(" ".join(lines).split())


def changed(vehicle: dict[str, Any], name: str, **more: Any) -> dict[str, Any]:
    rows = [{**row, **more} if row["id"] == name else row for row in vehicle["speaker"]]
    return {**vehicle, "speaker": rows}


ALL = (drive("1", "door-fl", "tw-l"), drive("2", "rear-l"), drive("4", "sub"))


def test_a_tap_over_two_connectors_names_both(planned: Planned) -> None:
    whole = planned(job(*ALL))
    found = plan_json(whole)
    choice = next(c for c in found["reach"]["choices"] if c["speaker"] == "rear-l")
    assert [choice[k] for k in ("connector", "plus", "minus_connector", "minus")] == [
        "R1", "3", "R2", "1",
    ]  # fmt: skip
    assert (choice["feeds"][0]["connector"], choice["feeds"][0]["minus_connector"]) == ("R1", "R2")
    step = does(whole, "Tap rear-l")
    assert step.do == "Tap rear-l at R1 and R2: + R1 way 3 (GN), - R2 way 1 (GN/BK)"
    assert "+ R1 3 GN green, - R2 1 GN/BK" in page(whole)
    assert "tap at R1 and R2: + R1 3 GN" in sheet_html(whole)
    load = next(load for load in found["loads"] if load["speakers"] == ["rear-l"])
    assert [load[k] for k in ("connector", "plus", "minus_connector", "minus")] == [
        "R1", "3", "R2", "1",
    ]  # fmt: skip
    fitted = does(whole, "R1 way 3 and R2 way 1").do
    assert fitted.startswith("Fit 4.7 Ω, 25 W across radio, R1 way 3 and R2 way 1, on radio's side")
    assert {"R1", "R2"} <= set(whole.faces)
    assert "T: tap for rear-l" in sheet_html(whole).split("R2", 1)[1]


def test_a_second_plug_at_another_place_costs_its_own_way(planned: Planned) -> None:
    """R2 is an adapter at the shelf: its minus goes there by itself, and it is one tap still."""
    vehicle = car()
    vehicle["connector"][1] |= {"place": "shelf-left", "panels": ["shelf"]}
    apart = planned(job(*ALL), vehicle)
    tap = next(f for f in apart.plan.wiring.task.fixes if (f.speaker, f.way) == ("rear-l", "tap"))
    wires = [apart.plan.wiring.task.by_id[wire] for wire in tap.wires]
    assert [(w.kind, w.place) for w in wires] == [("tap", "dash-centre"), ("tail", "shelf-left")]
    assert wires[1].panels == {"shelf"}
    near = planned(job(*ALL), {**car(), "connector": _with_panels(car(), "R2", ["shelf"])})
    tap = next(f for f in near.plan.wiring.task.fixes if (f.speaker, f.way) == ("rear-l", "tap"))
    assert near.plan.wiring.task.by_id[tap.wires[0]].panels == {"shelf"}


def _with_panels(vehicle: dict[str, Any], name: str, panels: list[str]) -> list[dict[str, Any]]:
    return [{**c, "panels": panels} if c["id"] == name else c for c in vehicle["connector"]]


def test_a_run_takes_the_factory_pair_off_the_speaker(planned: Planned) -> None:
    vehicle = car(panel=[{"id": "facia", "minutes": 20}, {"id": "shelf", "minutes": 0}])
    vehicle["connector"] = _with_panels(vehicle, "R2", ["facia"])
    whole = planned(
        job(drive("2", "rear-l"), drive("4", "sub"), silent=["door-fl", "tw-l"]), vehicle
    )
    assert [(f.speaker, f.way) for f in whole.plan.reach.fixes] == [("rear-l", "run")]
    step = does(whole, "disconnect the factory pair")
    assert step.do.startswith("At rear-l: ")
    assert "two outputs" in step.caution and "radio" in step.caution
    assert any(c.startswith("Never two outputs on one wire") for c in whole.cautions)
    assert "the factory pair stays whole up to the speaker" in does(whole, "Fit 4.7").do


def test_a_tap_takes_off_who_shares_it(planned: Planned) -> None:
    """tw-l shall be silent and chimes: the tap for door-fl cuts it off the radio."""
    chiming = changed(car(), "tw-l", duties=["chime"])
    asked = job(drive("1", "door-fl"), drive("4", "sub"), silent=["tw-l", "rear-l"])
    whole = planned(asked, chiming)
    assert any("tw-l would go silent" in f and "chimes" in f for f in whole.plan.faults)
    assert any("tw-l shall be silent but hangs on" in w for w in whole.plan.warnings)
    assert facts_of(whole.plan)["duties_lost"] == ["chime"]
    resistor = whole.plan.loads[0].resistor
    assert whole.plan.loads[0].speakers == ("door-fl", "tw-l")
    assert resistor is not None and resistor.ohms == 2.2  # 4 and 4 in parallel: 2, next of E12
    unknown = dict(chiming)
    unknown["speaker"] = [
        {k: v for k, v in row.items() if k != "ohms" or row["id"] != "tw-l"}
        for row in chiming["speaker"]
    ]
    assert planned(asked, unknown).plan.loads[0].resistor is None


def test_a_speaker_that_shares_one_pole_is_warned_of(planned: Planned) -> None:
    vehicle = car()
    vehicle["connector"][0]["pins"] = [
        pin(5, "door-fl+"), pin(6, "door-fl-", "tw-l-"), pin(7, "tw-l+"), pin(3, "rear-l+"),
    ]  # fmt: skip
    asked = job(drive("1", "door-fl"), drive("4", "sub"), silent=["tw-l", "rear-l"])
    whole = planned(asked, vehicle)
    assert any("tw-l shares one wire with door-fl" in warning for warning in whole.plan.warnings)
    chiming = planned(asked, changed(vehicle, "tw-l", duties=["chime"]))
    assert any("tw-l would go silent" in fault for fault in chiming.plan.faults)


def test_what_hangs_on_a_driven_pair_counts_in_its_load(planned: Planned) -> None:
    """door-fl is driven, tw-l is not: both play, 4 and 4 ohm make 2."""
    whole = planned(job(drive("1", "door-fl"), drive("2", "rear-l"), drive("4", "sub")))
    channel = whole.plan.channels[0]
    assert (channel.nominal_ohms, channel.watts, channel.along) == (2, 100, ("tw-l",))
    assert any("tw-l hangs on the same wires" in warning for warning in whole.plan.warnings)
    assert whole.plan.undriven == ()
    low = changed(car(), "tw-l", ohms=3)
    assert planned(job(drive("1", "door-fl")), low).plan.channels[0].fault == "load too low"


def test_series_over_one_pair_is_parallel_all_the_same(planned: Planned) -> None:
    whole = planned(job(drive("1", "door-fl", "tw-l", "rear-l", wiring="series")))
    assert whole.plan.channels[0].nominal_ohms == 2 + 4


def test_duties_lost_and_moved_are_told_apart(planned: Planned) -> None:
    """The kit's own step stays where the call's speaker is lost, or moved to the amplifier."""
    kit = {
        **KIT,
        "step": [
            {
                "do": "Make a test call",
                "when": "duties lost = emergency-call or duties moved = emergency-call",
            }
        ],
    }
    vehicle = changed(car(), "rear-l", duties=["emergency-call"])
    lost = planned(job(drive("1", "door-fl"), silent=["sub"]), vehicle, kit)  # reached, not driven
    moved = planned(job(*ALL), vehicle, kit)
    stays = planned(job(drive("1", "door-fl", "tw-l"), silent=["rear-l"]), vehicle, kit)
    told = [
        (facts_of(w.plan)["duties_lost"], facts_of(w.plan)["duties_moved"])
        for w in (lost, moved, stays)
    ]
    assert told == [(["emergency-call"], []), ([], ["emergency-call"]), ([], [])]
    done = [any("Make a test call" in s.do for s in w.steps) for w in (lost, moved, stays)]
    assert done == [True, True, False]
    assert any("rear-l would go silent" in fault for fault in lost.plan.faults)


def test_route_notes_reach_speaker_wire(planned: Planned) -> None:
    whole = planned(job(*ALL))
    step = next(s for s in whole.steps if "1.7 m" in s.do and s.phase == "New wire")
    assert step.caution == "keep off the airbag lead in the sill"
    assert "keep off the airbag lead in the sill" in page(whole)
    assert "keep off the airbag lead in the sill" in sheet_html(whole)
    assert plan_json(whole)["speaker_wire"][0]["notes"] == ["keep off the airbag lead in the sill"]
