"""Every gate of the project, run by the one test command: format, lint, types, layers, layout."""

import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SCRIPTS = Path(sysconfig.get_path("scripts"))
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "kb",
    "grammar",
    "tui",
    "tests",
    "seed_data",
}


@pytest.mark.parametrize(
    "gate",
    [
        "ruff format --check .",
        "ruff check .",
        "mypy",
        "lint-imports --no-cache",
    ],
)
def test_gate(gate: str) -> None:
    name, *arguments = gate.split()
    program = shutil.which(name, path=str(SCRIPTS)) or shutil.which(name)
    assert program, f"{name} is not installed: pip install -e '.[test]'"
    done = subprocess.run(
        [program, *arguments], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def tracked() -> list[Path]:
    """Files of the project: git's, or in an unpacked archive all that are there."""
    if (ROOT / ".git").exists() and shutil.which("git"):
        done = subprocess.run(
            ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
        )
        return [Path(name) for name in done.stdout.split("\0") if name and (ROOT / name).exists()]
    return [path.relative_to(ROOT) for path in ROOT.rglob("*") if path.is_file()]


def test_the_top_level_is_the_one_of_the_design() -> None:
    entries = {path.parts[0] for path in tracked()}
    beyond = {name for name in entries - TOP_LEVEL if not name.startswith((".", "LICENSE"))}
    assert beyond == set()


def test_no_machine_path_and_no_registry_host() -> None:
    words = ["/wor" + "k/", "/ro" + "ot/", "python" + "hosted", "pyp" + "i.org", "npm" + "js"]
    found = [
        (str(path), word)
        for path in tracked()
        if path.suffix in {".py", ".md", ".toml", ".lark", ".sql", ".tcss", ".txt", ""}
        for word in words
        if word in (ROOT / path).read_text("utf-8", errors="replace")
    ]
    assert found == []


@pytest.mark.parametrize(
    ("command", "heavy"),
    [
        ("tui.commands.runs", {"pydantic", "textual", "scipy", "sqlite_utils", "lark"}),
        ("tui.main", {"pydantic", "textual", "scipy", "sqlite_utils", "lark", "sqlite3"}),
        ("kb.answers.runs", {"pydantic", "textual", "scipy", "sqlite_utils", "tree_sitter"}),
    ],
)
def test_a_command_imports_only_what_it_uses(command: str, heavy: set[str]) -> None:
    """In a clean process: what is really imported, not what the source seems to say."""
    code = f"import sys, {command}; print(*sorted({heavy!r} & set(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == []
