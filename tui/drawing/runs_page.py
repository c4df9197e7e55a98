"""The answer of `runs` for a person: what needs its own wire shouts first, then the rest."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from kb.answers.feeds import Feed
from kb.answers.grips import Grip
from kb.answers.runs import IdleLead, Runs, SpeakerAnswer
from tui.drawing.fix_words import also_in_words, fix_in_words, way_in_words, wire_in_words
from tui.ink import Ink
from tui.tables import natural_width, table, wrap

# Word and mark say it; colour only repeats it.
MARKS = {"left out": "✗", "partial": "◐", "unknown": "?", "reversed": "⇄", "carried": "✓"}
STYLES = {
    "left out": "bad bold",
    "partial": "bad bold",
    "unknown": "warn",
    "reversed": "warn",
    "carried": "good",
}
INDENT = " " * 4
NEEDS_A_WAY = ("left out", "partial")


def runs_page(answer: Runs, width: int, ink: Ink) -> list[str]:
    """Lines no wider than `width` cells."""
    lines = [*_title(answer, width, ink), "", *_headline(answer, width, ink)]
    for speaker in sorted(_with(answer, *NEEDS_A_WAY), key=lambda s: s.effect != "goes silent"):
        lines += ["", *_needs_a_way(speaker, width, ink)]
    lines += _moving(answer, width, ink)
    lines += _idle(answer, width, ink)
    lines += _to_meter(answer, width, ink)
    lines += _keep(answer, width, ink)
    lines += _cautions(answer, width, ink)
    return [*lines, "", *_trust(answer, width, ink), *_last_word(answer, width, ink)]


def _with(answer: Runs, *outcomes: str) -> list[SpeakerAnswer]:
    return [speaker for speaker in answer.speakers if speaker.outcome in outcomes]


def _painted(ink: Ink, style: str, lines: Iterable[str]) -> list[str]:
    return [ink(style, line) for line in lines]


def _title(answer: Runs, width: int, ink: Ink) -> list[str]:
    parts = answer.path.chosen
    with_parts = (
        f"with {answer.kit_title}, part{'' if len(parts) == 1 else 's'} {' + '.join(parts)}"
    )
    if not parts:
        with_parts = f"with {answer.kit_title}, no part chosen"
    lines = [
        *_painted(ink, "bold", wrap(answer.vehicle_title, width)),
        *wrap(with_parts, width),
    ]
    if answer.path.unchosen:
        others = ", ".join(answer.path.unchosen)
        lines += wrap(f"not in the job: {others} (add with --part)", width)
    if not any(speaker.fixes for speaker in answer.speakers):
        return lines
    if answer.costs_from is None:
        lines += wrap("what each way costs: say with --from where the amplifier goes", width)
    else:
        lines += wrap(
            f"costs of each way by itself, from {answer.costs_from} (--from PLACE for another)",
            width,
        )
    return lines


def _headline(answer: Runs, width: int, ink: Ink) -> list[str]:
    counts = Counter(speaker.outcome for speaker in answer.speakers)
    words = [f"{counts[outcome]} {outcome}" for outcome in MARKS if counts[outcome]]
    if answer.unlisted:
        words.append(f"{answer.unlisted} sold with it but not listed")
    idle = len(answer.idle_leads)
    words.append(f"{idle} idle lead{'' if idle == 1 else 's'}")
    shout = _painted(ink, "shout", wrap(f"{shout_in_words(answer)} ", width, " ", " "))
    lines = [*shout, *wrap(" · ".join(words), width)]
    for said in plugging_in_words(answer):
        lines += _painted(ink, "bad bold", wrap(said, width, "  "))
    return lines


def plugging_in_words(answer: Runs) -> list[str]:
    """What does not plug in, or not all at once: it belongs right under the headline."""
    said = [f"! part {part.part} DOES NOT PLUG IN: {part.why}" for part in answer.unplugged]
    for contest in answer.contests:
        parts, places = " and ".join(contest.parts), " and ".join(contest.connectors)
        one_place = "ONE PLUG, TWO PARTS" if len(contest.parts) > 1 else "ONE PART, TWO PLACES"
        said.append(f"! {one_place}: {parts} at {places}; see the cautions")
    return said


def shout_in_words(answer: Runs) -> str:
    """The answer in a few words: how many need a way of their own, else what keeps it from good."""
    counts = Counter(speaker.outcome for speaker in answer.speakers)
    need = sum(counts[outcome] for outcome in NEEDS_A_WAY)
    total = len(answer.speakers)
    if need and total == 1:
        return "THE ONE SPEAKER NEEDS A WAY OF ITS OWN"
    if need:
        verb = "NEEDS A WAY OF ITS" if need == 1 else "NEED A WAY OF THEIR"
        return f"{need} OF {total} SPEAKERS {verb} OWN"
    if not total:
        return "NO SPEAKER IS LISTED, SO NOTHING IS KNOWN"
    if counts["unknown"]:
        return f"NONE KNOWN TO BE LEFT OUT, BUT {counts['unknown']} OF {total} UNKNOWN"
    if answer.contests:
        return f"ALL {total} WOULD MOVE, BUT NOT ALL PARTS CAN BE PLUGGED IN"
    if answer.unlisted:
        return f"ALL {total} LISTED SPEAKERS MOVE, BUT {answer.unlisted} MORE WERE SOLD WITH IT"
    if total == 1:
        return "THE ONE SPEAKER MOVES TO THE NEW AMPLIFIER"
    return f"ALL {total} SPEAKERS MOVE TO THE NEW AMPLIFIER"


def _needs_a_way(speaker: SpeakerAnswer, width: int, ink: Ink) -> list[str]:
    outcome = f"{MARKS[speaker.outcome]} {speaker.outcome.upper()}"
    place = f" at {speaker.place}" if speaker.place else ", place not recorded"
    said = f"{speaker.speaker}, {speaker.role}{place}: {effect_in_words(speaker.effect)}"
    head = wrap(said, width, INDENT, f"{outcome}  ")
    lines = [ink(STYLES[speaker.outcome], outcome) + head[0][len(outcome) :], *head[1:]]
    for feed in speaker.feeds:
        lines += wrap(f"fed by {feed_in_words(feed)}", width, INDENT * 2, INDENT)
    for grip in speaker.grips:
        lines += wrap(f"held in part: {grip_in_words(grip)}", width, INDENT * 2, INDENT)
    for number, fix in enumerate(speaker.fixes):
        lines += wrap(
            fix_in_words(fix),
            width,
            INDENT * 4,
            f"{INDENT}{'reach it by' if number == 0 else '         or'} ",
        )
    return lines


def effect_in_words(effect: str) -> str:
    """An effect; the one that must not be overlooked is loud."""
    return effect.upper() if effect == "goes silent" else effect


def grip_in_words(grip: Grip) -> str:
    """`lead A of main at A1: + way 1 carries door-fl+, - way 2 carries door-fr+`."""
    coil = f"coil {grip.coil}, " if grip.coil else ""
    plus, minus = (
        f"way {way} {'is not there' if grip.is_beyond(way) else _carries(carried)}"
        for way, carried in ((grip.plus, grip.plus_carries), (grip.minus, grip.minus_carries))
    )
    return f"{coil}lead {grip.lead} of {grip.part} at {grip.connector}: + {plus}, - {minus}"


def _carries(carried: str | None) -> str:
    if carried is None:
        return "is not documented"
    return f"carries {carried}" if carried else "is empty"


def feed_in_words(feed: Feed) -> str:
    """`radio, R1: + 4 OG/BK orange/black, - 5 OG orange`, every way of each pole named."""
    coil = f" coil {feed.coil}" if feed.coil else ""
    minus_at = feed.minus_connector if feed.minus_connector != feed.connector else None
    pins = (
        f"+ {way_in_words(feed.plus, feed.plus_wire)}"
        f"{also_in_words(feed.plus_also, feed.connector)}, "
        f"- {f'{minus_at} ' if minus_at else ''}{way_in_words(feed.minus, feed.minus_wire)}"
        f"{also_in_words(feed.minus_also, feed.minus_connector)}"
    )
    return (
        f"{feed.unit or 'an unknown unit'}{coil}, {feed.connector or 'unknown connector'}: {pins}"
    )


def _moving(answer: Runs, width: int, ink: Ink) -> list[str]:
    """What the kit's leads carry: where each joins the car's wires, and on which ways."""
    rows: list[tuple[str, ...]] = []
    outcomes: list[str] = []
    for speaker in (*_with(answer, "reversed"), *_with(answer, "carried")):
        for feed in speaker.feeds:
            grip = feed.grip
            if grip is None:
                continue
            outcome = "reversed" if feed.swapped else "carried"
            rows.append(
                (
                    f"{MARKS[outcome]} {outcome}",
                    f"{speaker.speaker}{f' coil {feed.coil}' if feed.coil else ''}",
                    f"{grip.lead} of {grip.part}",
                    f"{grip.connector}{' in line' if grip.in_line else ''}",
                    f"{grip.plus} {grip.plus_wire or '?'}",
                    f"{grip.minus} {grip.minus_wire or '?'}",
                    feed.unit or "?",
                    speaker.role,
                )
            )
            outcomes.append(outcome)
    if not rows:
        return []

    def paint(row: int, column: int, text: str) -> str:
        if row < 0:
            return ink("dim", text)
        return ink(STYLES[outcomes[row]], text) if column == 0 else text

    headings = (
        "outcome",
        "speaker",
        "lead",
        "joins at",
        "lead + on",
        "lead - on",
        "fed by",
        "role",
    )
    lines = ["", *_painted(ink, "bold", wrap("Move to the new amplifier", width))]
    # Names, ways and colours are never cut: the role goes first, then each row is a sentence.
    for columns in (len(headings), len(headings) - 1):
        shown = [row[:columns] for row in rows]
        if natural_width(headings[:columns], shown) <= width:
            return [*lines, *table(headings[:columns], shown, width, paint)]
    for row, outcome in zip(rows, outcomes, strict=True):
        mark, name, lead, at, plus, minus, unit, role = row
        said = f"{name}, {role}: lead {lead} at {at}, + on {plus}, - on {minus}; fed by {unit}"
        whole = wrap(said, width, INDENT, f"{mark}  ")
        lines += [ink(STYLES[outcome], mark) + whole[0][len(mark) :], *whole[1:]]
    return lines


def _idle(answer: Runs, width: int, ink: Ink) -> list[str]:
    if not answer.idle_leads:
        return []
    heading = "Idle leads: cut back and insulate, or pull from the plug"
    lines = ["", *_painted(ink, "bold", wrap(heading, width))]
    return [*lines, *_bullets(idle_in_words(answer), width, "  - ")]


def idle_in_words(answer: Runs) -> list[str]:
    """One sentence for each idle lead, and one for all leads of a part that does not plug in."""
    said = []
    for part in answer.does_not_plug_in:
        leads = ", ".join(lead.lead for lead in answer.idle_leads if lead.part == part)
        if leads:
            said.append(f"all of {part}, which does not plug in: {leads}")
    return said + [
        _idle_in_words(lead)
        for lead in answer.idle_leads
        if lead.part not in answer.does_not_plug_in
    ]


def _idle_in_words(lead: IdleLead) -> str:
    at = lead.connector or lead.plug
    if lead.why == "way carries something else":
        why = (
            f"{at} way {lead.plus} {_carries(lead.plus_carries)}, "
            f"way {lead.minus} {_carries(lead.minus_carries)}"
        )
    else:
        meter = "; meter first" if lead.why == "way not documented" else ""
        why = (lead.half_known or f"{lead.why}, {at} ways {lead.plus} and {lead.minus}") + meter
    through = ""
    if lead.opened:
        if_so = "" if lead.opened.sure else "if its part opens the wires, "
        through = f"; {if_so}join its two sides through again, never just cut it back"
    return f"{lead.lead} of {lead.part} ({wire_in_words(lead.wire)}): {why}{through}"


def _keep(answer: Runs, width: int, ink: Ink) -> list[str]:
    kept = [speaker for speaker in answer.speakers if speaker.keep]
    if not kept:
        return []
    lines = ["", ink("bold", "Must stay in place")]
    for speaker in kept:
        lines += wrap(f"{speaker.speaker}: {speaker.keep}", width, INDENT, "  = ")
    return lines


def _to_meter(answer: Runs, width: int, ink: Ink) -> list[str]:
    unknown = _with(answer, "unknown")
    if not unknown:
        return []
    heading = f"Unknown, so meter first ({len(unknown)} of {len(answer.speakers)})"
    lines = ["", *_painted(ink, "bold", wrap(heading, width))]
    for speaker in unknown:
        place = f" at {speaker.place}" if speaker.place else ""
        lines += wrap(
            f"{speaker.speaker}, {speaker.role}{place}: {speaker.to_meter}", width, INDENT, "  ? "
        )
    return lines


def _cautions(answer: Runs, width: int, ink: Ink) -> list[str]:
    if not answer.cautions:
        return []
    return ["", ink("bold", "Cautions"), *_bullets(answer.cautions, width, "  ! ")]


def _bullets(texts: Iterable[str], width: int, mark: str) -> list[str]:
    return [line for text in texts for line in wrap(text, width, INDENT, mark)]


def _last_word(answer: Runs, width: int, ink: Ink) -> list[str]:
    """The answer once more: the line that is left on a small screen when all else has scrolled."""
    need = _with(answer, *NEEDS_A_WAY)
    unknown = _with(answer, "unknown")
    said = []
    if need:
        names = ", ".join(speaker.speaker for speaker in need)
        verb = "needs a way of its" if len(need) == 1 else "need a way of their"
        said.append(f"✗ {len(need)} of {len(answer.speakers)} {verb} own: {names}")
    if unknown:
        names = ", ".join(speaker.speaker for speaker in unknown)
        said.append(f"? {len(unknown)} unknown: {names}")
    if answer.unlisted:
        said.append(f"? {answer.unlisted} sold with the car but not listed")
    return [ink("bold", line) for text in said for line in wrap(text, width, INDENT)]


def _trust(answer: Runs, width: int, ink: Ink) -> list[str]:
    """What the answer rests on; an entry that nobody verified never passes for verified."""
    said = []
    for word, entry in (("vehicle", answer.vehicle), ("kit", answer.kit)):
        text = f"{word} {entry.id} is {entry.state} (entered by {entry.author})"
        if entry.state != "verified":
            text += ": NOT VERIFIED"
        said.append(f"{text}, {entry.signed_less}" if entry.signed_less else text)
    text = "; ".join(said) + "."
    if answer.state != "verified":
        text += " Meter before you cut."
    style = "dim" if answer.state == "verified" and not answer.alone else "warn"
    return _painted(ink, style, wrap(text, width))
