"""The order of work, the suggested channels and what goes to the car: what a technician would miss
or be hurt by, one by one, on the shipped book and on small groups of speakers."""

from collections.abc import Iterator
from typing import Any

import pytest

from kb.answers.papers import plan_job
from kb.plan.allocation import suggest
from kb.plan.channels import Drive, Rating, plan_channel
from kb.shipped import shipped_book
from tests.kb.plan.test_allocation_and_signal import FIVE, played


@pytest.fixture(scope="module")
def connection(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    book = shipped_book(tmp_path_factory.mktemp("book") / "book.db")
    with book.reading() as opened:
        yield opened


def job(vehicle: str, kit: str, amplifier: str, place: str, **more: Any) -> dict[str, Any]:
    head = {"id": "order", "vehicle": vehicle, "kit": kit, "amplifier": amplifier}
    head |= {"amplifier_place": place, "battery_place": more.pop("battery", "bay-left")}
    tables = {key: more.pop(key) for key in ("drive", "fitted") if key in more}
    return {"kind": "job", "job": {**head, **more}, **tables}


def tarn(**more: Any) -> dict[str, Any]:
    options = {"kit": "oku-b6", "amplifier": "vant-5-500", "place": "seat-front-left", **more}
    return job("halden-tarn-19-concert10", **options)


def test_nothing_is_suggested_in_series_with_a_capacitor(connection: Any) -> None:
    """A woofer in series with a tweeter behind a capacitor would get no bass."""
    pair = {s.id: s for s in (
        played("door-fl", "door-front-left", "midbass", 2),
        played("tw-l", "sail-left", "tweeter", 4, blocks=3000),
    )}  # fmt: skip
    found = suggest(FIVE[:1], pair, [])
    assert (found.drives, found.without) == ((), ("door-fl", "tw-l"))
    assert "in series the capacitor of tw-l would take the bass" in found.reasons[0]
    asked = job("yarrin-dapple-22-arena8", "pellard-hinge", "vant-5-500", "seat-front-right")
    plan = plan_job(connection, asked).plan
    blocking = {name for name, speaker in plan.played.items() if speaker.blocks_below_hz}
    assert blocking
    for channel in plan.channels:
        assert channel.wiring == "parallel" or not blocking & set(channel.speakers)


def test_a_job_that_joins_a_capacitor_in_series_is_warned() -> None:
    pair = {s.id: s for s in (
        played("door-fl", "door-front-left", "midbass", 2),
        played("tw-l", "sail-left", "tweeter", 4, blocks=3000),
    )}  # fmt: skip
    series = plan_channel(Drive("1", ("door-fl", "tw-l"), "series"), FIVE[0], pair)
    assert any("door-fl would lose the bass" in warning for warning in series.warnings)
    parallel = plan_channel(Drive("1", ("door-fl", "tw-l"), "parallel"), FIVE[0], pair)
    assert not any("bass" in warning for warning in parallel.warnings)


def test_sides_get_channels_together_or_not_at_all(connection: Any) -> None:
    four = [Rating(str(n), {4: 60}, 2) for n in range(1, 5)]
    speakers = {s.id: s for s in (
        played("sub", "load-floor", "subwoofer"),
        played("fl", "door-front-left"), played("fr", "door-front-right"),
        played("rl", "door-rear-left"), played("rr", "door-rear-right"),
    )}  # fmt: skip
    found = suggest(four, speakers, [])
    assert found.without == ("rl", "rr")
    assert any("go together or not at all" in reason for reason in found.reasons)
    lone = suggest(four, {"rl": speakers["rl"]}, [])
    assert lone.without == ()
    for vehicle, kit, place in (
        ("halden-tarn-19-concert10", "oku-b6", "seat-front-left"),
        ("quessel-marl-21-hall11", "nimmet-p8", "boot-left"),
        ("skarne-holt-23-tour8", "oku-b4", "dash-centre"),
        ("torvane-sedge-20-studio9", "tavick-s7", "boot-right"),
    ):
        plan = plan_job(connection, job(vehicle, kit, "korrel-4-75", place)).plan
        zones = {channel.zone for channel in plan.channels}
        had = {plan.played[name].zone for name in (*plan.undriven, *_driven(plan))}
        for end in ("front", "rear"):
            sides = {f"{end}-left", f"{end}-right"}
            if sides <= had:
                assert len(sides & zones) in (0, 2), vehicle


def _driven(plan: Any) -> list[str]:
    return [name for channel in plan.channels for name in channel.speakers]
