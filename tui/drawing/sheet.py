"""The plan on paper: one HTML file, whole in itself, without script, for phone and printer.

Order as at the car: the answer at one glance, the ways and panels, what each channel drives, the
supply, what to take, the cautions; then the connector faces and the order of work with boxes to
tick. Marks and words carry every meaning; greyscale loses nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from kb.plan.alternatives import how, metres_words, minutes_figure, minutes_words, panel_minutes
from kb.plan.conductors import size_in_words
from kb.plan.fitting import fitting_words, fittings_of
from kb.plan.not_driven import not_driven
from kb.plan.plan import Plan
from kb.plan.reach import Reach
from kb.plan.speaker_wire import wire_line
from kb.plan.uses import ways_in_use
from kb.plan.whole import WholePlan
from kb.plan.why import number
from kb.store.application_mark import must_be_no_book
from tui.drawing.face_layout import lay_out
from tui.drawing.fix_words import chosen_fix_in_words
from tui.drawing.sheet_face import FRAMES, draw_small_face
from tui.drawing.sheet_map import draw_map
from tui.drawing.sheet_text import escaped
from tui.drawing.sheet_ways import legend, marks_stand_for, way_words
from tui.written_files import write_whole


def sheet_html(whole: WholePlan) -> str:
    """The document."""
    plan = whole.plan
    style = Path(__file__).with_name("sheet.css").read_text("utf-8")
    title = escaped(f"{plan.job}: {plan.runs.vehicle_title}")
    body = [
        *_head(plan),
        *_glance(plan),
        '<div class="two">',
        *_map(whole),
        "<div>",
        *_reach(whole),
        "</div></div>",
        *_channels(plan),
        '<div class="three">',
        *_list("Supply", _supply(plan)),
        *_list("Speaker wire", [wire_line(wire) for wire in plan.speaker_wire]),
        *_list("Signal", _signal(plan)),
        "</div>",
        '<div class="two even">',
        *_list("Take to the car", whole.take, tick=True),
        *_list("Cautions", whole.cautions, css="cautions"),
        "</div>",
        *_faces(whole),
        *_steps(whole),
    ]
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; '
        "style-src 'unsafe-inline'\">\n"
        f"<title>{title}</title>\n<style>\n{style}</style>\n</head>\n<body>\n"
        + "\n".join(line for line in body if line)
        + "\n</body>\n</html>\n"
    )


def write_sheet(whole: WholePlan, path: Path | str) -> Path:
    """Write the sheet; an existing file is replaced whole or not at all. Raises Refused."""
    path = Path(path)
    must_be_no_book(path)
    write_whole(path, sheet_html(whole))
    return path


def _head(plan: Plan) -> Iterator[str]:
    amplifier = plan.papers.amplifier["amplifier"]
    state = plan.papers.state
    trust = "" if state == "verified" else ", NOT VERIFIED: meter before you cut"
    trust += "".join(f"; {signed}" for signed in plan.papers.signed_less)
    yield f"<header><h1>{escaped(plan.job)}</h1><p><b>{escaped(plan.runs.vehicle_title)}</b><br>"
    parts = " + ".join(plan.runs.path.chosen) or "no part"
    yield escaped(
        f"{plan.runs.kit_title} ({parts}), {amplifier['maker']} {amplifier['name']} at "
        f"{plan.papers.job['job']['amplifier_place']}"
    )
    yield f'<br><span class="state">{escaped(f"entries {state}{trust}")}</span></p>'
    note = plan.papers.job["job"].get("note")
    yield f'<p class="note">{escaped(" ".join(note.split()))}</p>' if note else ""
    yield "</header>"


def _glance(plan: Plan) -> Iterator[str]:
    reach = plan.reach
    supply = plan.supply.metres
    figures = [
        (minutes_words(reach), "of panels"),
        (metres_words(reach), "speaker wire"),
        ("length unknown" if supply is None else f"{number(supply)} m", "supply cable"),
        (str(reach.taps), "tap" if reach.taps == 1 else "taps"),
        (str(reach.runs), "new run" if reach.runs == 1 else "new runs"),
    ]
    yield '<section class="glance">'
    yield "".join(f"<div><b>{escaped(a)}</b> {escaped(b)}</div>" for a, b in figures)
    yield "</section>"
    yield from _lines("fault", "✗ FAULT", plan.faults)
    missing = [f"nothing documented reaches {name}" for name in plan.out_of_reach]
    missing += [
        f"{s.speaker}: meter {s.to_meter} first"
        for s in plan.runs.speakers
        if s.speaker in plan.wiring.not_planned
    ]
    yield from _lines("mind", "?", missing)
    yield from _lines("mind", "!", plan.warnings)


def _lines(css: str, mark: str, texts: Iterable[str]) -> Iterator[str]:
    for text in texts:
        yield f'<p class="{css}"><b>{escaped(mark)}</b> {escaped(text)}</p>'


def _map(whole: WholePlan) -> Iterator[str]:
    svg, lost = draw_map(whole)
    said = "thick dashes: supply; thin: speaker wire; numbers: panels as listed"
    if lost:
        said += f"; not in the drawing, nor what goes by there: {', '.join(lost)}"
    yield f'<figure class="map">{svg}<figcaption>{escaped(said)}</figcaption></figure>'


def _reach(whole: WholePlan) -> Iterator[str]:
    plan = whole.plan
    yield f"<h2>Ways to speakers{', as wished' if plan.wished else ''}</h2>"
    words = [f"{s.speaker}: part {s.part}, lead {s.lead}" for s in plan.by_named_parts]
    words += [chosen_fix_in_words(fix.speaker, plan.wiring.known[fix]) for fix in plan.reach.fixes]
    if not words and not plan.reach.unreachable:
        words = ["every speaker that shall play is on a lead of the kit"]
    yield _ul(words)
    silent = not_driven(plan)
    if silent:
        yield f"<h2>Not on the new amplifier</h2>{_ul(silent)}"
    fit = fitting_words(plan)
    if fit:
        yield "<h2>To fit</h2>"
        yield _ul([*(f"{f.speaker}: {f.what}" for f in fittings_of(plan)), fit])
    yield "<h2>Panels, in order</h2><ol>"
    for panel in whole.panels:
        minutes = panel_minutes(plan.wiring.task, panel)
        time = "minutes unknown" if minutes is None else f"{number(minutes, 1)} min"
        yield f"<li>{escaped(panel)}, {escaped(time)}</li>"
    yield "</ol>"
    yield from _lines("mind", "?", plan.reach.flags)
    if plan.others:
        yield "<table><tr><th>plan<th>min<th>wire<th>taps<th>runs</tr>"
        yield _row(f"► chosen: {how(plan.reach)}", plan.reach, "th")
        for other in plan.others:
            yield _row(f"{other.name}: {how(other.reach)}", other.reach, "td")
        yield "</table>"


def _row(name: str, reach: Reach, tag: str) -> str:
    minutes = minutes_figure(reach) or "?"
    metres = "?" if reach.metres is None else f"{number(reach.metres)} m"
    cells = (name, minutes, metres, reach.taps, reach.runs)
    return "<tr>" + "".join(f"<{tag}>{escaped(cell)}</{tag}>" for cell in cells) + "</tr>"


COLUMNS = ("ch", "from", "speakers", "load", "lowest", "least", "watts", "gain, AC volts")
"""The channels' columns; on a phone each cell stands under its row and names its column."""


def _channels(plan: Plan) -> Iterator[str]:
    level = plan.input.output_volts
    setting = "" if level is None else f" (kit's output setting {number(level)} V)"
    yield f"<h2>Channels{escaped(setting)}</h2>"
    heads = "".join(f"<th>{head}" for head in (*COLUMNS, "set"))
    yield f'<table class="channels"><tr>{heads}</tr>'
    outputs = {lead.channel: lead for lead in plan.signal}
    for channel in plan.channels:
        joined = len(channel.speakers) > 1 or any(
            len(plan.played[name].coils) > 1 for name in channel.speakers
        )
        lead = outputs.get(channel.channel)
        source = "?" if lead is None or lead.output is None else f"out {lead.output}"
        gain = "?" if channel.gain_volts is None else f"{number(channel.gain_volts, 1)} V"
        cells = (
            channel.channel,
            source,
            " + ".join(channel.speakers) + (f", {channel.wiring}" if joined else ""),
            *(_ohms(ohms) for ohms in (channel.nominal_ohms, channel.lowest_ohms)),
            _ohms(channel.min_ohms),
            "none"
            if channel.fault
            else "?"
            if channel.watts is None
            else f"{number(channel.watts, 0)} W",
            f"✗ {channel.fault}" if channel.fault else gain,
        )
        yield "<tr>" + "".join(
            f'<td data-of="{head}">{escaped(cell)}</td>'
            for head, cell in zip(COLUMNS, cells, strict=True)
        )
        yield '<td data-of="set"><input type="checkbox" aria-label="set"></td></tr>'
    yield "</table>"
    if plan.suggestion is not None:
        yield "<p>channels as suggested: the job gives none</p>"
        served = [f"channel {channel.channel} plays" for channel in plan.channels]
        left = [r for r in plan.suggestion.reasons if not r.startswith(tuple(served))]
        yield _ul(left) if left else ""


def _ohms(ohms: float | None) -> str:
    return "?" if ohms is None else f"{number(ohms)} Ω"


def _supply(plan: Plan) -> list[str]:
    supply = plan.supply
    said = []
    if supply.fuse_amps is not None:
        said.append(f"main fuse {number(supply.fuse_amps)} A at the battery, within 18 in (46 cm)")
    size = "size unknown" if supply.awg is None else size_in_words(supply.awg)
    metres = "length unknown" if supply.metres is None else f"{number(supply.metres)} m"
    battery = plan.papers.job["job"]["battery_place"]
    said.append(f"{metres} of {size} {supply.material} from {battery}")
    said.append(f"ground lead {number(supply.ground_metres)} m of the same")
    if supply.amps is not None:
        drop = "" if supply.drop_volts is None else f", {number(supply.drop_volts)} V lost"
        said.append(f"{number(supply.amps, 1)} A at full rated power{drop}")
    return [*said, *supply.notes]


def _signal(plan: Plan) -> list[str]:
    said = []
    fades = {True: "fades", False: "does not fade", None: "fading unknown"}
    noted: dict[str, list[str]] = {}
    for lead in plan.signal:
        if lead.output is None:
            noted.setdefault(lead.note or "unknown", []).append(lead.channel)
        else:
            note = f"; {lead.note}" if lead.note else ""
            said.append(
                f"out {lead.output} ({lead.carries}, {fades[lead.fades]}) → ch {lead.channel}{note}"
            )
    said += [f"ch {', '.join(on)}: {note}" for note, on in noted.items()]
    return [*said, plan.turn_on]


def _faces(whole: WholePlan) -> Iterator[str]:
    if not whole.faces:
        return
    plan, used = whole.plan, ways_in_use(whole.plan)
    layouts = {name: lay_out(face, "wire") for name, face in whole.faces.items()}
    words = {
        name: way_words(plan, face, used[name], layouts[name].positions)
        for name, face in whole.faces.items()
    }
    yield '<div class="faces"><div class="whole"><h2>Connector faces, ways in use</h2>'
    said = [
        f"<b>{escaped(mark)}</b>: {escaped(what)}" for mark, what in legend(plan, words.values())
    ]
    yield f'<p class="faint">{"; ".join([FRAMES, *said])}</p></div>'
    for name, face in whole.faces.items():
        who = marks_stand_for(plan, name)
        yield draw_small_face(face, layouts[name], used[name], words[name], who)
    yield "</div>"


def _steps(whole: WholePlan) -> Iterator[str]:
    yield '<h2>Order of work</h2><div class="steps">'
    phase = None
    for count, step in enumerate(whole.steps, 1):
        if step.phase != phase:
            yield "</section>" if phase else ""
            phase = step.phase
            yield f"<section><h3>{escaped(phase)}</h3>"
        mind = f' <span class="mind">! {escaped(step.caution)}</span>' if step.caution else ""
        yield (
            f'<label><input type="checkbox"> <span>{count}. {escaped(step.do)}{mind}</span></label>'
        )
    yield "</section></div>"


def _list(title: str, texts: Sequence[str], *, css: str = "", tick: bool = False) -> Iterator[str]:
    if not texts:
        return
    yield f'<section class="{css}"><h2>{escaped(title)}</h2>'
    if tick:
        boxes = (f'<label><input type="checkbox"> <span>{escaped(t)}</span></label>' for t in texts)
        yield "".join(boxes)
    else:
        yield _ul(texts)
    yield "</section>"


def _ul(texts: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{escaped(text)}</li>" for text in texts) + "</ul>"
