"""The one door through which text reaches a widget: cleaned, and never parsed as markup.

Textual parses a bare string as markup, so `[/oops]` in a note would end the app, and it lets
escape sequences through. Everything here returns `Content`, made from cleaned letters and styles
of our own; a test makes a bare string in any widget fail.
"""

from __future__ import annotations

from collections.abc import Iterable

from textual.content import Content

from kb.documents.colours import LETTERS
from tui.clean import clean
from tui.drawing.pieces import Line, Style
from tui.ink import Ink

ROLES: dict[str, str] = {
    "plain": "",
    "bold": "bold",
    "faint": "$faint",
    "title": "bold $accented",
    "flag": "bold $flag",
    "shout": "bold reverse $shout on $shout-text",
    "partial": "bold $partial",
    "unknown": "bold $unknown",
    "fine": "$fine",
    "key": "bold $accented",
    "banner": "bold reverse $accented on $background",
    "lit": "bold reverse $lit on $lit-text",
    "caution": "$unknown",
    "frame": "$frame",
}
"""What a text is -> how it looks, in the theme's own colours (tui/browser/themes.py).

What must stand out is reversed, so that it still does where no colour is shown.
"""

OUTCOME_ROLES = {
    "left out": "flag",
    "partial": "partial",
    "reversed": "partial",
    "unknown": "unknown",
    "carried": "fine",
}

_PIECES: dict[Style, str] = {
    Style.PLAIN: "plain",
    Style.TITLE: "bold",
    Style.SIDE: "key",
    Style.CAUTION: "caution",
    Style.FRAME: "frame",
    Style.FAINT: "faint",
    Style.POSITION: "bold",
    Style.CIRCUIT: "plain",
    Style.COLOUR: "plain",
    Style.LIT: "lit",
    Style.EMPTY: "faint",
    Style.UNKNOWN: "unknown",
    Style.FLAG: "flag",
    Style.PARTIAL: "partial",
    Style.FINE: "fine",
}

# What a wire looks like; a picture beside the words, never instead of them.
SWATCHES = {
    "BK": "#3d3d3d",
    "BN": "#7a4a21",
    "RD": "#d02020",
    "OG": "#f07d10",
    "YE": "#f2d21b",
    "GN": "#1f9a3d",
    "BU": "#2458d0",
    "VT": "#7d35b5",
    "GY": "#8a8f94",
    "WH": "#f5f5f5",
    "PK": "#f29ab8",
    "GD": "#c9a227",
    "TQ": "#2bc4c0",
    "SR": "#c4c9ce",
    "GNYE": "#9fc21e",
}


def shown(text: object, role: str = "plain") -> Content:
    """Cleaned text in one role; a line break becomes a mark."""
    return Content.styled(clean(text), ROLES[role])


def row(*parts: Content | tuple[object, str] | str) -> Content:
    """Several texts on one line."""
    return Content.assemble(*(_content(part) for part in parts))


def lines(many: Iterable[Content]) -> Content:
    """Several lines, one below the other."""
    return Content("\n").join(many)


def flow(
    items: Iterable[Content], width: int, *, gap: str = "  ", indent: str = "  "
) -> list[Content]:
    """Items in lines of at most `width` columns: a line breaks between two items, never within
    one, and goes on under an indent. An item that alone is wider keeps a line to itself.
    """
    made: list[Content] = []
    for item in items:
        if made and made[-1].cell_length + len(gap) + item.cell_length <= width:
            made[-1] = row(made[-1], gap, item)
        else:
            made.append(row(indent, item) if made else item)
    return made


def drawn(line: Line) -> Content:
    """A line of a drawing in this browser's colours."""
    return Content.assemble(
        *(Content.styled(piece.text, ROLES[_PIECES[piece.style]]) for piece in line)
    )


class PageInk(Ink):
    """Paints the pages that commands print, so that `from_page` can show them here.

    Cleaned text holds no escape, so the escapes found in a page are this ink's own.
    """

    def __init__(self) -> None:
        super().__init__(colour=True)

    def __call__(self, style: str, text: str) -> str:
        return f"\x1b{style}\x1c{text}\x1b\x1c"


_PAGE_ROLES = {
    "plain": "plain",
    "bold": "bold",
    "dim": "faint",
    "shout": "banner",  # on a page it is the headline, of good news too
    "good": "fine",
    "warn": "caution",
    "bad": "flag",
    "bad bold": "flag",
    "heading": "bold",
}


def from_page(page: Iterable[str]) -> Content:
    """Lines made with `PageInk`, in this browser's colours."""
    return lines(_painted(line) for line in page)


def _painted(line: str) -> Content:
    parts: list[Content] = []
    role = "plain"
    for piece in line.split("\x1b"):
        style, mark, text = piece.partition("\x1c")
        if mark:
            role = _PAGE_ROLES.get(style, "plain")
        parts.append(shown(text if mark else piece, role))
    return Content.assemble(*parts)


def swatch(wire: str | None) -> Content:
    """Base and stripe as three coloured cells; empty where nobody wrote the colour down."""
    codes = [code for code in (wire or "").split("/") if code in LETTERS]
    if not codes:
        return Content("   ")
    base, stripe = (f"{SWATCHES[code]} on {SWATCHES[code]}" for code in (codes[0], codes[-1]))
    return Content.assemble((" ", base), (" ", stripe), (" ", base))


def _content(part: Content | tuple[object, str] | str) -> Content:
    if isinstance(part, Content):
        return part
    if isinstance(part, str):
        return shown(part)
    return shown(*part)
