"""Suggested channels, line outputs, places read as zones, conditions judged: small and by hand."""

import pytest

from kb.plan.allocation import suggest
from kb.plan.channels import Drive, Played, Rating, plan_channel
from kb.plan.facts import judge
from kb.plan.signal import LineOutput, route_signal, turn_on_note
from kb.plan.zones import zone_of

FIVE = [Rating(str(n), {4: 60, 2: 90}, 2) for n in range(1, 5)] + [Rating("5", {4: 150, 2: 260}, 2)]


def played(name: str, place: str, role: str = "full-range", ohms: float | None = 4, **more):
    return Played(
        name, place, role, ohms, more.pop("blocks", None), more.pop("watts", None), **more
    )


@pytest.mark.parametrize(
    ("speaker", "place", "role", "zone"),
    [
        ("door-fl", "door-front-left", "midbass", "front-left"),
        ("door-rr", "door-rear-right", "full-range", "rear-right"),
        ("sail-l", "sail-left", "tweeter", "front-left"),
        ("quarter-r", "quarter-right", "surround", "rear-right"),
        ("shelf-l", "shelf-left", "full-range", "rear-left"),
        ("sub", "load-floor", "subwoofer", "bass"),
        ("centre", "dash-top", "centre", "centre"),
        ("tw-l", None, "tweeter", None),
        ("spk-fr", None, "full-range", "front-right"),
        ("roof", "roof-front", "full-range", None),
        ("x", "somewhere", "full-range", None),
    ],
)
def test_zones(speaker: str, place: str | None, role: str, zone: str | None) -> None:
    assert zone_of(speaker, place, role) == zone


def test_suggestion_puts_bass_on_the_strongest_and_fronts_first() -> None:
    speakers = {
        s.id: s
        for s in (
            played("rear-l", "door-rear-left"),
            played("front-l", "door-front-left"),
            played("front-r", "door-front-right"),
            played("sub", "load-floor", "subwoofer", 2, coils=("a", "b")),
        )
    }
    found = suggest(FIVE, speakers, [])
    assert {d.channel: d.speakers for d in found.drives} == {
        "1": ("front-l",),
        "2": ("front-r",),
        "3": ("rear-l",),
        "5": ("sub",),
    }
    sub = next(drive for drive in found.drives if drive.channel == "5")
    assert sub.wiring == "series"  # two 2 ohm coils: 1 ohm in parallel is too low, 4 in series
    assert len(found.reasons) == 4


def test_suggestion_never_squeezes_a_load_in() -> None:
    low = {
        s.id: s
        for s in (
            played("a-l", "door-front-left", ohms=2),
            played("b-l", "sail-left", ohms=2),
        )
    }
    free = suggest(FIVE[:1], low, [])
    assert free.drives == (Drive("1", ("a-l", "b-l"), "series"),)
    tied = suggest(FIVE[:1], low, [frozenset(low)])
    assert tied.drives == ()
    assert tied.without == ("a-l", "b-l")
    assert "too low" in tied.reasons[0]
    nowhere = suggest(FIVE, {"x": played("x", "somewhere")}, [])
    assert nowhere.without == ("x",)


def test_dual_coils_count_each() -> None:
    sub = played("sub", "load-floor", "subwoofer", 4, coils=("a", "b"), watts=100)
    parallel = plan_channel(Drive("5", ("sub",), "parallel"), FIVE[4], {"sub": sub})
    series = plan_channel(Drive("5", ("sub",), "series"), FIVE[4], {"sub": sub})
    assert (parallel.nominal_ohms, series.nominal_ohms) == (2, 8)
    assert (parallel.watts, parallel.limited_by) == (100, "speakers")
    assert (series.rated_watts, series.limited_by) == (75, "amplifier")


OUTPUTS = [
    LineOutput("1", "front-left", True),
    LineOutput("2", "front-right", True),
    LineOutput("3", "bass", True),
    LineOutput("4", "bass", False),
    LineOutput("5", "front-left", False),
]


def test_signal() -> None:
    found = {
        lead.channel: lead
        for lead in route_signal(
            OUTPUTS,
            [("1", "front-left"), ("2", "front-left"), ("3", "bass"), ("4", "centre"), ("5", None)],
        )
    }
    assert {found["1"].output, found["2"].output} == {"1", "5"}
    assert found["3"].output == "4"
    assert (found["4"].output, found["4"].note) == (None, "no output carries centre")
    assert found["5"].output is None


def test_bass_without_an_output_of_its_own() -> None:
    steady = route_signal([LineOutput("1", "front-left", False)], [("5", "bass")])
    assert (steady[0].output, steady[0].note) == ("1", None)
    fading = route_signal(OUTPUTS[:3], [("5", "bass")])
    assert fading[0].output == "3"
    assert "fades" in (fading[0].note or "")
    fronts = route_signal(OUTPUTS[:2], [("5", "bass")])
    assert fronts[0].output == "1"
    assert "low-passed" in (fronts[0].note or "")
    shared = route_signal(OUTPUTS[:1], [("1", "front-left"), ("5", "bass")])
    assert "Y lead" in (shared[1].note or "") or "low-passed" in (shared[1].note or "")


def test_turn_on() -> None:
    assert turn_on_note(0.5, 0.1)[1] is False
    assert turn_on_note(0.1, 0.5)[1] is True
    assert "relay" in turn_on_note(0.1, 0.5)[0]
    assert "not documented" in turn_on_note(None, 0.5)[0]


FACTS = {
    "units": ["radio", "processor"],
    "channels": 5,
    "bass": True,
    "lowest_ohms": None,
    "senses_load": False,
}


@pytest.mark.parametrize(
    ("condition", "holds"),
    [
        (None, True),
        ("units = processor", True),
        ("units = amplifier", False),
        ("channels >= 5 and bass", True),
        ("senses load", False),
        ("lowest ohms < 2", None),
        ("not (lowest ohms < 2)", None),
        ("the moon is full", None),
        ("chanels = 5", None),
    ],
)
def test_conditions(condition: str | None, holds: bool | None) -> None:
    """What cannot be read or known is for the person to judge: never a silent no."""
    assert judge(condition, FACTS).holds is holds
