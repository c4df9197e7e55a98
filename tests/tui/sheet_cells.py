"""The cells of a face on a sheet, read back from where its texts stand."""

import re
from itertools import pairwise
from xml.etree import ElementTree

BOLD = 12  # px, as `svg .way` in sheet.css


def cells_of(sheet: str, connector: str) -> dict[str, list[str]]:
    """All texts of each cell of a drawn face, from the top: told apart by where they stand.

    Fails where a text stands in no cell, two of a cell stand on each other, or a cell is cut off.
    """
    parts = sheet.split(f'aria-label="face of {connector}">')[1].split("</figure>")[0]
    found: dict[str, list[str]] = {}
    for svg in re.findall(r"<svg.*?</svg>", parts):
        for lines in _cells(ElementTree.fromstring(svg)):
            for (above, *_), (below, anchor, _) in pairwise(lines):
                assert below - above >= BOLD or (below == above and anchor == "end"), lines
            way, *rest = [text for *_, text in lines]
            assert way not in found
            found[way] = rest
    return found


def _cells(drawing: ElementTree.Element) -> list[list[tuple[int, str, str]]]:
    """By cell, its texts from the top, each as its height, its anchor and itself."""
    left, _, wide, tall = map(float, drawing.get("viewBox", "").split())
    frames = [frame for frame in drawing.iter("rect") if frame.get("rx") == "3"]
    told: list[list[tuple[int, str, str]]] = [[] for _ in frames]
    for frame in frames:
        x, y, width, height = (float(frame.get(k, "")) for k in ("x", "y", "width", "height"))
        assert left < x and x + width < left + wide and y + height < tall
    for text in drawing.iter("text"):
        if text.get("class") == "tiny":
            continue
        x, y = int(text.get("x", "")), int(text.get("y", ""))
        (inside,) = [n for n, frame in enumerate(frames) if _holds(frame, x, y)]
        told[inside].append((y, text.get("text-anchor", ""), text.text or ""))
    # The way comes first among those of one line.
    return [sorted(lines, key=lambda line: line[0]) for lines in told]


def _holds(frame: ElementTree.Element, x: int, y: int) -> bool:
    left, top, width, tall = (float(frame.get(k, "")) for k in ("x", "y", "width", "height"))
    return left <= x <= left + width and top + 10 <= y <= top + tall - 2
