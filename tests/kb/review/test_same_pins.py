"""Whether pins that were read are documented now as they were then."""

import pytest

from kb.answers.entries import Answering
from kb.errors import Refused
from kb.review.same_pins import must_be_the_same, must_be_told_the_same
from kb.review.touched import Touched, TouchedPin


def touched(hash: str, wire: str) -> Touched:
    vehicle = Answering(1, "vehicle", "a-car", "submitted", hash, "tom", "shop", False, 0)
    pins = (TouchedPin("A1", "1", True, "door-l+", "WH"), TouchedPin("A1", "2", True, "x", wire))
    return Touched("a-job", vehicle, pins)


def test_what_was_read_must_be_told_the_same() -> None:
    then, now = touched("aa", "RD"), touched("bb", "VT")
    must_be_the_same(then, then)
    with pytest.raises(Refused, match="Another revision of the vehicle answers"):
        must_be_the_same(now, then)
    must_be_told_the_same(now, then, ["A1.1"])
    with pytest.raises(Refused, match=r"tells A1\.2 otherwise; nothing was stored"):
        must_be_told_the_same(now, then, ["A1.1", "A1.2"])
