"""A way to a speaker in words: the part, the tap with its joints, the new run.

One home, because the page of `runs`, the plan, its sheet and the browser say the same joint.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from kb.answers.fixes import Fix, Joint
from kb.answers.pole_ways import PoleWay
from kb.documents.colours import read_colour


def wire_in_words(wire: str | None) -> str:
    """Code and word: `OG/BK orange/black`; a colour that nobody wrote down is unknown."""
    return "colour unknown" if wire is None else f"{wire} {read_colour(wire).words}"


def way_in_words(at: str | None, wire: str | None) -> str:
    """A way and its wire: `11 YE/BU yellow/blue`."""
    return "? not documented" if at is None else f"{at} {wire_in_words(wire)}"


def also_in_words(ways: Iterable[PoleWay], connector: str | None) -> str:
    """Further ways of a pole: ` and 18 OG/YE`, ` and V2 3 OG/YE` on another connector."""
    return "".join(
        f" and {'' if way.connector == connector else f'{way.connector} '}"
        f"{way_in_words(way.at, way.wire)}"
        for way in ways
    )


def joint_in_words(joint: Joint, named: Collection[str | None]) -> str:
    """All ways of one coil; a connector is said where the sentence has not named it alone."""
    coil = f"coil {joint.coil} " if joint.coil else ""
    said = set(named) if len(set(named)) == 1 else set()
    plus_at = "" if joint.connector in said else f"{joint.connector} "
    minus_at = "" if joint.minus_connector in said else f"{joint.minus_connector} "
    return (
        f"{coil}+ {plus_at}{way_in_words(joint.plus, joint.plus_wire)}"
        f"{also_in_words(joint.plus_also, joint.connector)}, "
        f"- {minus_at}{way_in_words(joint.minus, joint.minus_wire)}"
        f"{also_in_words(joint.minus_also, joint.minus_connector)}"
    )


def chosen_fix_in_words(speaker: str, fix: Fix) -> str:
    """The way that a plan takes to a speaker, without its costs, which the plan adds up."""
    if fix.way == "part":
        return f"{speaker}: {_part_in_words(fix)}"
    if fix.way == "run":
        return f"{speaker}: a run of new wire to {fix.to}"
    joints = "; ".join(joint_in_words(joint, fix.connectors) for joint in fix.joints)
    all_ways = "; cut off and insulate every way named, join one of each pole" if fix.also else ""
    return f"{speaker}: a tap at {' and '.join(fix.connectors)}: {joints}{all_ways}"


def _part_in_words(fix: Fix) -> str:
    leads = f"lead{'s' if len(fix.leads) > 1 else ''} {' and '.join(fix.leads)}"
    swapped = ", its plus and minus swapped" if fix.reversed else ""
    return f"part {fix.part}, {leads}{swapped}"


def fix_in_words(fix: Fix) -> str:
    """One way to a speaker, with what it costs where that is known."""
    return f"{fix_name(fix)}{fix_detail(fix)}{_cost(fix)}"


def fix_name(fix: Fix) -> str:
    """Which way it is: the part with its leads, the place of the tap, the end of the run."""
    if fix.way == "part":
        return _part_in_words(fix)
    if fix.way == "run":
        return f"a run of new wire to {fix.to or 'its place, which is not recorded'}"
    place = f" ({fix.place})" if fix.place else ""
    return f"a tap {'in line at' if fix.in_line else 'at'} {fix.connector}{place}"


def fix_detail(fix: Fix) -> str:
    """What must be known to do it safely, from the joining mark on; empty where that is nothing."""
    if fix.way == "part":
        return f"; {fix.warning}" if fix.warning else ""
    if fix.way == "run":
        return ""
    joints = "; ".join(joint_in_words(joint, (fix.connector,)) for joint in fix.joints)
    where = "on every one of these ways, and join one of each pole" if fix.also else "there"
    said = f": {joints}; cut the factory output off {where}"
    if fix.shared_with:
        said += f", which takes {' and '.join(fix.shared_with)} off it too"
    return said


def unknown_cost(fix: Fix) -> str:
    """`cost unknown: no route is recorded from door-rear-left`; empty where all of it is known."""
    if fix.cost_unknown is None:
        return ""
    what = "cost" if fix.metres is None else "minutes"
    return f"{what} unknown: {fix.cost_unknown}"


def _cost(fix: Fix) -> str:
    if fix.metres is None:
        return f" [{unknown_cost(fix)}]" if fix.cost_unknown else ""
    minutes = unknown_cost(fix) if fix.minutes is None else f"{fix.minutes:g} min"
    apart = "; " if fix.cost_unknown else ", "
    return f" [{minutes}{apart}{fix.metres:g} m]"
