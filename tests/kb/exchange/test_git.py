"""Three shops and a real git: conflicting edits, merges in every order, one book at the end."""

import itertools
import os
import subprocess
from pathlib import Path
from shutil import copytree, which

import pytest

from kb.review import acts
from kb.review.shop import name_shop
from tests.kb.exchange.shops import bring, bytes_of, out, same, shop, take
from tests.kb.review.cases import ALL_PINS, CAR, KIT, car, measured_car, meter

pytestmark = pytest.mark.skipif(which("git") is None, reason="git is not installed here")

SHOPS = ("north", "south", "west")


def git(folder: Path, *arguments: str) -> str:
    quiet = {
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_SYSTEM": os.devnull,
        "GIT_TERMINAL_PROMPT": "0",
    }
    who = {
        f"GIT_{role}_{key}": value
        for role in ("AUTHOR", "COMMITTER")
        for key, value in (("NAME", "shop"), ("EMAIL", "shop@example.invalid"))
    }
    done = subprocess.run(
        ["git", *arguments],
        cwd=folder,
        env={**os.environ, **quiet, **who},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def publish(clone: Path) -> None:
    """What the guide tells a shop to do, until the push goes through."""
    git(clone, "add", "--all")
    if git(clone, "status", "--porcelain"):
        git(clone, "commit", "--quiet", "-m", "what we know")
    if git(clone, "ls-remote", "origin", "main"):
        git(clone, "pull", "--quiet", "--no-rebase", "--no-edit", "origin", "main")
    git(clone, "push", "--quiet", "origin", "main")


@pytest.fixture(scope="module")
def stories(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three shops' own books, each with an edit of the same entry that the others contradict."""
    work = tmp_path_factory.mktemp("stories")
    books = {name: shop(work / f"{name}.db") for name in SHOPS}
    bring(books["north"], "tom", measured_car(), KIT)
    start = out(books["north"], work / "start")
    for name in ("south", "west"):
        take(books[name], start)
    bring(books["south"], "kai", car({"1": {"wire": "BU/RD"}}, [meter(ALL_PINS)]))
    turned = {"3": {"carries": "door-r-"}, "4": {"carries": "door-r+"}}
    bring(books["west"], "mia", car(turned, [meter(ALL_PINS, "scope")]))
    bring(books["north"], "tom", car({"8": None}, [meter(ALL_PINS, "tone")]))
    with books["south"].writing() as database:
        name_shop(database, "South Bench", by="lena")
        acts.withdraw(database, CAR, by="kai")
    with books["west"].writing() as database:
        acts.send_back(database, f"{CAR}@{_first(work, books['north'])}", by="lena", why="old")
    return work


def _first(work: Path, book) -> str:
    with book.reading() as connection:
        return str(connection.execute("SELECT hash FROM revision ORDER BY number").fetchone()[0])


@pytest.mark.parametrize("order", list(itertools.permutations(range(3))))
def test_every_order_of_merges_ends_in_one_book(
    stories: Path, tmp_path: Path, order: tuple[int, ...]
) -> None:
    from kb.store.book import open_book

    git(tmp_path, "init", "--quiet", "--bare", "--initial-branch=main", "middle.git")
    books = {}
    for name in SHOPS:
        copytree(stories, tmp_path / f"of-{name}", dirs_exist_ok=True)
        books[name] = open_book(tmp_path / f"of-{name}" / f"{name}.db")
        git(tmp_path, "init", "--quiet", "--initial-branch=main", name)
        git(tmp_path / name, "remote", "add", "origin", str(tmp_path / "middle.git"))
        out(books[name], tmp_path / name)
        git(tmp_path / name, "add", "--all")
        git(tmp_path / name, "commit", "--quiet", "-m", "what we know")
    for number in order:
        _publish_first(tmp_path / SHOPS[number])
    for name in SHOPS:
        git(tmp_path / name, "pull", "--quiet", "--no-rebase", "--no-edit", "origin", "main")
        take(books[name], tmp_path / name)
    files = {name: bytes_of(tmp_path / name) for name in SHOPS}
    assert files["north"] == files["south"] == files["west"]
    # North and south reviewed nothing, so that they answer alike to the last row; west returned
    # one revision, which is its own business.
    same([books["north"], books["south"]], tmp_path / "after")
    assert bytes_of(out(books["west"], tmp_path / "of-the-west")) == files["west"]


def _publish_first(clone: Path) -> None:
    if git(clone, "ls-remote", "origin", "main"):
        # Each shop began its folder alone; git is told once that this is meant.
        git(clone, "pull", "--quiet", "--no-rebase", "--no-edit",
            "--allow-unrelated-histories", "origin", "main")  # fmt: skip
    publish(clone)
