"""The README tells the truth: every command of its tour is run, and its output compared.

In a ```console block, a line that begins with `$ ` is a command, what follows is its output. A line
that is only `…` stands for any lines. Names that differ from book to book (hashes, the shop's
origin, times) are compared by shape.
"""

import re
import subprocess
import sysconfig
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.command import environment

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
ANY = "…"


@dataclass(frozen=True)
class Step:
    line: int
    command: str
    output: tuple[str, ...]


def steps() -> list[Step]:
    found: list[Step] = []
    inside = False
    for number, line in enumerate(README.read_text("utf-8").splitlines(), 1):
        if line.startswith("```"):
            inside = line == "```console"
        elif inside and line.startswith("$ "):
            found.append(Step(number, line[2:], ()))
        elif inside:
            last = found[-1]
            found[-1] = Step(last.line, last.command, (*last.output, line))
    return found


def shape(line: str) -> str:
    """A line with what differs from book to book made equal."""
    line = re.sub(r"\b[0-9a-f]{12,64}\b", "<hash>", line)
    line = re.sub(r"\bshop-[0-9a-f]{8}\b", "<shop>", line)
    line = re.sub(r"\b20\d\d-\d\d-\d\d[ T]\d\d:\d\d(:\d\d)?(\.\d+)?(Z|\+00:00)?", "<time>", line)
    return line.rstrip()


def matches(shown: list[str], printed: list[str]) -> bool:
    """Whether the output that the README shows is the one printed, `…` taking any lines."""
    if not shown:
        return not printed
    if shown[0] == ANY:
        return any(matches(shown[1:], printed[skip:]) for skip in range(len(printed) + 1))
    return bool(printed) and shown[0] == printed[0] and matches(shown[1:], printed[1:])


def test_every_command_of_the_tour_prints_what_the_readme_shows(tmp_path: Path) -> None:
    tour = steps()
    assert len(tour) >= 8
    mark = "the-end-of-one-command"
    script = "\n".join(f"{step.command}\necho {mark} $?" for step in tour)
    scripts = sysconfig.get_path("scripts")
    env = environment(
        HOME=str(tmp_path), LOOMBOOK_NAME="tess", XDG_DATA_HOME=str(tmp_path / "data")
    )
    done = subprocess.run(
        ["bash", "-c", f"exec 2>&1\n{script}"],
        cwd=tmp_path,
        env={**env, "PATH": f"{scripts}:{env['PATH']}"},
        capture_output=True,
        text=True,
        check=False,
    )
    printed = re.split(rf"{mark} \d+\n", done.stdout)
    assert len(printed) == len(tour) + 1, done.stdout
    for step, output in zip(tour, printed, strict=False):
        shown = [shape(line) for line in step.output]
        said = [shape(line) for line in output.splitlines()]
        assert matches(shown, said), (
            f"README line {step.line}: `{step.command}` prints\n{output}\nand the README shows\n"
            + "\n".join(step.output)
        )


@pytest.mark.parametrize("mark", ["the main command", "the test command"])
def test_the_two_commands_are_marked(mark: str) -> None:
    """`.ci/run` takes the test command from the README, so it must be there to be taken."""
    assert re.search(rf"<!-- {mark} -->\n+```sh\n[^`]+```", README.read_text("utf-8"))


def test_every_picture_is_there() -> None:
    pictures = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README.read_text("utf-8"))
    assert pictures
    for picture in pictures:
        assert (ROOT / picture).is_file(), picture
