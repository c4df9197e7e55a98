"""The answer of `runs` for a person: what needs its own wire shouts first, then the rest."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from kb.answers.fixes import Fix
from kb.answers.runs import Feed, Runs, SpeakerAnswer
from kb.documents.colours import read_colour
from tui.clean import clean
from tui.ink import Ink
from tui.tables import table, wrap

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
    lines += _carried(answer, width, ink)
    lines += _idle(answer, width, ink)
    lines += _to_meter(answer, width, ink)
    lines += _cautions(answer, width, ink)
    return [*lines, "", *_trust(answer, width, ink), *_last_word(answer, width, ink)]


def _with(answer: Runs, *outcomes: str) -> list[SpeakerAnswer]:
    return [speaker for speaker in answer.speakers if speaker.outcome in outcomes]


def _title(answer: Runs, width: int, ink: Ink) -> list[str]:
    parts = answer.path.chosen
    with_parts = (
        f"with {answer.kit_title}, part{'' if len(parts) == 1 else 's'} {' + '.join(parts)}"
    )
    if not parts:
        with_parts = f"with {answer.kit_title}, no part chosen"
    lines = [
        *(ink("bold", line) for line in wrap(answer.vehicle_title, width)),
        *wrap(with_parts, width),
    ]
    if answer.path.unchosen:
        others = ", ".join(answer.path.unchosen)
        lines += wrap(f"not in the job: {others} (add with --part)", width)
    return lines


def _headline(answer: Runs, width: int, ink: Ink) -> list[str]:
    counts = Counter(speaker.outcome for speaker in answer.speakers)
    need = sum(counts[outcome] for outcome in NEEDS_A_WAY)
    total = len(answer.speakers)
    if need:
        verb = "NEEDS" if need == 1 else "NEED"
        shout = (
            f" {need} OF {total} SPEAKERS {verb} A WAY OF {'ITS' if need == 1 else 'THEIR'} OWN "
        )
    elif counts["unknown"]:
        shout = f" NONE KNOWN TO BE LEFT OUT, BUT {counts['unknown']} OF {total} UNKNOWN "
    elif answer.unlisted:
        shout = f" ALL {total} LISTED SPEAKERS MOVE, BUT {answer.unlisted} MORE WERE SOLD WITH IT "
    elif total == 1:
        shout = " THE ONE SPEAKER MOVES TO THE NEW AMPLIFIER "
    else:
        shout = f" ALL {total} SPEAKERS MOVE TO THE NEW AMPLIFIER " if total else " NO SPEAKERS "
    words = [f"{counts[outcome]} {outcome}" for outcome in MARKS if counts[outcome]]
    if answer.unlisted:
        words.append(f"{answer.unlisted} sold with it but not listed")
    idle = len(answer.idle_leads)
    words.append(f"{idle} idle lead{'' if idle == 1 else 's'}")
    lines = [ink("shout", shout), *wrap(" · ".join(words), width)]
    for part in answer.does_not_plug_in:
        lines += [ink("bad bold", f"! part {part} DOES NOT PLUG IN: none of its plugs is here")]
    return lines


def _needs_a_way(speaker: SpeakerAnswer, width: int, ink: Ink) -> list[str]:
    outcome = f"{MARKS[speaker.outcome]} {speaker.outcome.upper()}"
    place = f" at {speaker.place}" if speaker.place else ", place not recorded"
    effect = speaker.effect.upper() if speaker.effect == "goes silent" else speaker.effect
    head = wrap(
        f"{speaker.speaker}, {speaker.role}{place}: {effect}", width, INDENT, f"{outcome}  "
    )
    lines = [ink(STYLES[speaker.outcome], outcome) + head[0][len(outcome) :], *head[1:]]
    for feed in speaker.feeds:
        lines += wrap(f"fed by {feed_in_words(feed)}", width, INDENT * 2, INDENT)
        if feed.lead:
            lines += wrap(
                f"lead {feed.lead} of {feed.part} reaches only part of it",
                width,
                INDENT * 2,
                INDENT,
            )
    for number, fix in enumerate(speaker.fixes):
        lines += wrap(
            fix_in_words(fix),
            width,
            INDENT * 4,
            f"{INDENT}{'reach it by' if number == 0 else '         or'} ",
        )
    return lines


def feed_in_words(feed: Feed) -> str:
    """`radio, R1: + 4 OG/BK orange/black, - 5 OG orange`."""
    coil = f" coil {feed.coil}" if feed.coil else ""
    minus_at = feed.minus_connector if feed.minus_connector != feed.connector else None
    pins = (
        f"+ {_pin(feed.plus, feed.plus_wire)}, "
        f"- {f'{minus_at} ' if minus_at else ''}{_pin(feed.minus, feed.minus_wire)}"
    )
    return (
        f"{feed.unit or 'an unknown unit'}{coil}, {feed.connector or 'unknown connector'}: {pins}"
    )


def _pin(at: str | None, wire: str | None) -> str:
    return "? not documented" if at is None else f"{at} {wire_in_words(wire)}"


def wire_in_words(wire: str | None) -> str:
    """Code and word: `OG/BK orange/black`; a colour that nobody wrote down is unknown."""
    return "colour unknown" if wire is None else f"{wire} {read_colour(wire).words}"


def fix_in_words(fix: Fix) -> str:
    """One way to a speaker, with what it costs where that is known."""
    if fix.way == "part":
        swapped = ", its plus and minus swapped" if fix.reversed else ""
        said = f"part {fix.part}, lead {fix.lead}{swapped}"
    elif fix.way == "run":
        said = f"a run of new wire to {fix.to or 'its place, which is not recorded'}"
    else:
        where = f"{'in line at' if fix.in_line else 'at'} {fix.connector}"
        joints = "; ".join(
            f"{f'coil {joint.coil} ' if joint.coil else ''}"
            f"+ {_pin(joint.plus, joint.plus_wire)}, - {_pin(joint.minus, joint.minus_wire)}"
            for joint in fix.joints
        )
        place = f" ({fix.place})" if fix.place else ""
        said = f"a tap {where}{place}: {joints}; cut the factory output off there"
    return f"{said}{_cost(fix)}"


def _cost(fix: Fix) -> str:
    if fix.panels is None and fix.minutes is None and fix.metres is None:
        return ""
    minutes = "minutes unknown" if fix.minutes is None else f"{fix.minutes:g} min"
    metres = "length unknown" if fix.metres is None else f"{fix.metres:g} m"
    return f" [{minutes}, {metres}]"


def _carried(answer: Runs, width: int, ink: Ink) -> list[str]:
    rows: list[Sequence[object]] = []
    outcomes: list[str] = []
    for outcome in ("reversed", "carried"):
        for speaker in _with(answer, outcome):
            for feed in speaker.feeds:
                coil = f" coil {feed.coil}" if feed.coil else ""
                rows.append(
                    (
                        f"{MARKS[outcome]} {outcome}",
                        f"{speaker.speaker}{coil}",
                        speaker.role,
                        f"{feed.lead} of {feed.part}",
                        f"{feed.unit} {feed.connector}",
                        f"{feed.plus} {feed.plus_wire or '?'}",
                        f"{feed.minus} {feed.minus_wire or '?'}",
                    )
                )
                outcomes.append(outcome)
    if not rows:
        return []

    def paint(row: int, column: int, text: str) -> str:
        if row < 0:
            return ink("dim", text)
        return ink(STYLES[outcomes[row]], text) if column == 0 else text

    headings = ("outcome", "speaker", "role", "lead", "was fed by", "+ way", "- way")
    lines = table(headings, rows, width, paint)
    return ["", ink("bold", "Move to the new amplifier"), *lines]


def _idle(answer: Runs, width: int, ink: Ink) -> list[str]:
    lines: list[str] = []
    if answer.idle_leads:
        lines += ["", ink("bold", "Idle leads: cut back and insulate, or pull from the plug")]
    for part in answer.does_not_plug_in:
        leads = ", ".join(lead.lead for lead in answer.idle_leads if lead.part == part)
        lines += wrap(f"all of {part}, which does not plug in: {leads}", width, INDENT * 2, "  - ")
    for lead in answer.idle_leads:
        if lead.part in answer.does_not_plug_in:
            continue
        ways = f"{lead.connector or lead.plug} ways {lead.plus} and {lead.minus}"
        meter = "; meter first" if lead.why == "way not documented" else ""
        colour = wire_in_words(lead.wire)
        lines += wrap(
            f"{lead.lead} of {lead.part} ({colour}): {lead.why}, {ways}{meter}",
            width,
            INDENT * 2,
            "  - ",
        )
    return lines


def _to_meter(answer: Runs, width: int, ink: Ink) -> list[str]:
    unknown = _with(answer, "unknown")
    if not unknown:
        return []
    lines = ["", ink("bold", f"Unknown, so meter first ({len(unknown)} of {len(answer.speakers)})")]
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
        said.append(f"✗ {len(need)} of {len(answer.speakers)} need a way of their own: {names}")
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
        state = "NOT VERIFIED" if entry.state != "verified" else "verified"
        how = " alone, by a shop of one" if entry.alone else ""
        said.append(
            f"{word} {entry.id} is {entry.state}{how} (by {entry.author})"
            + (f": {state}" if state != "verified" else "")
        )
    text = "; ".join(said) + "."
    if answer.state != "verified":
        text += " Meter before you cut."
    style = "dim" if answer.state == "verified" and not answer.alone else "warn"
    return [ink(style, clean(line)) for line in wrap(text, width)]
