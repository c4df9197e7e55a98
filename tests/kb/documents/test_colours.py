"""What is no colour, and what to write instead; the colours themselves are in tests/outside."""

from __future__ import annotations

import pytest

from kb.documents.colours import UnreadableColour, read_colour


def test_a_question_mark_is_told_to_be_left_out() -> None:
    """As screens show a colour that nobody wrote."""
    with pytest.raises(UnreadableColour, match="leave the colour out where nobody knows it"):
        read_colour("?")
