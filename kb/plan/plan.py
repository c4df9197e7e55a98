"""The plan of a job: every part of it worked out once, for every screen and sheet that shows it.

`make_plan` binds the papers of a job to the computing modules in the order in which their results
feed each other. It decides nothing that they do not.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from kb.answers.duties import duties_in_words
from kb.answers.factory_cuts import FactoryCut, factory_cuts
from kb.answers.papers import Papers
from kb.answers.runs import Runs, SpeakerAnswer
from kb.plan.allocation import Allocation, suggest
from kb.plan.alternatives import Alternative, Wishes, alternatives, apply_wishes
from kb.plan.channels import ChannelPlan, Drive, Played, Rating, plan_channel
from kb.plan.conductors import Material
from kb.plan.fates import PLAYING, Fate, fates_of, keeps_feed_if_silent
from kb.plan.leftovers import CutBack, FitLoad, Keep, cut_back, keeps, loads_to_fit
from kb.plan.network import Walk
from kb.plan.objections import (
    bad_allocation,
    check_names,
    cut_with_another,
    fitted_coils,
    no_output,
    swapped_poles,
    too_few_outputs,
    untold_coils,
    way_out,
    work_for_nothing,
)
from kb.plan.pairs import Pair, along_with, pairs_of
from kb.plan.places import flagged, in_engine_bay, misplaced, module_walk
from kb.plan.power import InputLevel, input_level
from kb.plan.reach import Reach, choose
from kb.plan.signal import LineOutput, SignalLead, route_signal, turn_on_note
from kb.plan.speaker_wire import SpeakerWire, speaker_wires
from kb.plan.supply import Supply, SupplyNeeds, plan_supply
from kb.plan.why import Why
from kb.plan.wiring import CARRIED, Vehicle, Wiring, wiring_of


@dataclass(frozen=True)
class Limits:
    """What common practice leaves to the person: material, insulation, drop, wire's share."""

    material: Material = "copper"
    insulation: int = 80
    most_drop: float = 0.5
    wire_share: float = 0.05


@dataclass(frozen=True)
class Plan:
    """Everything that goes to the car. Figures that rest on an unknown are None, and said so."""

    papers: Papers
    runs: Runs
    wiring: Wiring
    reach: Reach
    pairs: tuple[Pair, ...]
    fates: Mapping[str, Fate]
    others: tuple[Alternative, ...]
    played: Mapping[str, Played]
    channels: tuple[ChannelPlan, ...]
    suggestion: Allocation | None
    undriven: tuple[str, ...]
    keep_feed: tuple[str, ...]
    signal: tuple[SignalLead, ...]
    signal_walk: Walk | None
    turn_on: str
    input: InputLevel
    supply: Supply
    speaker_wire: tuple[SpeakerWire, ...]
    cut_back: tuple[CutBack, ...]
    factory_cuts: tuple[FactoryCut, ...]
    loads: tuple[FitLoad, ...]
    keep: tuple[Keep, ...]
    warnings: tuple[str, ...]
    wrong_places: tuple[str, ...] = ()
    limits: Limits = field(default_factory=Limits)
    wished: bool = False

    @property
    def job(self) -> str:
        """The job's id."""
        return str(self.papers.job["job"]["id"])

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle's places."""
        return Vehicle(self.papers.vehicle)

    @property
    def out_of_reach(self) -> tuple[str, ...]:
        """Speakers that nothing documented reaches, from a place that some route leaves."""
        return () if self.wiring.task.off_the_routes else self.reach.unreachable

    @property
    def signal_metres(self) -> float | None:
        """How long each line lead is, from the kit's first plug to the amplifier; None: unknown."""
        return None if self.signal_walk is None else self.signal_walk.metres

    @property
    def reversed(self) -> tuple[str, ...]:
        """Playing speakers whose lead has plus and minus swapped."""
        silent = self.papers.job["job"].get("silent", ())
        return tuple(
            s.speaker
            for s in self.runs.speakers
            if s.outcome == "reversed" and s.speaker not in silent
        )

    @property
    def by_named_parts(self) -> tuple[SpeakerAnswer, ...]:
        """Playing speakers that come over on a choice part which the job itself names."""
        silent = self.papers.job["job"].get("silent", ())
        choice = {row["id"] for row in self.papers.kit.get("part", ()) if row["use"] == "choice"}
        return tuple(
            s
            for s in self.papers.runs.speakers
            if s.outcome in CARRIED and s.part in choice and s.speaker not in silent
        )

    @property
    def faults(self) -> tuple[str, ...]:
        """What must be put right before the work begins, in plain words."""
        return (
            *self.wrong_places,
            *(
                f"part {part} does not plug in here: none of its plugs is in this vehicle"
                for part in self.runs.does_not_plug_in
            ),
            *(contest.said() for contest in self.runs.contests if len(contest.parts) > 1),
            *(
                f"channel {c.channel}: {c.fault}, {c.lowest_ohms:.3g} Ω where "
                f"{c.min_ohms:g} Ω is the least"
                for c in self.channels
                if c.fault and c.lowest_ohms is not None
            ),
            *self.lost_duties,
            *no_output(self.papers, self.channels),
            *(
                f"speaker wire to {', '.join(wire.speakers)}: {wire.fault}"
                for wire in self.speaker_wire
                if wire.fault
            ),
            *([self.input.fault] if self.input.fault else []),
            *self.supply.faults,
        )

    @property
    def lost_duties(self) -> tuple[str, ...]:
        """Speakers with a duty that this plan takes from the factory feed and gives to nothing."""
        return tuple(
            f"{s.speaker} would go silent and with it {duties_in_words(s.duties)}: "
            + way_out(s, keeps_feed=s.speaker in self.keep_feed)
            for s in self.runs.speakers
            if s.duties and self.fates[s.speaker] == "lost"
        )

    @property
    def whys(self) -> tuple[Why, ...]:
        """Every figure with its formula, inputs and source."""
        return (
            *(why for channel in self.channels for why in channel.whys),
            *self.supply.whys,
            *(wire.why for wire in self.speaker_wire if wire.why),
            *(load.why for load in self.loads if load.why),
            *([self.input.why] if self.input.why else []),
        )


def make_plan(
    papers: Papers,
    runs_with: Callable[[tuple[str, ...]], Runs],
    wishes: Wishes | None = None,
    limits: Limits | None = None,
) -> Plan:
    """The plan of a job. `runs_with` answers `runs` once more with the further parts chosen.

    Raises Refused where the job names a speaker or a channel that is not there.
    """
    limits = limits or Limits()
    check_names(papers)
    wiring = wiring_of(papers)
    free = wiring.task
    wiring = replace(wiring, task=apply_wishes(free, wishes or Wishes()))
    wrong = misplaced(papers)
    reach = flagged(choose(wiring.task), wrong, wiring.not_planned)
    runs = runs_with(reach.parts)
    played = _played(papers)
    ratings = _ratings(papers)
    together = _together(wiring, reach)
    drives, suggestion = _drives(papers, ratings, played, together, reach, wiring)
    by_id = {rating.id: rating for rating in ratings}
    pairs = pairs_of(Vehicle(papers.vehicle), wiring, reach)
    channels = _channels(papers, drives, by_id, played, pairs)
    kit, amplifier = papers.kit, papers.amplifier["amplifier"]
    driven = {name for drive in drives for name in drive.speakers}
    along = {name for channel in channels for name in channel.along}
    cuts = factory_cuts(runs, kit["kit"].get("takes_out", ()))
    fates = fates_of(papers, runs, reach, pairs, driven, along, cuts)
    made = tuple(cut for cut in cuts if fates[cut.speaker] in PLAYING)
    reached = _reached(papers, wiring, reach)
    undriven = tuple(name for name in reached if fates[name] not in PLAYING)
    keep_feed = tuple(
        name
        for name, fate in fates.items()
        if fate not in PLAYING
        and keeps_feed_if_silent(papers, runs, reach, wiring, pairs, made, name)
    )
    turn_on, _ = turn_on_note(kit["kit"].get("turn_on_amps"), amplifier.get("turn_on_amps"))
    least, most = amplifier["input_volts"]
    return Plan(
        papers=papers,
        runs=runs,
        wiring=wiring,
        reach=reach,
        pairs=pairs,
        fates=fates,
        others=alternatives(free, reach),
        played=played,
        channels=channels,
        suggestion=suggestion,
        undriven=undriven,
        keep_feed=keep_feed,
        signal=_signal(papers, channels),
        signal_walk=module_walk(papers, reach, wiring),
        turn_on=turn_on,
        input=input_level(kit["kit"].get("output_volts", ()), (least, most)),
        supply=plan_supply(_supply_needs(papers, channels, by_id, reach, limits)),
        speaker_wire=speaker_wires(
            wiring, reach, played, limits.wire_share, _without_channel(pairs, fates)
        ),
        cut_back=cut_back(papers, runs, reach, _without_channel(pairs, fates), fates),
        factory_cuts=made,
        loads=loads_to_fit(papers, runs, reach, pairs, wiring),
        keep=keeps(papers),
        warnings=(
            *bad_allocation(papers, drives, channels, together, reached),
            *work_for_nothing(
                runs, wiring, reach, {name: fates[name] for name in undriven}, keep_feed
            ),
            *cut_with_another(papers, wiring, pairs, fates),
            *untold_coils(papers, drives, played),
            *fitted_coils(papers, drives, played),
            *too_few_outputs(papers, channels),
            *swapped_poles(papers, runs),
        ),
        wrong_places=tuple(wrong.values()),
        limits=limits,
        wished=wishes not in (None, Wishes()),
    )


def _channels(
    papers: Papers,
    drives: Sequence[Drive],
    ratings: Mapping[str, Rating],
    played: Mapping[str, Played],
    pairs: Sequence[Pair],
) -> tuple[ChannelPlan, ...]:
    """Every channel with all that hangs on its pairs. What shall be silent is disconnected at its
    own place, and what another channel drives is a warning of its own: neither counts here."""
    elsewhere = {name for drive in drives for name in drive.speakers}
    elsewhere |= set(papers.job["job"].get("silent", ()))
    joined = [pair.whole for pair in pairs]
    return tuple(
        plan_channel(
            drive,
            ratings[drive.channel],
            played,
            joined,
            along_with(pairs, drive.speakers, elsewhere),
        )
        for drive in drives
    )


def _without_channel(pairs: Sequence[Pair], fates: Mapping[str, Fate]) -> set[str]:
    """The ids of the wires on which nothing plays."""
    return {pair.wire for pair in pairs if not any(fates[name] in PLAYING for name in pair.names)}


def _played(papers: Papers) -> dict[str, Played]:
    """Every speaker of the vehicle as it will be: a fitted one replaces ohms, watts and blocking
    together, so what is not said of the new one is unknown, not inherited."""
    fitted = {row["speaker"]: row for row in papers.job.get("fitted", ())}
    coils = {s.speaker: tuple(feed.coil for feed in s.feeds) for s in papers.runs.speakers}
    found = {}
    for row in papers.vehicle.get("speaker", ()):
        new = fitted.get(row["id"])
        now = row if new is None else new
        found[row["id"]] = Played(
            id=row["id"],
            place=row.get("place"),
            role=row["role"],
            ohms=now.get("ohms"),
            blocks_below_hz=now.get("blocks_below_hz") or None,
            watts=now.get("watts"),
            coils=coils.get(row["id"]) or (None,),
            fitted=new is not None,
        )
    return found


def _ratings(papers: Papers) -> list[Rating]:
    return [
        Rating(
            str(row["id"]),
            {float(ohms): float(watts) for ohms, watts in row["watts"].items()},
            float(row["min_ohms"]),
        )
        for row in papers.amplifier.get("channel", ())
    ]


def _signal(papers: Papers, channels: Sequence[ChannelPlan]) -> tuple[SignalLead, ...]:
    """No lead where the kit has no line output: there is nothing to connect."""
    if papers.kit["kit"].get("line_outputs") == 0:
        return ()
    return route_signal(_outputs(papers), [(c.channel, c.zone) for c in channels])


def _outputs(papers: Papers) -> list[LineOutput]:
    return [
        LineOutput(str(row["id"]), row["carries"], row.get("fades"))
        for row in papers.kit.get("output", ())
    ]


def _reached(papers: Papers, wiring: Wiring, reach: Reach) -> list[str]:
    """Speakers that the plan brings to the amplifier, in the vehicle's order."""
    ends = {name for way in reach.ways for name, _ in wiring.on_wire.get(way.wire.id, ())}
    silent = set(papers.job["job"].get("silent", ()))
    return [s.speaker for s in papers.runs.speakers if s.speaker in ends - silent]


def _together(wiring: Wiring, reach: Reach) -> list[frozenset[str]]:
    """Speakers that share one pair of wires and so one channel."""
    sets = [
        frozenset(name for name, _ in wiring.on_wire.get(way.wire.id, ())) for way in reach.ways
    ]
    return [names for names in sets if len(names) > 1]


def _drives(
    papers: Papers,
    ratings: Sequence[Rating],
    played: Mapping[str, Played],
    together: Sequence[frozenset[str]],
    reach: Reach,
    wiring: Wiring,
) -> tuple[list[Drive], Allocation | None]:
    given = papers.job.get("drive", ())
    if given:
        drives = [
            Drive(str(row["channel"]), tuple(row["speakers"]), row.get("wiring", "parallel"))
            for row in given
        ]
        return drives, None
    names = _reached(papers, wiring, reach)
    found = suggest(ratings, {name: played[name] for name in names}, together)
    return list(found.drives), found


def _supply_needs(
    papers: Papers,
    channels: Sequence[ChannelPlan],
    ratings: Mapping[str, Rating],
    reach: Reach,
    limits: Limits,
) -> SupplyNeeds:
    amplifier = papers.amplifier["amplifier"]
    watts = sum(
        channel.rated_watts
        if channel.rated_watts is not None
        else max(ratings[channel.channel].watts.values(), default=0.0)
        for channel in channels
    )
    return SupplyNeeds(
        watts=watts if channels else None,
        amplifier_class=amplifier["class"],
        efficiency=amplifier.get("efficiency"),
        fuse_amps=float(amplifier["fuse_amps"]),
        metres=reach.supply_metres,
        ground_metres=papers.job["job"].get("ground_metres"),
        material=limits.material,
        insulation=limits.insulation,
        most_drop=limits.most_drop,
        engine_space=in_engine_bay(papers, reach),
    )
