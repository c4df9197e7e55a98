"""What `plan` and `sheet` ask alike: which job, and what the person pins."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from kb.errors import Refused

if TYPE_CHECKING:
    from kb.plan.reach import FixWay
    from kb.plan.whole import WholePlan

WAYS: tuple[FixWay, ...] = ("part", "run", "tap")
MATERIALS = {"copper": "copper", "cca": "copper-clad aluminium"}
INSULATIONS = (60, 75, 80, 90, 105, 125, 200)


def add_job_arguments(parser: argparse.ArgumentParser) -> None:
    """The job, the wishes, and what common practice leaves to the person."""
    parser.add_argument("job", metavar="JOB", help="id of a stored job, or a file with one")
    wishes = parser.add_argument_group("what you pin")
    wishes.add_argument(
        "--without",
        action="append",
        default=[],
        metavar="PART",
        help="a part that the plan shall not choose; may be repeated",
    )
    wishes.add_argument(
        "--prefer", choices=WAYS, help="this way for every speaker that can be reached so"
    )
    wishes.add_argument(
        "--pin",
        action="append",
        default=[],
        metavar="SPEAKER=WAY",
        help="this way (part, run or tap) for one speaker; may be repeated",
    )
    limits = parser.add_argument_group("limits, where common practice has one and you another")
    limits.add_argument(
        "--material",
        choices=sorted(MATERIALS),
        default="copper",
        help="of the supply cable: copper, or copper-clad aluminium (cca)",
    )
    limits.add_argument(
        "--insulation",
        type=int,
        choices=INSULATIONS,
        default=80,
        metavar="C",
        help="temperature rating of the cable's insulation, a column of 33 CFR 183.425 Table 5: "
        "60, 75, 80 (default), 90, 105, 125 or 200",
    )
    limits.add_argument(
        "--drop",
        type=_volts,
        default=0.5,
        metavar="VOLTS",
        help="the most that the supply may lose (default 0.5)",
    )
    limits.add_argument(
        "--wire-share",
        type=_percent,
        default=5.0,
        metavar="PERCENT",
        help="the most that speaker wire may take of its load (default 5)",
    )
    parser.add_argument(
        "--newest", action="store_true", help="plan on the newest revisions, verified or not"
    )


def _volts(text: str) -> float:
    return _between(text, 0.01, 5.0, "volts")


def _percent(text: str) -> float:
    return _between(text, 0.1, 50.0, "percent")


def _between(text: str, least: float, most: float, unit: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not least <= value <= most:
        raise argparse.ArgumentTypeError(f"{text!r} is no value from {least:g} to {most:g} {unit}")
    return value


def plan_asked_for(arguments: argparse.Namespace) -> WholePlan:
    """The plan of the job that the command line names."""
    from kb.answers.papers import plan_job
    from kb.plan.alternatives import Wishes
    from kb.plan.plan import Limits
    from kb.store.book import open_book

    wishes = Wishes(
        without=tuple(arguments.without),
        prefer=arguments.prefer,
        pinned=_pins(arguments.pin),
    )
    limits = Limits(
        material=MATERIALS[arguments.material],  # type: ignore[arg-type]  # one of the two
        insulation=arguments.insulation,
        most_drop=arguments.drop,
        wire_share=arguments.wire_share / 100,
    )
    job = _job(arguments.job)
    with open_book(arguments.db).reading() as connection:
        return plan_job(connection, job, wishes, limits, newest=arguments.newest)


def _pins(texts: list[str]) -> dict[str, FixWay]:
    """Each speaker's way. Raises Refused where one speaker is pinned to two."""
    pinned: dict[str, FixWay] = {}
    for speaker, way in map(_pin, texts):
        if pinned.setdefault(speaker, way) != way:
            raise Refused(f"--pin gives {speaker} two ways, {pinned[speaker]} and {way}; pin one.")
    return pinned


def _pin(text: str) -> tuple[str, FixWay]:
    speaker, _, said = text.partition("=")
    for way in WAYS:
        if way == said:
            return speaker, way
    raise Refused(f"--pin {text} is not SPEAKER=WAY with one of {', '.join(WAYS)}.")


def _job(name: str) -> str | dict[str, object]:
    """A stored job's id as it is; a file's content, where the name is one of a file."""
    if name != "-" and not name.endswith((".toml", ".json")) and not Path(name).is_file():
        return name
    from kb.documents.reading import read_documents
    from tui.commands.add import source_of

    reading = read_documents([source_of(name)])
    if reading.errors:
        sentences = "\n".join(f"  {finding.sentence}" for finding in reading.errors)
        raise Refused(f"this job cannot be read:\n{sentences}")
    (document,) = reading.documents
    if document.kind != "job":
        raise Refused(f"{name} holds a {document.kind}, not a job.")
    return document.content
