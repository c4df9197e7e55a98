"""Make the README's pictures from the real command: `python -m tests.pictures` (needs Chromium).

Not a test: it is run by hand when a screen has changed, and what it makes is looked at.
"""

import html
import os
import pty
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.text import Text

from kb.shipped import shipped_book
from tests.command import ROOT, environment

PICTURES = ROOT / ".pictures"
COLUMNS = 80
CELL_WIDTH, CELL_HEIGHT = 8.43, 18  # of 14 px DejaVu Sans Mono, as Chromium draws it
NORMAL = [(60, 64, 72), (240, 110, 110), (120, 200, 120), (230, 190, 90)]
NORMAL += [(110, 160, 240), (200, 140, 220), (100, 200, 200), (216, 219, 226)]
SHADES = TerminalTheme((22, 24, 29), (216, 219, 226), NORMAL, NORMAL)
PAGE = """<!doctype html><meta charset="utf-8"><style>
body {{ margin: 0; background: #16181d; color: #d8dbe2; }}
pre {{ margin: 16px; font: 14px/{height}px "DejaVu Sans Mono", monospace; }}
.command {{ color: #8ab4f8; }}
</style><pre><span class="command">$ {command}</span>\n{output}</pre>"""


def coloured_output(command: str, book: Path, columns: int) -> str:
    """What the command prints on a terminal that shows colour."""
    env = environment(LOOMBOOK_DB=str(book), COLUMNS=str(columns), TERM="xterm-256color")
    env.pop("NO_COLOR")
    parts = [sys.executable, "-m", "tui", *command.split()[1:]]
    master, slave = pty.openpty()
    with subprocess.Popen(parts, stdout=slave, stderr=slave, cwd=ROOT, env=env):
        os.close(slave)
        chunks = []
        try:
            while chunk := os.read(master, 65536):
                chunks.append(chunk)
        except OSError:
            pass  # the other end of a terminal closes with an error, not with an end of file
    os.close(master)
    text = b"".join(chunks).decode().replace("\r\n", "\n").rstrip("\n")
    # The exporter does not swap a terminal's default colours: say what reversed looks like.
    return text.replace("\x1b[1;7m", "\x1b[1;30;47m")


def as_html(output: str) -> tuple[str, int]:
    """Terminal output as HTML, and how many lines it has."""
    console = Console(record=True, width=200, file=open(os.devnull, "w"))  # noqa: SIM115, PTH123
    console.print(Text.from_ansi(output), soft_wrap=True)
    code = console.export_html(theme=SHADES, inline_styles=True, code_format="{code}")
    return code.rstrip("\n"), output.count("\n") + 2


def screenshot(page: str, width: int, height: int, target: Path) -> None:
    """Draw an HTML page to a PNG with headless Chromium."""
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "page.html"
        source.write_text(page, "utf-8")
        chromium(f"--window-size={width},{height}", f"--screenshot={target}", source.as_uri())


def chromium(*arguments: str) -> None:
    """Headless Chromium with a profile of its own that asks the network for nothing."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        raise SystemExit("The pictures need Chromium (Debian's package chromium).")
    with tempfile.TemporaryDirectory() as profile:
        usual = ["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"]
        usual += ["--disable-background-networking", f"--user-data-dir={profile}"]
        subprocess.run([program, *usual, *arguments], check=True, capture_output=True)


def run_here(*arguments: str) -> None:
    """The command as a process, its output thrown away."""
    program = [sys.executable, "-m", "tui", *arguments]
    subprocess.run(program, cwd=ROOT, env=environment(), check=True, capture_output=True)


def picture(name: str, command: str, book: Path, columns: int = COLUMNS) -> None:
    """One command and its output as PICTURES/name.png."""
    output = coloured_output(command, book, columns)
    code, lines = as_html(output)
    page = PAGE.format(height=CELL_HEIGHT, command=html.escape(command), output=code)
    width = int(columns * CELL_WIDTH) + 32
    screenshot(page, width, lines * CELL_HEIGHT + 32, PICTURES / f"{name}.png")


def sheet(name: str, job: str, book: Path, folder: Path) -> None:
    """The first page of a printed sheet as PICTURES/name.png."""
    page, paper = folder / "sheet.html", folder / "sheet.pdf"
    run_here("--db", str(book), "sheet", job, "-o", str(page))
    chromium("--no-pdf-header-footer", f"--print-to-pdf={paper}", page.as_uri())
    target = PICTURES / name
    arguments = ["-png", "-singlefile", "-r", "72", str(paper), str(target)]
    subprocess.run(["pdftoppm", *arguments], check=True)


def browser(name: str, approved: str) -> None:
    """A screen of the browser as PICTURES/name.png, from the approved picture that tests hold."""
    drawn = (ROOT / "tests/tui/browser/pictures" / approved).read_text("utf-8").rstrip("\n")
    code, lines = as_html(drawn)
    page = PAGE.format(height=CELL_HEIGHT, command="loombook browse", output=code)
    width = int(80 * CELL_WIDTH) + 32
    screenshot(page, width, lines * CELL_HEIGHT + 32, PICTURES / f"{name}.png")


def main() -> None:
    """Make them all."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        book = shipped_book(Path(folder) / "book.db").path
        picture("runs", "loombook runs halden-tarn-19-concert10 --kit oku-b6", book)
        face = ("face", "halden-tarn-19-concert10", "R1", "--way", "11,25")
        run_here("--db", str(book), *face, "-o", str(PICTURES / "face.svg"))
        sheet("sheet", "tarn-1192", book, Path(folder))
        browser("browser", "vehicle-80x24-dark.ansi")


if __name__ == "__main__":
    main()
