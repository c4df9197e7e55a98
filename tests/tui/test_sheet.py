"""The sheet: one file without script, everything escaped, two pages of paper, seen in Chromium."""

import copy
import re
import shutil
import subprocess
from collections.abc import Iterator
from html import escape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from kb.answers.papers import plan_job
from kb.documents.findings import Source
from kb.documents.reading import read_documents
from kb.plan.whole import WholePlan
from kb.shipped import shipped_book
from kb.store.book import Book, open_book
from kb.store.revisions import add_documents
from seed_data import documents
from tests.command import ROOT, assert_refused, loombook
from tests.tui.sheet_cells import cells_of
from tui.drawing.sheet import sheet_html, write_sheet

OPEN = ROOT / "tests/kb/plan/tarn-open.toml"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PDFTOPPM = shutil.which("pdftoppm")
needs_chromium = pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
JOBS = ("tarn-1187", "dapple-1210", "marl-1203", "sedge-1219")
HOSTILE = "</style><script>alert(1)</script>&\"'\x1b]52;c;x\x07\u202e"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    return shipped_book(tmp_path_factory.mktemp("book") / "book.db")


@pytest.fixture(scope="module")
def wholes(book: Book) -> Iterator[dict[str, WholePlan]]:
    (job,) = read_documents([Source(OPEN.name, OPEN.read_bytes(), "toml")]).documents
    with book.reading() as connection:
        found = {name: plan_job(connection, name) for name in JOBS}
        yield {**found, "tarn-open": plan_job(connection, job.content)}


class Tags(HTMLParser):
    """Collects tags and attributes; fails on tags that are left open."""

    VOID = ("meta", "input", "br")
    LOOSE = ("th", "li", "td")

    def __init__(self, text: str) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open[-1] != tag and self.open[-1] in self.LOOSE:
            self.open.pop()
        assert self.open and self.open.pop() == tag, f"</{tag}> closes nothing"


def test_one_file_without_script(wholes: dict[str, WholePlan]) -> None:
    for whole in wholes.values():
        page = Tags(sheet_html(whole))
        assert page.open == []
        tags = {tag for tag, _ in page.seen}
        assert not tags & {"script", "link", "img", "iframe", "object", "form"}
        for _, attributes in page.seen:
            assert not any(name.startswith("on") for name in attributes)
            assert not {"src", "href", "action"} & set(attributes)
        for svg in re.findall(r"<svg.*?</svg>", sheet_html(whole), re.DOTALL):
            ElementTree.fromstring(svg)


def test_what_a_technician_needs_stands_on_it_in_order(wholes: dict[str, WholePlan]) -> None:
    text = sheet_html(wholes["tarn-open"])
    order = [
        "tarn-open",
        "NOT VERIFIED",
        "<b>31 min</b> of panels",
        "FAULT",
        "the places of this plan",
        "quarter-l: part radio-28, lead J",
        "dash-facia, 22 min",
        "► chosen",
        "Channels (kit&#x27;s output setting 4 V)",
        "main fuse 60 A at the battery",
        "Take to the car",
        "Battery negative off first and on last",
        "A of main: door-fl, sail-l",
        "T: tap for centre, cut off the factory output",
        "Battery negative off, and held",
        "Channel 3: lead C of main, GN: door-rl; lead J of radio-28, WH/BN: quarter-l",
        "Panels back",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)
    assert text.count('type="checkbox"') > len(wholes["tarn-open"].steps)


def test_every_face_in_use_is_drawn_with_its_ways(wholes: dict[str, WholePlan]) -> None:
    text = sheet_html(wholes["tarn-open"])
    for connector, ways in {"A1": 8, "A2": 4, "R1": 6}.items():
        face = text[text.index(f'aria-label="face of {connector}"') :].split("</figure>")[0]
        assert face.count('stroke-width="3"') == ways
    assert "BU/YE" in text
    assert "not recorded: check the moulded numbers" in text


def hostile_book(folder: Path) -> Book:
    """The shipped example with hostile text in every free field that a sheet shows."""
    sources = [Source(f.name, f.read_bytes(), "toml") for f in documents()]
    found = []
    for document in read_documents(sources).documents:
        content = copy.deepcopy(document.content)
        if document.id == "halden-tarn-19-concert10":
            content["vehicle"]["audio"] = HOSTILE
            content["speaker"][-1]["keep"] = HOSTILE
            content["route"][0]["note"] = HOSTILE
            content["step"] = [{"do": HOSTILE, "when": HOSTILE, "caution": HOSTILE}]
            content["setting"] = [{"id": "S", "name": HOSTILE, "position": HOSTILE}]
        if document.id == "oku-b6":
            content["kit"]["name"] = content["kit"]["maker"] = HOSTILE
        if document.id == "vant-5-500":
            content["amplifier"]["name"] = HOSTILE
        found.append(type(document)(document.kind, document.id, content, document.source))
    book = open_book(folder / "hostile.db")
    with book.writing() as database:
        add_documents(database, found, author="tester")
    return book


def test_nothing_of_the_data_is_obeyed(tmp_path: Path) -> None:
    with hostile_book(tmp_path).reading() as connection:
        text = sheet_html(plan_job(connection, "tarn-1187"))
    assert "alert(1)" in text
    page = Tags(text)
    assert "script" not in {tag for tag, _ in page.seen}
    assert text.count("</style>") == 1
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e]", text)
    for svg in re.findall(r"<svg.*?</svg>", text, re.DOTALL):
        ElementTree.fromstring(svg)


def chromium(*arguments: str, cwd: Path) -> None:
    assert CHROMIUM is not None
    subprocess.run(
        [
            CHROMIUM,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            f"--user-data-dir={cwd / 'profile'}",
            *arguments,
        ],
        cwd=cwd,
        check=True,
        capture_output=True,
        timeout=120,
    )


def pages_of(pdf: Path) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf.read_bytes()))


@needs_chromium
@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_two_pages_on_paper(wholes: dict[str, WholePlan], tmp_path: Path, paper: str) -> None:
    for name in wholes:
        html = sheet_html(wholes[name])
        assert html.count("@page { margin") == 1
        sized = html.replace("@page { margin", f"@page {{ size: {paper}; margin")
        (tmp_path / "sheet.html").write_text(sized, "utf-8")
        chromium("--no-pdf-header-footer", "--print-to-pdf=sheet.pdf", "sheet.html", cwd=tmp_path)
        assert pages_of(tmp_path / "sheet.pdf") == 2


@needs_chromium
@pytest.mark.skipif(PDFTOPPM is None, reason="pdftoppm is not installed")
def test_greyscale_keeps_the_marks(wholes: dict[str, WholePlan], tmp_path: Path) -> None:
    """A grey print still has paper white and ink black, and is no blank page."""
    write_sheet(wholes["tarn-open"], tmp_path / "sheet.html")
    chromium("--no-pdf-header-footer", "--print-to-pdf=sheet.pdf", "sheet.html", cwd=tmp_path)
    assert PDFTOPPM is not None
    subprocess.run(
        [PDFTOPPM, "-gray", "-r", "50", "sheet.pdf", "page"], cwd=tmp_path, check=True, timeout=60
    )
    pictures = sorted(tmp_path.glob("page-*.pgm"))
    assert len(pictures) == 2
    for picture in pictures:
        pixels = picture.read_bytes().split(b"255\n", 1)[1]
        dark = sum(value < 96 for value in pixels) / len(pixels)
        assert 0.01 < dark < 0.4
        assert pixels.count(255) / len(pixels) > 0.5


@needs_chromium
@pytest.mark.parametrize("width", [500, 900])
def test_a_phone_needs_no_sideways_scrolling(
    wholes: dict[str, WholePlan], tmp_path: Path, width: int
) -> None:
    """The page measures itself in the browser."""
    html = sheet_html(wholes["tarn-open"])
    html = re.sub(r'<meta http-equiv="Content-Security-Policy".*?>', "", html)
    measure = "<script>document.title = 'wide ' + document.documentElement.scrollWidth</script>"
    (tmp_path / "sheet.html").write_text(html.replace("</body>", measure + "</body>"), "utf-8")
    assert CHROMIUM is not None
    done = subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
         f"--user-data-dir={tmp_path / 'profile'}", f"--window-size={width},900", "--dump-dom",
         "sheet.html"],
        cwd=tmp_path, check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    found = re.search(rb"<title>wide (\d+)</title>", done.stdout)
    assert found and int(found[1]) <= width


def measured_on_a_phone(whole: WholePlan, folder: Path, width: int, figures: str) -> list[float]:
    """Figures of the page `d`, laid out in a frame of that width, and last the frame's own."""
    html = re.sub(r'<meta http-equiv="Content-Security-Policy".*?>', "", sheet_html(whole))
    page = (
        f'<iframe width="{width}" height="900" frameborder="0" srcdoc="{escape(html)}"></iframe>'
        "<script>onload = () => { const d = document.querySelector('iframe').contentDocument;"
        f"document.title = [{figures}, d.documentElement.clientWidth].join(' ') }}</script>"
    )
    (folder / "frame.html").write_text(f"<title>x</title><body>{page}</body>", "utf-8")
    assert CHROMIUM is not None
    done = subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
         f"--user-data-dir={folder / 'profile'}", "--virtual-time-budget=3000", "--dump-dom",
         "frame.html"],
        cwd=folder, check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    found = re.search(rb"<title>([\d. ]+)</title>", done.stdout)
    assert found, done.stdout[:200]
    return [float(figure) for figure in found[1].split()]


@needs_chromium
def test_a_narrow_phone_shows_each_channel_whole(
    wholes: dict[str, WholePlan], tmp_path: Path
) -> None:
    figures = "d.documentElement.scrollWidth, d.querySelector('.channels').scrollWidth"
    whole, table, window = measured_on_a_phone(wholes["marl-1203"], tmp_path, 390, figures)
    assert whole <= window and table <= window


@needs_chromium
@pytest.mark.parametrize("width", [320, 390, 700])
def test_no_way_of_a_wide_plug_is_beyond_the_edge_or_too_small(
    wholes: dict[str, WholePlan], tmp_path: Path, width: int
) -> None:
    """Of the Marl's amplifier the last of 13 columns is live, and a lead on it is cut back."""
    assert cells_of(sheet_html(wholes["marl-1203"]), "A1")["13"] == ["live", "cut 10"]
    figures = (
        "Math.max(...[...d.querySelectorAll('.part')].map(p => p.getBoundingClientRect().right)),"
        "Math.min(...[...d.querySelectorAll('.part svg')].map(s => s.getBoundingClientRect().width"
        " / s.viewBox.baseVal.width))"
    )
    right, scale, window = measured_on_a_phone(wholes["marl-1203"], tmp_path, width, figures)
    assert right <= window and scale >= 0.8


def test_who_is_silent_what_is_fitted_and_the_note_stand_on_it(
    wholes: dict[str, WholePlan],
) -> None:
    text = sheet_html(wholes["tarn-1187"])
    assert "Everything but the centre goes onto the new amplifier" in text
    assert "centre: stays on its factory feed from radio, as the job asks" in text
    assert "door-fl: 4 Ω, 80 W" in text
    assert "roof: goes silent" in sheet_html(wholes["marl-1203"])


def test_faces_mark_leads_to_cut_back_and_live_ways(wholes: dict[str, WholePlan]) -> None:
    text = sheet_html(wholes["tarn-1187"])
    a1 = cells_of(text, "A1")
    assert all(a1[at] == ["live?", "cut E"] for at in ("8", "18"))  # not documented: like step 13
    assert cells_of(text, "R1")["1"] == ["live"]


def test_two_taps_on_one_face_are_told_apart(wholes: dict[str, WholePlan]) -> None:
    """Their poles stand side by side, so that a plus of one and a minus of the other look paired;
    and that a lead of the kit on the same way is cut back is not hidden by the tap."""
    text = sheet_html(wholes["sedge-1219"])
    v1 = cells_of(text, "V1")
    taps = {"1": "T1+", "10": "T1-", "2": "T2+", "9": "T2-", "6": "T3+", "15": "T3-"}
    assert {at: said[0] for at, said in v1.items() if said and said[0][0] == "T"} == taps
    assert v1["1"] == ["T1+", "WH/YE", "cut A"] and v1["9"] == ["T2-", "GY/BN", "cut A"]
    assert "T1: tap for door-fl · T2: tap for door-fr · T3: tap for door-rr" in text


def test_the_command_writes_a_whole_file_or_none(book: Book, tmp_path: Path) -> None:
    out = tmp_path / "sheet.html"
    ran = loombook("--db", book.path, "sheet", "tarn-1187", "-o", out)
    assert ran.status == 0, ran
    assert out.read_text("utf-8").endswith("</html>\n")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["sheet.html"]
    gone = loombook("--db", book.path, "sheet", "tarn-1187", "-o", tmp_path / "no" / "x.html")
    assert_refused(gone, "cannot be written")
    told = loombook("--db", book.path, "sheet", "dapple-1210", "-o", out)
    assert "load too low" in told.out


def test_the_file_asks_for_no_network(wholes: dict[str, WholePlan]) -> Any:
    text = sheet_html(wholes["marl-1203"])
    assert "default-src 'none'" in text
    assert not re.search(r"https?:|url\(|@import", text)
