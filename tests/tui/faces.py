"""Faces for tests: any shape that a document can record, and text that means harm."""

from __future__ import annotations

from hypothesis import strategies as st

from kb.answers.face import Face, Pin

HOSTILE = (
    "\x1b[31mred\x1b[0m",
    "</text><script>alert(1)</script>",
    "[/bold] [red]x",
    "a & b < c > \" '",
    "\u202ereversed",
    "line\nbreak\ttab\x07",
    "宽字符宽字符",
    "e\u0301\u0301\u0301\u0301\u0301",
    "x" * 90,
    "\x9b31m",
    "]]>",
    "\ufffe\uffff\ud800",
)

texts = st.sampled_from(HOSTILE) | st.text(min_size=1, max_size=30)
wires = st.sampled_from((None, "WH", "WH/RD", "GNYE", "TQ/BK", "VT/SR"))
circuits = st.sampled_from(("door-fl+", "sub.a-", "battery", "a-circuit-with-a-long-name-fl+"))


@st.composite
def faces(draw: st.DrawFn, *, hostile: bool = False, placed: bool = False) -> Face:
    """A face with any recorded shape; `placed`: one whose rows are recorded, counted from one."""
    ways = draw(st.integers(1, 104))
    rows = draw(st.integers(1, 6) if placed else st.none() | st.integers(1, 6))
    labels = draw(st.sampled_from(("numbers", "prefix") if placed else LABELS))
    positions = _positions(labels, ways, rows or 2)
    documented = draw(
        st.lists(st.sampled_from(positions), unique=True, max_size=20, min_size=int(placed))
    )
    carried = texts if hostile else circuits
    named = texts if hostile else st.sampled_from(("amp", "dash-centre", "HT-20"))
    return Face(
        vehicle=draw(named),
        connector=draw(named),
        plug=draw(named),
        unit=draw(st.none() | named),
        kind=draw(st.sampled_from(("amplifier", "in-line"))),
        place=draw(st.none() | named),
        ways=ways,
        rows=rows,
        numbering=draw(st.sampled_from((None, "rows", "columns"))),
        seen_from=draw(st.sampled_from((None, "wire", "mating"))),
        state=draw(st.sampled_from(("submitted", "verified"))),
        pins=tuple(
            Pin(
                at=at,
                circuits=draw(st.none() | st.lists(carried, max_size=4, unique=True).map(tuple)),
                wire=draw(wires),
                mm2=draw(st.none() | st.sampled_from((0.35, 2.5))),
                methods=tuple(draw(st.lists(st.sampled_from(("meter", "hearsay")), max_size=2))),
                disputed=draw(st.booleans()),
            )
            for at in documented
        ),
    )


LABELS = ("numbers", "prefix", "letters", "odd")


def _positions(labels: str, ways: int, rows: int) -> list[str]:
    if labels == "prefix":
        return [f"B{number}" for number in range(1, ways + 1)]
    if labels == "letters":
        columns = max(1, ways // rows)
        return [f"{letter}{n}" for letter in "ABCDEF"[:rows] for n in range(1, columns + 1)]
    if labels == "odd":
        return [f"L{number}x" for number in range(ways)]
    return [str(number) for number in range(1, ways + 1)]
