"""Text on its way into the sheet: cleaned of controls, then escaped for HTML and SVG alike.

It stands alone so that no other module of the sheet ever writes a string of the data raw.
"""

from __future__ import annotations

import re
from html import escape

from tui.clean import MARK, clean

_NO_XML = re.compile("[\ufffe\uffff]")


def escaped(text: object) -> str:
    """`text` on one line, with nothing in it that a browser would obey."""
    return escape(_NO_XML.sub(MARK, clean(text)), quote=True)
