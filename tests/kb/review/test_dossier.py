"""What a lead sees: changes pin by pin, findings with how sure they are, the effect, the queue."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlite_utils import Database

from kb.errors import Refused
from kb.review.acts import send_back, verify, withdraw
from kb.review.changes import FieldChange, other_changes, pin_changes
from kb.review.dossier import dossier
from kb.review.dossier_json import dossier_json
from kb.review.effect import Told
from kb.review.findings import findings_of
from kb.review.people import add_person
from kb.review.queue import queue
from kb.review.revisions import revisions_of
from tests.kb.review.cases import ALL_PINS, CAR, KIT, car, measured_car, memory_book, meter, store


@pytest.fixture
def book() -> Database:
    database = memory_book()
    add_person(database, "lena", "lead", by="lena")
    return database


def found(book: Database, entry: str = CAR) -> dict[str, tuple[str, str]]:
    """check -> (how sure, what was seen) of the newest revision."""
    revision = revisions_of(book.conn, entry)[-1]
    return {one.check: (one.sure, one.saw) for one in findings_of(book.conn, revision)}


# -- changes


def test_another_colour_is_one_change_and_another_spelling_none() -> None:
    after = car({"1": {"wire": "BU/RD"}, "3": {"wire": "grey/red"}, "4": {"wire": "gray"}})
    (change,) = pin_changes(car(), after)
    assert (change.id, change.what) == ("A1.1", "changed")
    assert change.fields == (FieldChange("wire", "WH/RD", "BU/RD"),)


def test_pins_are_added_changed_and_gone_in_the_order_people_count() -> None:
    after = car({"2": None, "10": {"carries": "data+"}, "9": {}, "8": {"mm2": 6}})
    changes = [(one.id, one.what) for one in pin_changes(car(), after)]
    assert changes == [
        ("A1.2", "gone"), ("A1.8", "changed"), ("A1.9", "added"), ("A1.10", "added"),
    ]  # fmt: skip


def test_a_connector_with_another_name_is_the_same_connector() -> None:
    after = car({"1": {"wire": "BK"}})
    after["connector"][0]["id"] = "C7"
    assert [one.id for one in pin_changes(car(), after)] == ["C7.1"]
    (renamed,) = other_changes(car(), after)
    assert (renamed.table, renamed.fields) == ("connector", (FieldChange("id", "A1", "C7"),))


def test_the_rest_is_compared_by_what_it_is() -> None:
    after = car(years="2020-2022")
    after["speaker"] = [after["speaker"][0] | {"ohms": 2}]
    changes = {(one.table, one.id): (one.what, one.fields) for one in other_changes(car(), after)}
    assert changes["speaker", "door-l"] == ("changed", (FieldChange("ohms", "4", "2"),))
    assert changes["speaker", "door-r"][0] == "gone"
    assert changes["vehicle", ""] == ("changed", (FieldChange("years", "2020", "2020-2022"),))


def test_leads_of_a_kit() -> None:
    after = KIT | {
        "part": [KIT["part"][0] | {"leads": [KIT["part"][0]["leads"][0] | {"minus": "5"}]}]
    }
    changes = [(one.table, one.id, one.what) for one in other_changes(KIT, after)]
    assert changes == [("lead", "main.A", "changed"), ("lead", "main.B", "gone")]


# -- findings


def test_a_clean_entry_has_no_findings(book: Database) -> None:
    store(book, "tom", measured_car(sold_speakers=2))
    assert found(book) == {}


@pytest.mark.parametrize(
    ("content", "check", "sure", "saw"),
    [
        (car(evidence=[meter(["A1.1"])]), "not measured", "certain", "door-l-, door-r\\+, door-r-"),
        (car({"2": None}), "one pole only", "certain", "door-l has no minus"),
        (
            car({"5": {"carries": "door-l+"}}),
            "duplicated circuit", "look", "door-l\\+ is on A1.1 and A1.5",
        ),
        (
            car({"1": {"carries": ["door-l+", "door-l-"]}}),
            "duplicated circuit", "certain", "that is a short",
        ),
        (car({"3": {"wire": "WH"}}), "one colour twice", "look", "A1.2 and A1.3|A1.3 and A1.2"),
        (car(sold_speakers=4), "speaker count", "certain", "sold with 4 speakers, and 2"),
        (
            car(evidence=[meter(ALL_PINS, on="2011-05-01")]),
            "day of evidence", "likely", "before this vehicle was built",
        ),
        (
            car(evidence=[meter(ALL_PINS, on="2999-05-01")]),
            "day of evidence", "certain", "still to come",
        ),
    ],
)  # fmt: skip
def test_findings_in_the_revision_itself(
    book: Database, content: dict[str, Any], check: str, sure: str, saw: str
) -> None:
    import re

    store(book, "tom", content)
    findings = [
        one
        for one in findings_of(book.conn, revisions_of(book.conn, CAR)[-1])
        if one.check == check
    ]
    assert any(one.sure == sure and re.search(saw, one.saw) for one in findings), findings


def test_two_units_that_claim_a_speaker(book: Database) -> None:
    content = car()
    content["unit"].append({"id": "radio", "kind": "radio", "place": "dash"})
    pins = [{"at": "1", "carries": "door-l+"}]
    content["connector"].append(
        {"id": "R1", "unit": "radio", "plug": "VR-4", "ways": 4, "pins": pins}
    )
    store(book, "tom", content)
    sure, saw = found(book)["duplicated circuit"]
    assert sure == "certain" and "amp and radio" in saw


def habit(*feeds: tuple[str, str, str, str]) -> dict[str, Any]:
    """A car with one feed for each (plus way, plus wire, minus way, minus wire)."""
    content = car()
    content["speaker"] = [{"id": f"s{n}", "role": "woofer"} for n in range(len(feeds))]
    pins = []
    for n, (plus, plus_wire, minus, minus_wire) in enumerate(feeds):
        pins.append({"at": plus, "carries": f"s{n}+", "wire": plus_wire})
        pins.append({"at": minus, "carries": f"s{n}-", "wire": minus_wire})
    content["connector"][0]["pins"] = pins
    return content


@pytest.mark.parametrize(
    ("feeds", "suspect"),
    [
        # The plain wire is minus, except on the third.
        ([("1", "WH/RD", "2", "WH"), ("3", "GY/RD", "4", "GY"), ("5", "BU", "6", "BU/RD")], "A1.5"),
        # A black stripe marks minus, except on the third.
        (
            [
                ("1", "WH/RD", "2", "WH/BK"),
                ("3", "GY/RD", "4", "GY/BK"),
                ("5", "BU/BK", "6", "BU/RD"),
            ],
            "A1.5",
        ),
        # No habit: one each way.
        ([("1", "WH/RD", "2", "WH"), ("3", "GY", "4", "GY/RD")], None),
        # All alike.
        ([("1", "WH/RD", "2", "WH"), ("3", "GY/RD", "4", "GY"), ("5", "BU/RD", "6", "BU")], None),
    ],
)
def test_polarity_colours_against_the_harness_own_habit(
    book: Database, feeds: list[tuple[str, str, str, str]], suspect: str | None
) -> None:
    store(book, "tom", habit(*feeds))
    findings = [
        one.where[0]
        for one in findings_of(book.conn, revisions_of(book.conn, CAR)[-1])
        if one.check == "polarity colours"
    ]
    assert findings == ([suspect] if suspect else [])


def test_poles_swapped_against_a_sibling(book: Database) -> None:
    store(book, "ann", measured_car(id="vant-oro-23", years="2023"))
    turned = {"1": {"carries": "door-l-"}, "2": {"carries": "door-l+"}}
    store(book, "tom", car(turned))
    sure, saw = found(book)["poles swapped"]
    assert sure == "likely" and "vant-oro-23 has the poles of A1.1, A1.2 the other way round" in saw
    store(book, "tom", car(turned, [meter(ALL_PINS)]))
    assert found(book)["poles swapped"][0] == "look"


def test_colours_that_differ_from_other_years(book: Database) -> None:
    store(book, "ann", measured_car(id="vant-oro-23", years="2023"))
    store(book, "tom", car({"1": {"wire": "BU/RD"}}))
    assert "A1.1 BU/RD (there WH/RD)" in found(book)["colours differ"][1]
    store(book, "tom", car({"1": {"wire": "BU/RD"}}, model="Ibo"))
    assert "colours differ" not in found(book)


def test_values_that_look_copied(book: Database) -> None:
    more = {"6": {"carries": "ground", "wire": "BN"}}
    store(book, "ann", car(more, [meter(ALL_PINS)], id="vant-oro-23", years="2023"))
    store(book, "tom", car(more))
    assert found(book)["copied?"][0] == "look"
    store(book, "tom", car(more, [meter(ALL_PINS)]))
    assert found(book)["copied?"][0] == "likely"


def test_a_measurement_from_before_the_change(book: Database) -> None:
    store(book, "tom", measured_car())
    store(book, "tom", car({"1": {"wire": "BU/RD"}}, [meter(ALL_PINS)]))
    sure, saw = found(book)["older evidence"]
    assert sure == "certain" and saw.startswith("A1.1 changed")
    fresh = [meter(ALL_PINS), meter(["A1.1"], "tone")]
    verified = car({"1": {"wire": "BU/RD"}}, fresh)
    store(book, "tom", measured_car(body="so that its parent is as it was"))
    store(book, "tom", verified)
    assert "older evidence" not in found(book)


def test_disputes_name_the_rival(book: Database) -> None:
    first = store(book, "ann", measured_car())
    store(book, "tom", car({"1": {"wire": "BU/RD"}}))
    sure, saw = found(book)["disputed"]
    assert sure == "certain" and first[:12] in saw and "A1.1" in saw


def test_a_kit_with_two_leads_on_one_way(book: Database) -> None:
    leads = KIT["part"][0]["leads"]
    kit = KIT | {"part": [KIT["part"][0] | {"leads": [leads[0], leads[1] | {"plus": "1"}]}]}
    store(book, "tom", kit)
    assert found(book, "oku-z")["duplicated way"][1] == "main.A and main.B share way 1 of VT-8"


# -- the effect


def test_the_effect_is_the_outcomes_that_would_change(book: Database) -> None:
    store(book, "tom", KIT)
    store(book, "tom", measured_car())
    verify(book, CAR, by="lena")
    turned = {"1": {"carries": "door-l-"}, "2": {"carries": "door-l+"}, "4": None}
    store(book, "ann", car(turned, [meter(ALL_PINS[:3], "tone")]))
    effect = dossier(book.conn, CAR).effect
    told = {(one.kit, one.speaker): (one.before, one.after) for one in effect.changes}
    carried = Told("carried", "moves to new amplifier", "main", "A")
    assert told == {
        ("oku-z", "door-l"): (carried, Told("reversed", "moves to new amplifier", "main", "A")),
        ("oku-z", "door-r"): (
            Told("carried", "moves to new amplifier", "main", "B"),
            Told("unknown", "meter first", None, None),
        ),
    }


def test_the_effect_of_a_kit_is_on_every_vehicle(book: Database) -> None:
    store(book, "tom", measured_car())
    store(book, "tom", KIT)
    verify(book, "oku-z", by="lena")
    part = KIT["part"][0]
    store(book, "tom", KIT | {"part": [part | {"leads": part["leads"][:1]}]})
    (change,) = dossier(book.conn, "oku-z").effect.changes
    assert (change.vehicle, change.speaker) == (CAR, "door-r")
    assert change.after == Told("left out", "goes silent", None, None)


def test_nothing_changes_where_nothing_would(book: Database) -> None:
    store(book, "tom", KIT)
    store(book, "tom", measured_car())
    verify(book, CAR, by="lena")
    store(book, "ann", measured_car(body="wagon"))
    assert dossier(book.conn, CAR).effect.changes == ()


def swapped_kit() -> dict[str, Any]:
    part = KIT["part"][0]
    first = part["leads"][0] | {"plus": "2", "minus": "1"}
    return KIT | {"part": [part | {"leads": [first, part["leads"][1]]}]}


def test_rival_kits_are_a_reason_to_look_twice_and_their_outcomes_are_told(book: Database) -> None:
    """A kit has no pins to dispute, and still two live revisions say different things of a lead."""
    store(book, "tom", measured_car())
    old = store(book, "tom", KIT)
    new = store(book, "ann", swapped_kit())
    for hash, other in ((old, "ann"), (new, "tom")):
        seen = dossier(book.conn, f"oku-z@{hash}")
        (risk,) = [risk for risk in seen.risks if risk.risk == "rival"]
        assert f"by {other}, differs on lead main.A" in risk.why
    waiting = {one.revision.hash: one for one in queue(book.conn)}
    assert any(risk.risk == "rival" for risk in waiting[new].risks)
    effect = dossier(book.conn, f"oku-z@{new}").effect
    assert effect.already
    (change,) = effect.changes
    assert change.before is not None and change.after is not None
    assert (change.speaker, change.before.outcome, change.after.outcome) == (
        "door-l", "carried", "reversed",
    )  # fmt: skip


def test_what_its_own_author_replaced_is_no_rival_of_it(book: Database) -> None:
    store(book, "tom", measured_car())
    store(book, "tom", KIT)
    mine = store(book, "tom", swapped_kit())
    assert "rival" not in {risk.risk for risk in dossier(book.conn, f"oku-z@{mine}").risks}


def test_a_revision_that_was_signed_meanwhile_is_not_withdrawn_unseen(book: Database) -> None:
    store(book, "tom", measured_car())
    verify(book, CAR, by="lena")
    with pytest.raises(Refused, match=r"Nothing was withdrawn: .* is verified by now"):
        withdraw(book, CAR, by="tom", reason="wrong car", while_it_is="submitted")
    assert revisions_of(book.conn, CAR)[-1].state == "verified"
    withdraw(book, CAR, by="tom", reason="wrong car", while_it_is="verified")


# -- the page


def test_the_dossier_holds_who_how_and_against_what(book: Database) -> None:
    store(book, "tom", measured_car())
    verified = verify(book, CAR, by="lena").revision
    lines = [meter(ALL_PINS), meter(["A1.1"], "scope", on="2021-05-01")]
    store(book, "ann", car({"1": {"wire": "BU/RD"}}, lines))
    seen = dossier(book.conn, CAR)
    assert seen.against == verified
    assert [(line.method, line.author) for line in seen.lines] == [
        ("meter", "tom"),
        ("scope", "ann"),
    ]
    assert [one.revision.hash for one in seen.rivals] == [verified.hash]
    shown = dossier_json(seen)
    assert shown["changed"][0]["id"] == "A1.1"
    assert shown["changed"][0]["methods"] == ("scope",)  # the meter saw the pin as it was
    assert [one["check"] for one in shown["findings"]][:1] == ["disputed"]


# -- the queue


def test_the_riskiest_comes_first_and_waiting_counts(book: Database) -> None:
    quiet = car({"3": None, "4": None}, [meter(ALL_PINS[:2])], id="quiet")
    quiet["speaker"] = quiet["speaker"][:1]
    store(book, "tom", quiet)
    verify(book, "quiet", by="lena")
    quiet["vehicle"]["body"] = "wagon"
    store(book, "tom", quiet)
    store(book, "eve", car())
    first, second = queue(book.conn)
    assert (first.revision.id, second.revision.id) == (CAR, "quiet")
    assert {risk.risk for risk in first.risks} == {"safety", "not measured", "new contributor"}
    assert second.risks == ()
    later = datetime.now(UTC) + timedelta(days=15)
    assert [one.weeks for one in queue(book.conn, now=later)] == [2, 2]
    assert [one.revision.id for one in queue(book.conn, only={second.revision.hash})] == ["quiet"]


def test_taking_away_what_is_verified_is_risky(book: Database) -> None:
    store(book, "tom", measured_car())
    verify(book, CAR, by="lena")
    store(book, "tom", car({"8": None}, [meter(ALL_PINS)]))
    (waiting,) = queue(book.conn)
    assert ("removes verified", "takes away what is verified: pin A1.8") in [
        (risk.risk, risk.why) for risk in waiting.risks
    ]


def test_a_lost_chime_is_risky(book: Database) -> None:
    store(book, "tom", measured_car())
    verify(book, CAR, by="lena")
    content = measured_car()
    del content["speaker"][1]["duties"]
    store(book, "tom", content)
    (waiting,) = queue(book.conn)
    assert any("touches door-r (chime)" in risk.why for risk in waiting.risks)


def test_what_was_answered_waits_no_more(book: Database) -> None:
    store(book, "tom", measured_car())
    send_back(book, CAR, by="lena", why="poles")
    assert queue(book.conn) == []
