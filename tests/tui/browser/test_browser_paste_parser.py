"""Nothing that is pasted counts as a key, wherever the terminal's bytes are cut."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from textual.events import Key, Paste
from textual.message import Message

from tui.browser.paste_parser import PasteParser
from tui.clean import MARK

START, END, ESC = "\x1b[200~", "\x1b[201~", "\x1b"
EVIL = f"evil {ESC}]52;c;aGk=\x07 and {ESC}[A{ESC}[31m\rsecond line"


def messages(*pieces: str) -> list[Message]:
    parser = PasteParser()
    return [message for piece in pieces for message in parser.feed(piece)]


def told(found: list[Message]) -> list[str]:
    return [m.text if isinstance(m, Paste) else m.key for m in found if isinstance(m, Paste | Key)]


def test_a_paste_with_escapes_is_one_paste() -> None:
    assert told(messages(f"a{START}{EVIL}{END}b")) == ["a", EVIL.replace(ESC, MARK), "b"]


def test_keys_outside_are_keys_at_once() -> None:
    parser = PasteParser()
    assert told(list(parser.feed("\x1b[A"))) == ["up"]
    assert told(list(parser.feed("x\r"))) == ["x", "enter"]
    assert told(list(parser.feed(ESC))) == []  # Textual waits for what may follow
    assert told(list(parser.feed("[B"))) == ["down"]


@given(st.text(st.sampled_from(f"ab{ESC}[201~\r"), max_size=20), st.data())
def test_however_it_is_cut(text: str, data: st.DataObject) -> None:
    text = text.replace(END, "")
    stream = f"{START}{text}{END}y{START}z{END}"
    cuts = sorted(data.draw(st.sets(st.integers(1, len(stream) - 1), max_size=6)))
    pieces = [stream[a:b] for a, b in zip([0, *cuts], [*cuts, len(stream)], strict=True)]
    if END in text + END[:-1]:
        return
    assert told(messages(*pieces)) == [text.replace(ESC, MARK), "y", "z"]
