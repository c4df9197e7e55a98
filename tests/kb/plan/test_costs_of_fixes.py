"""What each fix that `runs` names would cost: minutes and metres from the amplifier's place."""

from typing import Any

import pytest

from kb.answers.papers import with_costs_from
from kb.answers.runs import runs
from kb.errors import Refused

CONCERT = "halden-tarn-19-concert10"


def test_costs_of_each_fix_in_runs(connection: Any) -> None:
    answer = with_costs_from(connection, runs(connection, CONCERT, "oku-b6"), "seat-front-left")
    costs = {
        (s.speaker, fix.way): (fix.minutes, fix.metres) for s in answer.speakers for fix in s.fixes
    }
    assert costs == {
        ("quarter-l", "part"): (28, 1.4),
        ("quarter-l", "run"): (28, 2.6),
        ("quarter-l", "tap"): (28, 1.4),
        ("quarter-r", "part"): (28, 1.4),
        ("quarter-r", "run"): (28, 3.8),
        ("quarter-r", "tap"): (28, 1.4),
        ("centre", "run"): (32, 1.9),
        ("centre", "tap"): (28, 1.4),
    }
    with pytest.raises(Refused, match="seat-front-left"):
        with_costs_from(connection, answer, "seat-front-lft")


def test_unknown_routes_are_never_zero(connection: Any) -> None:
    """No route of the Orrin leads to its parking module: from there no cost is claimed."""
    answer = runs(connection, "brask-orrin-17-van4", "oku-b6")
    costed = with_costs_from(connection, answer, "dash-lower-left")
    fixes = [fix for s in costed.speakers for fix in s.fixes]
    assert fixes
    elsewhere = [fix for fix in fixes if "dash-lower-left" not in (fix.to, fix.place)]
    assert {(fix.minutes, fix.metres) for fix in elsewhere} == {(None, None)}
