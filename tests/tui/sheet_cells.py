"""The cells of a face on a sheet, read back from where its texts stand."""

from itertools import pairwise
from xml.etree import ElementTree

BOLD = 12  # px, as `svg .way` in sheet.css


def cells_of(sheet: str, connector: str) -> dict[str, list[str]]:
    """All texts of each cell of a drawn face, from the top: told apart by where they stand.

    Fails where a text stands in no cell, or two of a cell stand on each other.
    """
    svg = "<svg" + sheet.split(f'aria-label="face of {connector}"')[0].rpartition("<svg")[2]
    svg += f'aria-label="face of {connector}"' + sheet.split(f'aria-label="face of {connector}"')[1]
    drawing = ElementTree.fromstring(svg.split("</svg>")[0] + "</svg>")
    frames = [r for r in drawing.iter("rect") if r.get("rx") == "3"]
    told: list[list[tuple[int, str, str]]] = [[] for _ in frames]
    for text in drawing.iter("text"):
        if text.get("class") == "tiny":
            continue
        x, y = int(text.get("x", "")), int(text.get("y", ""))
        (inside,) = [n for n, frame in enumerate(frames) if _holds(frame, x, y)]
        told[inside].append((y, text.get("text-anchor", ""), text.text or ""))
    found = {}
    for lines in told:
        lines.sort(key=lambda line: line[0])  # the way comes first among those of one line
        for (above, *_), (below, anchor, _) in pairwise(lines):
            assert below - above >= BOLD or (below == above and anchor == "end"), lines
        way, *rest = [text for *_, text in lines]
        found[way] = rest
    return found


def _holds(frame: ElementTree.Element, x: int, y: int) -> bool:
    left, top, width, tall = (float(frame.get(k, "")) for k in ("x", "y", "width", "height"))
    return left <= x <= left + width and top + 10 <= y <= top + tall - 2
