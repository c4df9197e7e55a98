"""What a speaker sounds beside music must be lost in no plan unseen: chimes, calls."""

from kb.plan.facts import facts_of, judge
from tests.kb.plan.small_car import ALL, KIT, Planned, car, changed, drive, job


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
    vehicle = {**car(), "speaker": [{**row, "duties": []} for row in car()["speaker"]]}
    vehicle = changed(vehicle, "rear-l", duties=["emergency-call"])
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


def test_duties_that_nobody_wrote_are_not_none(planned: Planned) -> None:
    """The tap for door-fl takes tw-l off the radio; what it sounds beside music is not written."""
    asked = job(drive("1", "door-fl"), drive("4", "sub"), silent=["tw-l", "rear-l"])
    whole = planned(asked)
    assert any(
        "nobody wrote whether tw-l sounds chimes or calls, and it goes silent" in caution
        for caution in whole.cautions
    )
    facts = facts_of(whole.plan)
    assert judge("duties lost = chime", facts).holds is None
    assert judge("duties lost != chime", facts).holds is None
    assert judge("duties lost is unknown", facts).holds is True
    none = planned(asked, changed(car(), "tw-l", duties=[]))
    assert not any("nobody wrote whether" in caution for caution in none.cautions)
    assert judge("duties lost = chime", facts_of(none.plan)).holds is False
    assert judge("duties lost is unknown", facts_of(none.plan)).holds is False
