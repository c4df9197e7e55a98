"""The ways to a speaker that a path leaves out: another part of the kit, new wire, or a tap."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from kb.answers.pole_ways import PoleWay, of_pole, still_joined, ways_in_words

Way = Literal["part", "run", "tap"]
CUT_OFF = "cut the factory output off there: two outputs on one wire destroy each other"
CUT_OFF_ON_ALL = (
    "cut the factory output off on every one of these ways: two outputs on one wire destroy each "
    "other"
)


@dataclass(frozen=True)
class Joint:
    """One feed's two ways at the connector of a tap; a unit may have its poles on two of them.

    `plus_also` and `minus_also` are the further ways on which the factory output comes to the same
    pole: it must be cut off there too.
    """

    coil: str | None
    connector: str
    minus_connector: str
    plus: str
    minus: str
    plus_wire: str | None
    minus_wire: str | None
    plus_also: tuple[PoleWay, ...] = ()
    minus_also: tuple[PoleWay, ...] = ()

    @property
    def connectors(self) -> tuple[str, ...]:
        """The connector of each pole; one where both are on the same."""
        return tuple(dict.fromkeys((self.connector, self.minus_connector)))

    @property
    def also(self) -> tuple[PoleWay, ...]:
        """The further ways of both poles."""
        return (*self.plus_also, *self.minus_also)


@dataclass(frozen=True)
class Carrying:
    """An unchosen part that would carry a speaker; `intercepts` None: nobody wrote it down.

    `joined` are ways beside its leads' own on which the factory output would stay on the wire.
    """

    part: str
    leads: tuple[str, ...]
    reversed: bool
    intercepts: bool | None
    joined: tuple[PoleWay, ...] = ()


@dataclass(frozen=True)
class Fix:
    """One way to reach a speaker. None is an unknown: of a cost, of a place, of a wire colour.

    `leads` are those of the part, one for each feed; `shared_with` are the other speakers on the
    ways of a tap, which its cut takes off the factory output too. `cost_unknown`: what nobody
    recorded, where costs are counted and something of this one's is unknown.
    """

    way: Way
    part: str | None = None
    leads: tuple[str, ...] = ()
    reversed: bool = False
    to: str | None = None
    connector: str | None = None
    in_line: bool = False
    place: str | None = None
    joints: tuple[Joint, ...] = ()
    shared_with: tuple[str, ...] = ()
    warning: str | None = None
    panels: tuple[str, ...] | None = None
    minutes: float | None = None
    metres: float | None = None
    cost_unknown: str | None = None

    @property
    def connectors(self) -> tuple[str, ...]:
        """Every connector that a tap joins at."""
        return tuple(dict.fromkeys(name for joint in self.joints for name in joint.connectors))

    @property
    def also(self) -> tuple[PoleWay, ...]:
        """The further ways on which a tap must cut the factory output off."""
        return tuple(way for joint in self.joints for way in joint.also)

    @property
    def lead(self) -> str | None:
        """The part's lead for the first feed."""
        return self.leads[0] if self.leads else None


def fixes_for(
    ways: Mapping[str, Sequence[PoleWay]],
    speaker: str,
    place: str | None,
    carrying: Iterable[Carrying],
    *,
    stays: bool,
) -> tuple[Fix, ...]:
    """Every fix for one speaker: parts first, then new wire, then each connector for a tap.

    `ways` are those of every speaker of the vehicle. `stays`: the unit that feeds it stays in the
    car and keeps driving its wires.
    """
    fixes = [
        Fix(
            way="part",
            part=part.part,
            leads=part.leads,
            reversed=part.reversed,
            warning=_stays_joined(part) if stays else None,
        )
        for part in carrying
    ]
    fixes.append(Fix(way="run", to=place))
    fixes += taps(ways, speaker)
    return tuple(fixes)


def _stays_joined(part: Carrying) -> str | None:
    """What must be cut where the part does not part the factory output from its wire."""
    also = f"cut the factory output off on {ways_in_words(part.joined)}" if part.joined else ""
    reason = "two outputs on one wire destroy each other"
    if part.intercepts:
        return f"it leaves the output joined by a second way: {also}: {reason}" if also else None
    also = f"; in any case {also}" if also else ""
    if part.intercepts is None:
        return f"nobody recorded whether it opens the factory wire: if not, {CUT_OFF}{also}"
    return f"it only listens: {CUT_OFF}{also}"


def taps(ways: Mapping[str, Sequence[PoleWay]], speaker: str) -> list[Fix]:
    """The connectors at which both poles of every feed can be joined, the feeding unit's first.

    Where a unit has the poles on several of its connectors, one tap is spread over them.
    """
    own = ways.get(speaker, ())
    coils = sorted({way.coil for way in own}, key=lambda coil: coil or "")
    found = []
    for connector in dict.fromkeys(way.connector for way in own):
        here = [way for way in own if way.connector == connector]
        joints = [_joint(here, own, coil) for coil in coils]
        if all(joints):
            found.append(_tap(ways, speaker, here[0], joints))
    if not any(not fix.in_line for fix in found):
        at_unit = [way for way in own if not way.in_line]
        joints = [_joint(at_unit, own, coil) for coil in coils]
        if all(joints) and joints:
            found.insert(0, _tap(ways, speaker, at_unit[0], joints))
    return found


def _joint(
    here: Sequence[PoleWay], everywhere: Sequence[PoleWay], coil: str | None
) -> Joint | None:
    """The first way of each pole among `here`; None where one pole is not among them."""
    plus, minus = of_pole(here, coil, "+"), of_pole(here, coil, "-")
    if not plus or not minus:
        return None
    return Joint(
        coil=coil,
        connector=plus[0].connector,
        minus_connector=minus[0].connector,
        plus=plus[0].at,
        minus=minus[0].at,
        plus_wire=plus[0].wire,
        minus_wire=minus[0].wire,
        plus_also=still_joined(of_pole(everywhere, coil, "+"), (plus[0].spot,)),
        minus_also=still_joined(of_pole(everywhere, coil, "-"), (minus[0].spot,)),
    )


def _tap(
    ways: Mapping[str, Sequence[PoleWay]],
    speaker: str,
    at: PoleWay,
    joints: Sequence[Joint | None],
) -> Fix:
    whole = tuple(joint for joint in joints if joint is not None)
    cut = {(joint.connector, joint.plus) for joint in whole}
    cut |= {(joint.minus_connector, joint.minus) for joint in whole}
    cut |= {way.spot for joint in whole for way in joint.also}
    return Fix(
        way="tap",
        connector=at.connector,
        in_line=at.in_line,
        place=at.place,
        joints=whole,
        shared_with=tuple(
            sorted(
                other
                for other, theirs in ways.items()
                if other != speaker and any(way.spot in cut for way in theirs)
            )
        ),
        warning=CUT_OFF_ON_ALL if any(joint.also for joint in whole) else CUT_OFF,
    )
