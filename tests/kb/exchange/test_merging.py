"""Merging is set union: commutative, associative, idempotent, whatever is shared and how often."""

from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.review import acts
from kb.review.audit import audit
from kb.review.shop import name_shop
from tests.kb.exchange.shops import answers_of, bring, bytes_of, out, same, shop, take, told
from tests.kb.review.cases import ALL_PINS, CAR, KIT, car, measured_car, meter

# What a shop may do before it shares: documents of one entry that agree and differ, and acts.
CONTENTS = [
    measured_car(),
    car({"1": {"wire": "BU/RD"}}),
    car({"3": {"carries": "door-r-"}, "4": {"carries": "door-r+"}}, [meter(ALL_PINS, "tone")]),
    car({"2": None}),
    KIT,
    KIT | {"kit": KIT["kit"] | {"name": "Z two"}},
]
steps = st.lists(
    st.tuples(
        st.sampled_from(["tom", "ann"]),
        st.sampled_from(range(len(CONTENTS))),
        st.sampled_from(["", "", "verify", "return", "withdraw", "name"]),
    ),
    max_size=4,
)
orders = st.permutations(range(3))


def live_through(book, story) -> None:
    """Submit and act; what a rule refuses does not happen."""
    from kb.errors import Refused

    for author, number, act in story:
        (hash,) = bring(book, author, CONTENTS[number])
        kind = CONTENTS[number]["kind"]
        entry = f"{kind}/{CONTENTS[number][kind]['id']}@{hash}"
        try:
            with book.writing() as database:
                if act == "verify":
                    acts.verify(database, entry, by="lena", reason="so")
                elif act == "return":
                    acts.send_back(database, entry, by="lena", why="poles")
                elif act == "withdraw":
                    acts.withdraw(database, entry, by=author)
                elif act == "name":
                    name_shop(database, f"Shop of {author}", by="lena")
        except Refused:
            pass


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(stories=st.tuples(steps, steps, steps), order=orders, grouping=st.booleans())
def test_any_order_any_grouping_any_number_of_times(stories, order, grouping) -> None:
    with TemporaryDirectory() as folder:
        work = Path(folder)
        books = [shop(work / f"{number}.db") for number in range(3)]
        folders = []
        for number, (book, story) in enumerate(zip(books, stories, strict=True)):
            live_through(book, story)
            folders.append(out(book, work / f"f{number}"))
        straight, turned = shop(work / "straight.db"), shop(work / "turned.db")
        names = count()
        shared = [f for f in folders if bytes_of(f)]
        take(straight, *shared)
        # Associative: the last two through a book of their own; idempotent: everything twice.
        mixed = [folders[number] for number in order if bytes_of(folders[number])]
        if grouping and len(mixed) > 1:
            between = shop(work / "between.db")
            take(between, *mixed[1:])
            mixed = [mixed[0], out(between, work / f"g{next(names)}")]
        take(turned, *mixed, *mixed)
        same([straight, turned], work / "after")
        for book in (straight, turned):
            with book.reading() as connection:
                assert audit(connection).broken is None


def test_conflicting_edits_stay_side_by_side_and_are_disputed(tmp_path: Path) -> None:
    north, south = shop(tmp_path / "n.db"), shop(tmp_path / "s.db")
    bring(north, "tom", measured_car(), KIT)
    take(south, out(north, tmp_path / "f"))
    bring(south, "kai", car({"1": {"wire": "BU/RD"}}, [meter(ALL_PINS)]))
    take(north, out(south, tmp_path / "f"))
    take(south, out(north, tmp_path / "f"))
    same([north, south], tmp_path)
    with north.reading() as connection:
        rows = connection.execute(
            "SELECT author, state, disputes, answers FROM entry WHERE id = ? ORDER BY submitted",
            (CAR,),
        ).fetchall()
    assert [tuple(row) for row in rows] == [
        ("tom", "submitted", 1, 0),
        ("kai", "submitted", 1, 1),
    ]
    assert told(north, CAR, "oku-z") == told(south, CAR, "oku-z")


def test_a_review_travels_and_verifies_nothing(tmp_path: Path) -> None:
    north, south = shop(tmp_path / "n.db"), shop(tmp_path / "s.db")
    bring(north, "tom", measured_car())
    with north.writing() as database:
        acts.verify(database, CAR, by="lena")
    take(south, out(north, tmp_path / "f"))
    with south.reading() as connection:
        states = connection.execute("SELECT state, origin FROM entry").fetchall()
        here = connection.execute("SELECT value FROM book").fetchone()[0]
        reviews = connection.execute(
            "SELECT act, arrived FROM record WHERE act = 'verify'"
        ).fetchall()
    assert [row["state"] for row in states] == ["submitted"]
    assert states[0]["origin"] != here
    assert [tuple(row) for row in reviews] == [("verify", 1)]


def test_drafts_and_people_stay_at_home(tmp_path: Path) -> None:
    from kb.store.revisions import add_documents
    from tests.books import document

    north = shop(tmp_path / "n.db")
    with north.writing() as database:
        add_documents(database, [document(KIT)], author="tom", draft=True)
    assert bytes_of(out(north, tmp_path / "f")) == {}


def test_a_folder_only_gains_files(tmp_path: Path) -> None:
    north, south = shop(tmp_path / "n.db"), shop(tmp_path / "s.db")
    bring(north, "tom", measured_car())
    bring(south, "kai", KIT)
    out(north, tmp_path / "f")
    before = bytes_of(tmp_path / "f")
    after = bytes_of(out(south, tmp_path / "f"))
    assert before.items() < after.items()
    assert answers_of(north) != answers_of(south)


def test_a_batch_that_was_read_before_somebody_else_stored_the_same(tmp_path: Path) -> None:
    from kb.exchange.incoming import read_batch, take_in

    north, south = shop(tmp_path / "n.db"), shop(tmp_path / "s.db")
    bring(north, "tom", measured_car(), KIT)
    folder = out(north, tmp_path / "f")
    with south.reading() as connection:
        batch = read_batch(connection, folder)
    take(south, folder)
    with south.writing() as database:
        take_in(database, batch)
    same([north, south], tmp_path)


def test_what_is_taken_back_elsewhere_stays_verified_and_is_told(tmp_path: Path) -> None:
    from kb.review.queue import second_thoughts

    north, south = shop(tmp_path / "n.db"), shop(tmp_path / "s.db")
    bring(north, "tom", measured_car())
    take(south, out(north, tmp_path / "f"))
    with south.writing() as database:
        acts.verify(database, CAR, by="lena")
    with north.writing() as database:
        acts.withdraw(database, CAR, by="tom", reason="it was another car")
    take(south, out(north, tmp_path / "f"))
    with south.reading() as connection:
        (thought,) = second_thoughts(connection)
        state = connection.execute("SELECT state FROM entry").fetchone()[0]
    assert (thought.act, thought.by, thought.reason) == ("withdraw", "tom", "it was another car")
    assert state == "verified"
