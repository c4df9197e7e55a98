"""What an answer without rows says beside which condition took the last ones away."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator

import pytest

from kb.query.run import ask
from tests.books import book_of
from tests.kb.query.conftest import Asked


def why(asked: Asked, query: str) -> str:
    answer = ask(asked.connection, query)
    assert answer.rows == []
    return " ".join(answer.why_empty)


def ids(asked: Asked, query: str) -> list[str]:
    return [row["id"] for row in ask(asked.connection, query).rows]


def test_several_words_of_text_are_one_phrase_quoted_or_not(shipped: Asked) -> None:
    concert = ["halden-tarn-19-concert10", "halden-tarn-24-concert10"]
    for phrase in ('"HT-20"', "ht-20", '"five-door estate"', "five-door estate"):
        assert ids(shipped, f"vehicles where text ~ {phrase} and audio ~ concert") == concert
    assert why(shipped, 'vehicles where text ~ "estate five-door"').endswith(
        "Its words stand apart: `text ~ estate and text ~ five-door` finds those."
    )
    assert set(concert) < set(ids(shipped, "vehicles where text ~ estate and text ~ five-door"))


def test_words_that_are_not_all_there_are_not_offered_apart(shipped: Asked) -> None:
    assert "apart" not in why(shipped, 'vehicles where text ~ "estate unwritten"')
    assert "apart" not in why(shipped, "vehicles where text ~ unwritten")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ('"grey/yellow"', "wire = GY/YE"),
        ("GY/YE", "wire = GY/YE"),
        ("turquoise", "wire ~ TQ"),
        ("unwritten", None),
    ],
)
def test_a_colour_sought_in_all_that_is_written_is_told_where_it_stands(
    shipped: Asked, typed: str, meant: str | None
) -> None:
    said = why(shipped, f"vehicles where text ~ {typed}")
    assert (f"`pins where {meant}`" in said) if meant else "pins where" not in said
    if meant:
        assert ask(shipped.connection, f"pins where {meant}").rows


@pytest.mark.parametrize("typed", ["power", "remote", "acc", "B+", "speaker"])
def test_a_circuit_that_is_not_there_is_told_which_are(shipped: Asked, typed: str) -> None:
    said = why(shipped, f"pins where carries = {typed}")
    assert "Circuits here, beside those of speakers: ground, battery," in said
    assert "as a part" not in said and "door-fl" not in said
    one = why(shipped, f"pins of halden-tarn-19-plain6 where carries = {typed}")
    assert "speakers: battery, ground, ignition, illumination." in one


def test_a_circuit_written_as_far_as_it_is_known_is_offered_so(shipped: Asked) -> None:
    assert "`carries ~ door-f` finds those" in why(shipped, "pins where carries = door-f")


def test_what_is_known_is_said_as_it_was_typed(shipped: Asked) -> None:
    said = why(shipped, "speakers where ohms is known and ohms > 100")
    assert "that `ohms is known` left" in said


def test_a_note_that_nobody_wrote_is_unknown(shipped: Asked) -> None:
    known = ask(shipped.connection, "routes where note is known").rows
    unknown = ask(shipped.connection, "routes where note is unknown").rows
    assert known and all(row["note"] for row in known)
    assert unknown and all(row["note"] is None for row in unknown)
    assert len(known) + len(unknown) == len(ask(shipped.connection, "routes").rows)


OTHERWISE = "It is written otherwise: `{}` finds some."
APART = "Its words stand apart: `{}` finds those."


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("vehicles where body ~ five door", OTHERWISE.format("body ~ five-door")),
        ("vehicles where body = five door", OTHERWISE.format("body ~ five-door")),
        ("speakers where place ~ front left", OTHERWISE.format("place ~ front-left")),
        ("speakers where place ~ left front", APART.format("place ~ left and place ~ front")),
        ("speakers where place ~ frnt", "The nearest place here is front."),
    ],
)  # fmt: skip
def test_a_part_of_a_text_that_no_row_holds_says_what_is_near(
    shipped: Asked, query: str, said: str
) -> None:
    assert said in ask(shipped.connection, query).why_empty
    if "`" in said:
        better = f"{query.partition(' where ')[0]} where {said.split('`')[1]}"
        assert ask(shipped.connection, better).rows


def test_a_part_of_a_circuit_that_is_not_there_is_told_which_are(shipped: Asked) -> None:
    for sign in "=~":
        why = ask(shipped.connection, f"pins where carries {sign} power").why_empty
        assert any(line.startswith("Circuits here") for line in why)


@pytest.mark.parametrize("field", ["speakers where vehicle", "vehicles where id"])
def test_words_of_a_vehicle_are_told_to_stand_after_of(shipped: Asked, field: str) -> None:
    subject = field.partition(" ")[0]
    said = why(shipped, f'{field} = "tarn 22 concert"')
    assert f"`{subject} of tarn 22 concert`" in said and "halden-tarn-19-concert10" in said
    assert ask(shipped.connection, f"{subject} of tarn 22 concert").rows
    # Several are called so, and none: then nothing is advised.
    assert " of " not in why(shipped, f'{field} = "halden tarn"').partition("meets it.")[2]
    assert " of " not in why(shipped, f'{field} = "no such thing"').partition("meets it.")[2]


@pytest.mark.parametrize(
    ("scoped", "condition"),
    [
        ("speakers of halden-tarn-19-concert10 with oku-b6", "left out and carried"),
        (
            "speakers of halden-tarn-19-concert10 with any kit",
            "left out and fed by radio and carried",
        ),
        ("speakers", "fed by radio and fed by amplifier and plus = 999"),
        ("kits for halden-tarn-19-concert10", "left out = 999"),
        ("kits", "maker ~ oku and name ~ zzz"),
        ("vehicles with oku-b6", "left out = 999"),
        ("vehicles of halden-tarn-19-concert10 with any kit", "carried > 0 and carried = 999"),
        ("leads of oku-b6 on halden-tarn-19-concert10", "idle and not idle"),
        ("leads", 'plug = "no such plug"'),
        ("pins of halden-tarn-19-concert10", "unit = radio and unit = amplifier"),
        ("connectors of halden-tarn-19-concert10", "ways > 2 and ways = 999"),
    ],
)
def test_what_is_told_of_the_scope_is_what_it_counts(
    shipped: Asked, scoped: str, condition: str
) -> None:
    count = ask(shipped.connection, f"count {scoped}").rows[0]["count"]
    said = why(shipped, f"{scoped} where {condition}")
    first = re.search(r"none of (\d+) \w+(?: \(.*?\))?( that `(.*)` left)?", said)
    assert count and first is not None, said
    if first[2]:
        left = ask(shipped.connection, f"count {scoped} where {first[3]}").rows[0]["count"]
        assert int(first[1]) == left
    else:
        assert int(first[1]) == count


TARN = "halden-tarn-19-concert10"


@pytest.mark.parametrize(
    ("query", "meant"),
    [
        (f"pins of {TARN} where at = A1.3", "connector = A1 and at = 3"),
        (f"pins of {TARN} where connector = a1.3", "connector = a1 and at = 3"),
        (f"speakers of {TARN} where plus = A1.3", "connector = A1 and plus = 3"),
        (f"speakers of {TARN} where minus = A1.13", "minus connector = A1 and minus = 13"),
        (f"pins of {TARN} where at = A1.999", None),
        (f"pins of {TARN} where at = A1.", None),
        (f"pins of {TARN} where unit = radio and at = A1.3", None),
    ],
)
def test_a_way_with_its_connector_is_two_fields(
    shipped: Asked, query: str, meant: str | None
) -> None:
    said = why(shipped, query)
    assert (f"two fields: `{meant}` finds it." in said) if meant else "two fields" not in said
    if meant:
        assert ask(shipped.connection, f"{query.partition(' where ')[0]} where {meant}").rows


def test_each_coil_has_its_own_circuit(shipped: Asked) -> None:
    for pole in "+-":
        said = why(shipped, f"pins of {TARN} where carries = sub{pole}")
        meant = f"carries in (sub.a{pole}, sub.b{pole})"
        assert f"Each coil of sub has its own: `{meant}`." in said and "nearest" not in said
        assert len(ask(shipped.connection, f"pins of {TARN} where {meant}").rows) == 2
    for typed in ("x", "door-fl", "nothing+"):
        assert "Each coil" not in " ".join(
            ask(shipped.connection, f"pins of {TARN} where carries = {typed}").why_empty
        )


@pytest.fixture(scope="module")
def partly_told(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    """C1 has four ways of which two are documented; D1 is in line, B1 has letters, E1 no pin."""
    pins = {
        "C1": [{"at": 1, "carries": "door+"}, {"at": 2, "carries": "door-"}],
        "D1": [{"at": 1, "carries": "door+"}, {"at": 2, "carries": "door-"}],
        "B1": [{"at": "A1", "carries": "ground"}],
        "E1": [],
    }
    car = {
        "kind": "vehicle",
        "vehicle": {"id": "fell", "make": "Oster", "model": "Fell", "years": "2020", "audio": "x"},
        "unit": [{"id": "amp", "kind": "amplifier"}],
        "speaker": [{"id": "door", "role": "woofer"}],
        "connector": [
            {"id": id, "plug": f"P{id}", "ways": 4, "pins": ways}
            | ({} if id == "D1" else {"unit": "amp"})
            for id, ways in pins.items()
        ],
    }
    path = tmp_path_factory.mktemp("partly") / "b.db"
    with book_of(path, [car]).reading() as connection:
        yield connection


@pytest.mark.parametrize(
    ("where", "told"),
    [
        ("connector = C1 and at = 3", "C1 has 4 ways, and nobody documented way 3."),
        ("at = 3 and connector = C1", "C1 has 4 ways, and nobody documented way 3."),
        ("unit = in-line and at = 4", "D1 has 4 ways, and nobody documented way 4."),
        ("at = 3", "Nobody documented way 3 of C1, D1 and E1."),
        ("connector = E1", "E1 has 4 ways, and nobody documented any of them."),
        ("at = 5", None),  # no connector has it
        ("connector = B1 and at = 2", None),  # its ways have letters
        ("connector = C1 and wire = WH", None),  # that is counted as unknown
    ],
)
def test_a_way_that_nobody_documented_is_told(
    partly_told: sqlite3.Connection, where: str, told: str | None
) -> None:
    for subject in ("pins", "count pins"):
        said = " ".join(ask(partly_told, f"{subject} of fell where {where}").why_empty)
        assert (told in said) if told else "nobody documented" not in said.lower()
    if told and told.endswith("way 3."):
        all_ = " ".join(ask(partly_told, f"pins where {where}").why_empty)
        assert "C1 of fell has 4 ways" in all_


def test_a_connector_in_line_is_told_with_who_passes_it(partly_told: sqlite3.Connection) -> None:
    for query in (
        "speakers of fell where connector = d1",
        "speakers where connector = D1 and role = woofer",
        "count speakers of fell where minus connector = D1",
    ):
        assert (
            "D1 of fell is an in-line connector, where no feed leaves its unit; door passes it;"
            " `pins of fell where connector = D1` lists its ways."
        ) in " ".join(ask(partly_told, query).why_empty)
    assert "in-line" not in " ".join(ask(partly_told, "speakers where connector = E1").why_empty)


@pytest.mark.parametrize(("lead", "told"), [("j", True), ("Q", False), ("E", False)])
def test_a_lead_of_a_part_left_aside_is_told_with_its_part(
    shipped: Asked, lead: str, told: bool
) -> None:
    """E is on a part in use and idle, and Q on none."""
    said = why(shipped, f"speakers of {TARN} with oku-b6 where lead = {lead}")
    aside = "is a lead of part radio-14 or radio-28, left aside here; `with oku-b6 + PART` counts"
    assert (aside in said) is told
