"""The list of vehicles while they are typed, against a plain reading of the shipped documents."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.query.as_typed import COUNTED, vehicles_as_typed
from kb.query.near_as_typed import guessed_vehicles
from kb.shipped import shipped_book
from kb.store.book import Book, open_book
from kb.store.projection import rebuild
from kb.store.revisions import add_documents
from seed_data import documents

HEADS = [
    content["vehicle"]
    for file in documents()
    if (content := tomllib.loads(file.read_text("utf-8")))["kind"] == "vehicle"
]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return shipped_book(tmp_path_factory.mktemp("typed") / "book.db")


def ids(book: Book, text: str) -> list[str]:
    with book.reading() as connection:
        return [vehicle.id for vehicle in vehicles_as_typed(connection, text).vehicles]


def fits(head: dict[str, str], word: str) -> bool:
    """What the module promises, read anew and slowly."""
    text = " ".join(head.get(key, "") for key in ("id", "make", "model", "body", "audio"))
    if any(own.startswith(word) for own in re.findall(r"[^\W_]+", text.casefold())):
        return True
    first, dash, last = head["years"].partition("-")
    years = [str(year) for year in range(int(first), int(last or (2100 if dash else first)) + 1)]
    if not word.isdigit() or len(word) > 4:
        return False
    if len(word) == 1:
        return any(year.startswith((word, f"19{word}", f"20{word}")) for year in years)
    if len(word) == 2:
        whole = {f"19{word}", f"20{word}"}
        return any(y in whole or (word in ("19", "20") and y.startswith(word)) for y in years)
    return any(year.startswith(word) for year in years)


WORDS = sorted(
    {word[:size] for head in HEADS for word in re.findall(r"[^\W_]+", " ".join(
        str(head.get(key, "")) for key in ("id", "make", "model", "body", "audio")).casefold())
     for size in (1, 2, 3, 9)}
    | {"2019", "2022", "202", "20", "19", "22", "24", "98", "1998", "1", "2", "3", "zz"}
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(words=st.lists(st.sampled_from(WORDS), max_size=4))
def test_it_lists_exactly_what_fits_every_word(book: Book, words: list[str]) -> None:
    expected = {head["id"] for head in HEADS if all(fits(head, word) for word in words)}
    assert set(ids(book, " ".join(words))) == expected


def test_order_and_case_of_words_are_free(book: Book) -> None:
    assert ids(book, "TARN 22 hal") == ids(book, "hal tarn 22") != []


def test_signs_part_words_and_ask_for_nothing(book: Book) -> None:
    assert ids(book, "halden-tarn_19/concert10") == ["halden-tarn-19-concert10"]
    assert ids(book, "%") == ids(book, "") and ids(book, "* OR 1") != ids(book, "")


def test_all_of_them_by_name_for_no_word(book: Book) -> None:
    found = ids(book, " ")
    names = {head["id"]: (head["make"], head["model"], head["years"][:4]) for head in HEADS}
    assert [names[id] for id in found] == sorted(names.values())


def test_a_vin_narrows_by_year_and_a_mistyped_one_says_so(book: Book) -> None:
    # 1M8GDM9AXKP042788: the sample of 49 CFR 565.15; model year K, 1989.
    with book.reading() as connection:
        right = vehicles_as_typed(connection, "1M8GDM9AXKP042788")
        wrong = vehicles_as_typed(connection, "1M8GDM9A1KP042788")
    assert right.note is not None and "1989" in right.note and right.vehicles == ()
    assert wrong.note is not None and "would be X" in wrong.note and wrong.vehicles == ()


def test_only_what_answers_is_listed_and_a_rebuild_changes_nothing(tmp_path: Path) -> None:
    book = open_book(tmp_path / "book.db")
    head = {"id": "a-1", "make": "Aarn", "model": "Bolt", "years": "2020-2021"}
    contents = [
        {"kind": "vehicle", "vehicle": head},
        {"kind": "vehicle", "vehicle": {**head, "model": "Cask"}},
    ]
    for content in contents:
        with book.writing() as database:
            add_documents(
                database, [SimpleNamespace(kind="vehicle", id="a-1", content=content)], author="t"
            )
    assert ids(book, "aarn") == ["a-1"] and ids(book, "cask") == ["a-1"] and ids(book, "bolt") == []
    with book.reading() as connection:
        before = connection.execute("SELECT * FROM vehicle_word ORDER BY 1, 2").fetchall()
    with book.writing() as database:
        rebuild(database)
    with book.reading() as connection:
        after = connection.execute("SELECT * FROM vehicle_word ORDER BY 1, 2").fetchall()
    assert [tuple(row) for row in before] == [tuple(row) for row in after] != []


def test_more_than_is_counted_is_said(tmp_path: Path) -> None:
    book = open_book(tmp_path / "book.db")
    made = [
        SimpleNamespace(
            kind="vehicle",
            id=f"v-{number}",
            content={
                "kind": "vehicle",
                "vehicle": {"id": f"v-{number}", "make": "Aarn", "model": "Bolt", "years": "2020"},
            },
        )
        for number in range(COUNTED + 5)
    ]
    with book.writing() as database:
        add_documents(database, made, author="t")
    with book.reading() as connection:
        some = vehicles_as_typed(connection, "aarn", limit=10)
        everything = vehicles_as_typed(connection, "", limit=10)
    assert some.many and len(some.vehicles) == 10
    assert everything.total == COUNTED + 5 and not everything.many


# XZ9 is written down for one vehicle of the shipped book alone; M is model year 1991 or 2021.
RIGHT_VIN = "XZ9AA1232M0123456"


def test_the_maker_of_a_vin_comes_first_then_those_of_no_written_maker(book: Book) -> None:
    found = ids(book, RIGHT_VIN)
    assert found[0] == "halden-tarn-19-plain6"
    assert found[1:] == sorted(found[1:]) and "brask-orrin-17-van4" in found


def test_a_wrong_check_digit_warns_and_lists_what_the_rest_says(book: Book) -> None:
    wrong = RIGHT_VIN[:8] + "5" + RIGHT_VIN[9:]
    with book.reading() as connection:
        listing = vehicles_as_typed(connection, wrong)
    assert [vehicle.id for vehicle in listing.vehicles] == ids(book, RIGHT_VIN)
    assert listing.note is not None and listing.note.startswith("! ")
    assert "would be 2" in listing.note and "if the rest is right" in listing.note


@pytest.mark.parametrize(
    ("text", "first", "said"),
    [
        ("tran", "halden-tarn-19-concert10", "“tran” read as “tarn”"),
        ("halden trn", "halden-tarn-19-concert10", "“trn” read as “tarn”"),
        ("skarne tarn 22", "skarne-holt-23-tour8", "“tarn” left none of those that fit “skarne”"),
        ("tarn zzzz", "halden-tarn-19-concert10", "no vehicle here has “zzzz”"),
        ("tarn 1950", "halden-tarn-19-concert10", "no vehicle here has “1950”"),
    ],
)
def test_what_fits_nothing_is_guessed_at_and_the_word_too_many_named(
    book: Book, text: str, first: str, said: str
) -> None:
    assert ids(book, text) == []
    with book.reading() as connection:
        listing = guessed_vehicles(connection, text)
    assert listing.vehicles[0].id == first
    assert listing.note is not None and said in listing.note and "a guess" in listing.note


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("sedge 2022 studio8", "What is listed is not “studio8”"),
        ("tarn 22 plain8", "What is listed is not “plain8”"),
        ("tarn 1950", "What is listed is not “1950”"),
        ("tarn zzzz", ""),
        ("skrne", ""),
    ],
)
def test_another_number_is_never_read_as_near(book: Book, text: str, doubt: str) -> None:
    with book.reading() as connection:
        listing = guessed_vehicles(connection, text)
    assert listing.vehicles and listing.doubt == doubt
    assert listing.note is not None and "8” read as" not in listing.note


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (RIGHT_VIN[:16], "has 16 characters, and a VIN has 17"),
        (f"tarn {RIGHT_VIN[:16]}", "has 16 characters, and a VIN has 17"),
        (RIGHT_VIN[:5] + "O" + RIGHT_VIN[6:], "holds O, and a VIN never does"),
        ("zzzz", "no vehicle here has “zzzz”"),
    ],
)
def test_where_nothing_comes_near_nothing_is_listed(book: Book, text: str, said: str) -> None:
    with book.reading() as connection:
        listing = guessed_vehicles(connection, text)
    assert listing.vehicles == () and listing.note is not None and said in listing.note


def test_a_year_that_is_meant_comes_before_one_still_being_written(book: Book) -> None:
    assert ids(book, "sedge 20") == ["torvane-sedge-20-studio9", "torvane-sedge-17-studio8"]
    assert ids(book, "sedge 19")[0] == "torvane-sedge-17-studio8"


def test_a_light_signature_is_told_in_the_list(tmp_path: Path) -> None:
    from kb.review.acts import verify
    from tests.kb.review.cases import CAR, car, measured_car, shop_book, store

    book = shop_book(tmp_path / "book.db")
    with book.writing() as database:
        store(database, "tom", car(id="vant-less"))
        store(database, "tom", measured_car())
        verify(database, "vant-less", by="lena", reason="seen on paper")
        verify(database, CAR, by="lena")
    with book.reading() as connection:
        for text in ("", "vant"):
            listed = {
                v.id: (v.state, v.signed_less) for v in vehicles_as_typed(connection, text).vehicles
            }
            less = "on less than measured"
            assert listed == {"vant-less": ("verified", less), CAR: ("verified", "")}
