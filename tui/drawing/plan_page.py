"""The plan of a job for a person: what must be put right shouts first, then the choice."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from kb.plan.alternatives import how, metres_words, minutes_figure, minutes_words, panel_minutes
from kb.plan.conductors import size_in_words
from kb.plan.fitting import fitting_words, fittings_of
from kb.plan.not_driven import not_driven
from kb.plan.plan import Plan
from kb.plan.reach import Reach
from kb.plan.speaker_wire import wire_line
from kb.plan.whole import WholePlan
from kb.plan.why import number
from tui.drawing.fix_words import chosen_fix_in_words, wire_in_words
from tui.ink import Ink
from tui.tables import cells, table, wrap

INDENT = " " * 4


def plan_page(
    whole: WholePlan,
    width: int,
    ink: Ink,
    *,
    steps: bool = False,
    why: bool = False,
    more: str | None = None,
) -> list[str]:
    """Lines no wider than `width` cells. `more`: how to see the rest, where no command says it."""
    plan = whole.plan
    lines = [*_title(plan, width, ink), "", *_shout(plan, width, ink)]
    lines += _reach(whole, width, ink)
    lines += _channels(plan, width, ink)
    lines += _supply(plan, width, ink)
    lines += _wires(plan, width, ink)
    lines += _signal(plan, width, ink)
    lines += _section("Not on the new amplifier", not_driven(plan), width, ink)
    lines += _section("To fit", _to_fit(plan), width, ink)
    lines += _section("The job's note", job_note(plan), width, ink)
    lines += _leftovers(whole, width, ink)
    lines += _section("Cautions", whole.cautions, width, ink, "  ! ")
    lines += _section("Take to the car", whole.take, width, ink)
    if steps:
        lines += _steps(whole, width, ink)
    if why:
        whys = [line.line() for line in plan.whys]
        lines += _section("Why", whys, width, ink)
    return [*lines, "", *_last_words(plan, width, ink, _more(steps, why) if more is None else more)]


def _to_fit(plan: Plan) -> list[str]:
    words = fitting_words(plan)
    fittings = [f"{f.speaker}: {f.what}" for f in fittings_of(plan)]
    return [*fittings, words] if words else []


def job_note(plan: Plan) -> list[str]:
    """What the job says of itself, in its own words; empty where it says nothing."""
    note = plan.papers.job["job"].get("note")
    return [" ".join(note.split())] if note else []


def _section(
    title: str, texts: Iterable[str], width: int, ink: Ink, mark: str = "  - "
) -> list[str]:
    found = [line for text in texts for line in wrap(text, width, INDENT, mark)]
    return ["", ink("bold", title), *found] if found else []


def _title(plan: Plan, width: int, ink: Ink) -> list[str]:
    amplifier = plan.papers.amplifier["amplifier"]
    place = plan.papers.job["job"]["amplifier_place"]
    return [
        *(ink("bold", line) for line in wrap(f"{plan.job}: {plan.runs.vehicle_title}", width)),
        *wrap(
            f"with {plan.runs.kit_title} ({' + '.join(plan.runs.path.chosen) or 'no part'}), "
            f"{amplifier['maker']} {amplifier['name']} at {place}",
            width,
        ),
    ]


def _shout(plan: Plan, width: int, ink: Ink) -> list[str]:
    faults = plan.faults
    unknown = len(plan.wiring.not_planned)
    if faults:
        shout = f"{len(faults)} FAULT{'' if len(faults) == 1 else 'S'}: PUT RIGHT FIRST"
    elif plan.out_of_reach:
        shout = f"NO WAY KNOWN TO {', '.join(plan.out_of_reach).upper()}"
    elif plan.reach.unreachable:
        shout = f"NO WAY KNOWN FROM {str(plan.wiring.task.start).upper()}"
    else:
        shout = _cost_words(plan.reach).upper()
    if unknown:
        shout += f", AND {unknown} SPEAKER{'' if unknown == 1 else 'S'} TO METER FIRST"
    lines = [ink("shout", f" {line} ") for line in _by_phrase(shout, width - 2)]
    lines += [ink("bad bold", line) for f in faults for line in wrap(f, width, INDENT, "✗ ")]
    for name in plan.out_of_reach:
        lines += wrap(f"{name}: nothing documented reaches it", width, INDENT, "? ")
    for name in plan.wiring.not_planned:
        answer = next(s for s in plan.runs.speakers if s.speaker == name)
        lines += wrap(f"{name}: meter {answer.to_meter} first", width, INDENT, "? ")
    for warning in plan.warnings:
        lines += [ink("warn", line) for line in wrap(warning, width, INDENT, "! ")]
    return lines


def _by_phrase(text: str, width: int) -> list[str]:
    """Lines that end where a phrase does: a headline broken within one is read wrongly."""
    lines: list[str] = []
    for phrase in text.split(", "):
        if lines and cells(f"{lines[-1]}, {phrase}") < width:
            lines[-1] += f", {phrase}"
        else:
            if lines:
                lines[-1] += ","
            lines += wrap(phrase, width)
    return lines


def _cost_words(reach: Reach) -> str:
    taps = {0: "no tap", 1: "one tap"}.get(reach.taps, f"{reach.taps} taps")
    runs = {0: "no new run", 1: "one run"}.get(reach.runs, f"{reach.runs} runs")
    return f"{minutes_words(reach)} of panels, {metres_words(reach)} of wire, {taps}, {runs}"


def _reach(whole: WholePlan, width: int, ink: Ink) -> list[str]:
    plan = whole.plan
    least = "least under your wishes" if plan.wished else "least of all"
    proof = f"{least}, proved" if plan.reach.exact else f"not proved to be the {least}"
    title, proved = "The way to every speaker", f"({proof})"
    heading = [f"{title} {proved}"] if len(title) + len(proved) < width else [title, proved]
    lines = ["", *(ink("bold", line) for line in heading)]
    for speaker in plan.by_named_parts:
        said = f"{speaker.speaker}: part {speaker.part}, lead {speaker.lead}, as the job names it"
        lines += wrap(said, width, INDENT, "  → ")
    for fix in plan.reach.fixes:
        lines += wrap(
            chosen_fix_in_words(fix.speaker, plan.wiring.known[fix]), width, INDENT, "  → "
        )
    if not (plan.reach.fixes or plan.reach.unreachable or plan.by_named_parts):
        lines += wrap("every speaker that shall play is on a lead of the kit", width, INDENT, "  ")
    rows: list[Sequence[object]] = [("► chosen", how(plan.reach), *_figures(plan.reach))]
    rows += [(f"  {o.name}", how(o.reach), *_figures(o.reach)) for o in plan.others]
    if plan.others:
        headings = ("plan", "by", "minutes", "wire", "taps", "runs")
        lines += ["", *table(headings, rows, width, _bold_first(ink))]
    lines += _section("Panels, in order", _panels(whole), width, ink)
    lines += [line for flag in plan.reach.flags for line in wrap(flag, width, INDENT, "  ? ")]
    return lines


def _bold_first(ink: Ink) -> Callable[[int, int, str], str]:
    """The chosen plan stands out by its weight, after its mark."""

    def paint(row: int, _: int, text: str) -> str:
        return ink("dim" if row < 0 else "bold" if row == 0 else "plain", text)

    return paint


def _figures(reach: Reach) -> tuple[object, ...]:
    return (
        minutes_figure(reach),
        None if reach.metres is None else f"{number(reach.metres)} m",
        reach.taps,
        reach.runs,
    )


def _panels(whole: WholePlan) -> list[str]:
    task = whole.plan.wiring.task
    return [
        f"{panel}, " + ("minutes unknown" if minutes is None else f"{number(minutes, 1)} min")
        for panel in whole.panels
        for minutes in [panel_minutes(task, panel)]
    ]


def _channels(plan: Plan, width: int, ink: Ink) -> list[str]:
    rows: list[Sequence[object]] = []
    for channel in plan.channels:
        coils = sum(len(plan.played[name].coils) for name in channel.speakers)
        joined = channel.wiring if coils > 1 else ""
        rows.append(
            (
                channel.channel,
                f"{' + '.join(channel.speakers)}{f', {joined}' if joined else ''}",
                None if channel.nominal_ohms is None else f"{number(channel.nominal_ohms)} Ω",
                None if channel.lowest_ohms is None else f"{number(channel.lowest_ohms)} Ω",
                number(channel.min_ohms),
                "none"
                if channel.fault
                else None
                if channel.watts is None
                else f"{number(channel.watts, 0)} W",
                f"✗ {channel.fault}"
                if channel.fault
                else None
                if channel.gain_volts is None
                else f"{number(channel.gain_volts, 1)} V",
            )
        )
    lines: list[str] = []
    if rows:
        headings = ("ch", "speakers", "load", "lowest", "least", "watts", "gain target")
        lines += ["", ink("bold", "Channels"), *table(headings, rows, width)]
    if plan.suggestion is not None:
        lines += ["", *wrap("The job gives no allocation; suggested:", width)]
        lines += [
            line for reason in plan.suggestion.reasons for line in wrap(reason, width, INDENT, "  ")
        ]
    level = plan.input
    if level.output_volts is not None:
        lines += wrap(f"Kit's output setting: {number(level.output_volts)} V", width)
    return lines


def _supply(plan: Plan, width: int, ink: Ink) -> list[str]:
    supply = plan.supply
    said = []
    if supply.amps is not None:
        said.append(f"{number(supply.amps, 1)} A at full rated power")
    if supply.fuse_amps is not None:
        said.append(f"main fuse {number(supply.fuse_amps)} A at the battery")
    size = "cable size unknown" if supply.awg is None else size_in_words(supply.awg)
    metres = "length unknown" if supply.metres is None else f"{number(supply.metres)} m"
    battery = plan.papers.job["job"]["battery_place"]
    said.append(f"{metres} of {size} {supply.material} from {battery}")
    if supply.drop_volts is not None:
        said.append(f"{number(supply.drop_volts)} V lost out and back")
    return _section("Supply", [", ".join(said), *supply.notes], width, ink)


def _wires(plan: Plan, width: int, ink: Ink) -> list[str]:
    return _section("Speaker wire", [wire_line(w) for w in plan.speaker_wire], width, ink)


def _signal(plan: Plan, width: int, ink: Ink) -> list[str]:
    notes: dict[str, list[str]] = {}
    said = []
    for lead in plan.signal:
        if lead.output is None and lead.note:
            notes.setdefault(lead.note, []).append(lead.channel)
            continue
        fades = {True: "fades", False: "does not fade", None: "whether it fades is unknown"}
        note = f"; {lead.note}" if lead.note else ""
        said.append(
            f"output {lead.output} ({lead.carries}, {fades[lead.fades]}) → channel "
            f"{lead.channel}{note}"
        )
    said += [f"channel {', '.join(on)}: {note}" for note, on in notes.items()]
    length = plan.signal_metres
    if plan.signal:
        words = "length unknown" if length is None else f"{number(length)} m"
        said.append(f"line leads: {words if length != 0 else 'short, the kit is at the amplifier'}")
    return _section("Signal", [*said, plan.turn_on], width, ink)


def _leftovers(whole: WholePlan, width: int, ink: Ink) -> list[str]:
    plan = whole.plan
    cut, through = (
        [
            f"lead {lead.lead} of {lead.part} ({wire_in_words(lead.wire)}): {lead.why}"
            + (f"; {lead.care}" if lead.care else "")
            for lead in plan.cut_back
            if (lead.opened is not None) == opens
        ]
        for opens in (False, True)
    )
    loads = []
    for load in plan.loads:
        where = f"{load.unit}, {load.ways}, {load.side}"
        if load.resistor is None:
            loads.append(f"{where}: ohms unknown, meter {', '.join(load.speakers)}")
            continue
        rating = "over 100" if load.resistor.rating is None else number(load.resistor.rating)
        loads.append(f"{where}: {number(load.resistor.ohms)} Ω, {rating} W")
    settings = [
        f"{s.id}{f', {s.name}' if s.name else ''} of {s.of}: {s.position}"
        + (f" (if {s.when}: yours to judge)" if s.applies is None else "")
        for s in whole.settings
    ]
    return [
        *_section("Switches", settings, width, ink),
        *_section("Cut back and insulate", cut, width, ink),
        *_section("Join through again", through, width, ink),
        *_section("Loads to fit", loads, width, ink),
        *_section("Stays in place", [f"{k.speaker}: {k.why}" for k in plan.keep], width, ink),
    ]


def _steps(whole: WholePlan, width: int, ink: Ink) -> list[str]:
    lines: list[str] = []
    phase = None
    for count, step in enumerate(whole.steps, 1):
        if step.phase != phase:
            phase = step.phase
            lines += ["", ink("bold", phase)]
        lines += wrap(step.do, width, " " * 5, f"{count:>3}. ")
        if step.caution:
            lines += [ink("warn", line) for line in wrap(step.caution, width, " " * 7, "     ! ")]
    return lines


def _last_words(plan: Plan, width: int, ink: Ink, more: str) -> list[str]:
    state, less = plan.papers.state, plan.papers.signed_less
    rests = f"This plan rests on entries that are {state}"
    rests += "." if state == "verified" else ", NOT VERIFIED. Meter before you cut."
    rests += "".join(f" {signed[:1].upper()}{signed[1:]}." for signed in less)
    style = "dim" if state == "verified" and not less else "warn"
    lines = [ink(style, line) for line in wrap(rests, width)]
    if plan.faults:  # the page is longer than a screen, and this is all that one sees of it
        count = f"{len(plan.faults)} fault{'' if len(plan.faults) == 1 else 's'}"
        said = f"{count} to put right first: {'; '.join(plan.faults)}"
        lines += [ink("bad bold", line) for line in wrap(said, width, INDENT, "✗ ")]
    return [*lines, *(wrap(more, width) if more else [])]


def _more(steps: bool, why: bool) -> str:
    more = [flag for flag, shown in (("--steps", steps), ("--why", why)) if not shown]
    return f"More: {' and '.join(more)}; on paper: loombook sheet." if more else ""
