"""One speaker in the lines that screens show: what becomes of it, its feeds, the ways to it.

It stands alone because the speaker's own screen and the column beside the vehicle must say the
same, and in the words of `runs`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from textual.content import Content

from kb.answers.cautions import short_leads
from kb.answers.duties import duties_in_words
from kb.answers.feeds import Feed
from kb.answers.fixes import Fix
from kb.answers.rivals import PinClaim, Rival
from kb.answers.runs import Runs, SpeakerAnswer
from tui.browser.text import OUTCOME_ROLES, row, shown, swatch
from tui.browser.widgets.entries import Cell, Drawn, Entry, Heading, Item, Note
from tui.drawing.fix_words import fix_detail, fix_in_words, fix_name, unknown_cost, wire_in_words
from tui.drawing.runs_page import MARKS, NEEDS_A_WAY, effect_in_words, grip_in_words

HANGING = "      "
WHOLE = 10_000  # columns that no line needs
RIVALS = "another revision of this entry differs: meter before relying on either; d: its review"


def leads_in_words(speaker: SpeakerAnswer) -> str:
    """Every lead that is named for its feeds: `lead A of main`, `leads G + H of main`.

    A lead that holds only something of it is named too, so it says nothing of being carried.
    """
    by_part: dict[str, list[str]] = {}
    for grip in _named(speaker):
        leads = by_part.setdefault(grip[0], [])
        if grip[1] not in leads:
            leads.append(grip[1])
    return ", ".join(
        f"lead{'s' if len(leads) > 1 else ''} {' + '.join(leads)} of {part}"
        for part, leads in by_part.items()
    )


def _named(speaker: SpeakerAnswer) -> list[tuple[str, str]]:
    """Part and lead: of a partial speaker, all that hold something of it."""
    if speaker.outcome == "partial":
        return [(grip.part, grip.lead) for grip in speaker.grips]
    return [(feed.grip.part, feed.grip.lead) for feed in speaker.feeds if feed.grip]


def about_speaker(
    speaker: SpeakerAnswer,
    answer: Runs,
    rivals: Sequence[Rival] = (),
    unmeasured: Sequence[str] = (),
    *,
    colours: bool,
    width: int = WHOLE,
) -> Iterator[Entry]:
    """What becomes of a speaker and why, its feeds pin by pin, in lines of at most `width`."""
    place = f" at {speaker.place}" if speaker.place else ", place not recorded"
    ohms = f", {speaker.ohms:g} ohm" if speaker.ohms is not None else ", ohms not recorded"
    name = row((speaker.speaker, "bold"), f", {speaker.role}")
    yield from _broken(width, ("", name), ("", shown(place)), ("", shown(ohms)))
    role = "shout" if speaker.outcome in NEEDS_A_WAY else OUTCOME_ROLES[speaker.outcome]
    outcome = f" {MARKS[speaker.outcome]} {speaker.outcome.upper()} "
    leads = leads_in_words(speaker) if speaker.outcome != "partial" else ""
    by = f", by {leads}" if leads else ""
    effect = row((outcome, role), f" {effect_in_words(speaker.effect)}")
    yield from _broken(width, ("", effect), ("", shown(by)))
    if speaker.outcome == "partial":
        yield from _held_in_part(speaker, answer)
    if speaker.to_meter:
        yield Note(f"meter {speaker.to_meter}", "unknown", "  ? ")
    yield from _what_to_mind(speaker, answer, rivals)
    for feed in speaker.feeds:
        yield from _feed(feed, speaker, colours=colours, width=width)
    yield from _broken(
        width, ("", shown("established", "faint")), *_established(speaker, unmeasured)
    )


def _established(speaker: SpeakerAnswer, unmeasured: Sequence[str]) -> list[tuple[str, Content]]:
    """How sure it is; where some of its poles are measured, which are not."""
    if speaker.measured:
        return [("  ", shown("measured", "fine"))]
    some = 0 < len(unmeasured) < 2 * len(speaker.feeds)
    whole = not any(" at " in said for said in unmeasured)  # else some of a pole's ways are
    if not some and whole:
        return [("  ", shown("not measured: take it as a claim", "caution"))]
    return [
        ("  ", shown("measured in part,", "caution")),
        (" ", shown(f"not measured: {', '.join(unmeasured)};", "caution")),
        (" ", shown("take that as a claim", "caution")),
    ]


def _broken(width: int, *pieces: tuple[str, Content]) -> Iterator[Entry]:
    """Pieces, each after its gap, in as few lines as they need: none is cut that fits a line."""
    line = Content("")
    for gap, piece in pieces:
        if line and piece and line.cell_length + len(gap) + piece.cell_length > width:
            yield Drawn(line)
            said = piece.plain
            line = row(HANGING, piece[len(said) - len(said.lstrip(" ,")) :])
        elif piece:
            line = row(line, gap if line else "", piece)
    yield Drawn(line)


def _held_in_part(speaker: SpeakerAnswer, answer: Runs) -> Iterator[Entry]:
    """The leads that hold something of it, way by way: none of them carries it."""
    idle = short_leads(answer)
    held = list(dict.fromkeys((grip.part, grip.lead) for grip in speaker.grips))
    useless = all(lead in idle for lead in held)
    what = ""
    if useless:
        which = {1: "it", 2: "both"}.get(len(held), "all of them")
        what = f": leave {which} unconnected and insulated"
    yield Note(f"held in part by {leads_in_words(speaker)}{what}", "partial", "  ◐ ")
    for grip in speaker.grips:
        yield Note(grip_in_words(grip), "plain", "    ")


def _what_to_mind(speaker: SpeakerAnswer, answer: Runs, rivals: Sequence[Rival]) -> Iterator[Entry]:
    cautions = answer.cautions_about.get(speaker.speaker, ())
    for caution in cautions:
        with_leads = caution.startswith("lead ")  # said with what holds it in part
        with_rivals = rivals and "another revision of this entry" in caution
        if not (with_leads or with_rivals):
            yield Note(caution, "caution", "  ! ")
    if speaker.duties and not any(duties_in_words(speaker.duties) in text for text in cautions):
        yield Note(f"also sounds {duties_in_words(speaker.duties)}", "caution", "  ! ")
    if speaker.keep:
        yield Note(f"must stay in place: {speaker.keep}", "caution", "  = ")
    for rival in rivals:
        yield Note(rival_in_words(rival), "flag", "  ≠ ")
    if rivals:
        yield Note(RIVALS, "caution", "    ")


def rival_in_words(rival: Rival) -> str:
    """`R1 way 4: here quarter-l+ on OG/BK …; mira (submitted) says …`."""
    there = f"says {_claim_in_words(rival.there)}" if rival.there else "says nothing of this way"
    if rival.elsewhere:
        there += f" and has {rival.here.carries} at {' and '.join(rival.elsewhere)}"
    return (
        f"{rival.connector} way {rival.at}: here {_claim_in_words(rival.here)}; "
        f"{rival.author} ({rival.state}, {rival.hash[:12]}) {there}"
    )


def _claim_in_words(claim: PinClaim) -> str:
    carries = "a wire, and nobody knows what it carries" if claim.carries is None else claim.carries
    return f"{carries or 'empty'}, {wire_in_words(claim.wire)}"


def _feed(feed: Feed, speaker: SpeakerAnswer, *, colours: bool, width: int) -> Iterator[Entry]:
    coil = f", coil {feed.coil}" if feed.coil else ""
    kind = f" ({speaker.fed_by_kind})" if speaker.fed_by_kind not in (None, feed.unit) else ""
    lead = swapped = in_line = ""
    if feed.grip is not None and speaker.outcome in ("carried", "reversed"):
        swapped = ", plus and minus swapped" if feed.swapped else ""
        lead = f"lead {feed.grip.lead} of {feed.grip.part}"
        if feed.grip.in_line:
            in_line = f" in line at {feed.grip.connector}"
    unit = row(("fed by  ", "faint"), (feed.unit or "an unknown unit", "bold"), kind)
    yield from _broken(
        width,
        ("", unit),
        ("", shown(coil)),
        ("   ", shown(lead)),
        ("", shown(swapped)),
        ("", shown(in_line)),
    )
    for sign, at, wire, connector, also in (
        ("+", feed.plus, feed.plus_wire, feed.connector, feed.plus_also),
        (
            "−",
            feed.minus,
            feed.minus_wire,
            feed.minus_connector or feed.connector,
            feed.minus_also,
        ),
    ):
        if at is None:
            yield Drawn(row(f"  {sign}  ", ("not documented", "unknown")))
            continue
        yield from _way(f"  {sign}  ", f"{connector or '?'} way {at}", wire, colours, width)
        for other in also:
            where = f"{other.connector} way {other.at}"
            yield from _way(f"  {sign}  and ", where, other.wire, colours, width)


def _way(mark: str, where: str, wire: str | None, colours: bool, width: int) -> Iterator[Entry]:
    patch = row(swatch(wire), " ") if colours else ""
    way = row(mark, (where, "bold"))
    yield from _broken(width, ("", way), ("  ", row(patch, wire_in_words(wire))))


# -- the ways to it


def costs_in_words(answer: Runs) -> str:
    """From where the costs are counted, and how to count them from elsewhere."""
    if answer.costs_from is None:
        return "costs are not counted yet: f says where the amplifier goes"
    return f"costs from {answer.costs_from}, each by itself; f: another"


def fix_entries(speaker: SpeakerAnswer, answer: Runs, *, panels: bool) -> Iterator[Entry]:
    """The ways to a speaker that is not carried, each with its cost, as lines to choose from.

    `panels`: name those that come off, which takes a line for each way.
    """
    if not speaker.fixes:
        return
    yield Heading(row((" WAYS TO REACH IT ", "bold"), (f" {costs_in_words(answer)}", "faint")))
    for number, fix in enumerate(speaker.fixes):
        cost = _cost(fix, answer)
        yield Item(
            (number, fix.way, fix.part),
            (Cell(fix_name(fix), "bold"), Cell(cost, "plain", short=_short_cost(fix, answer))),
            sentence="; ".join(
                filter(None, (f"{fix_name(fix)}{fix_detail(fix)}", cost, fix.cost_unknown))
            ),
        )
        detail = fix_detail(fix).lstrip(":; ")
        if detail:
            yield Note(detail, "caution" if fix.way == "part" else "plain", HANGING, spoken=False)
        if fix.cost_unknown:
            yield Note(unknown_cost(fix), "unknown", HANGING, spoken=False)
        if fix.panels and panels:
            yield Note(f"panels off: {', '.join(fix.panels)}", "faint", HANGING)


def fix_notes(speaker: SpeakerAnswer, answer: Runs) -> Iterator[Entry]:
    """The same for reading only, each in one sentence."""
    if not speaker.fixes:
        return
    yield Heading(shown("ways to reach it", "bold"))
    yield Note(costs_in_words(answer), "faint", "  ")
    for fix in speaker.fixes:
        yield Note(fix_in_words(fix), "plain", "  - ")


def _cost(fix: Fix, answer: Runs) -> str:
    """Panels, minutes and metres; what nobody recorded is said to be unknown, never zero."""
    if answer.costs_from is None:
        return ""
    if fix.panels is None and fix.minutes is None and fix.metres is None:
        return "cost unknown"
    panels = "panels unknown" if fix.panels is None else _panels(len(fix.panels))
    return f"{panels}, {_minutes(fix)}, {_metres(fix)} of wire"


def _short_cost(fix: Fix, answer: Runs) -> str:
    """The same in few columns; what nobody recorded is `?`."""
    if answer.costs_from is None or (fix.panels is None and fix.minutes is None):
        return ""
    panels = "? panels" if fix.panels is None else _panels(len(fix.panels))
    minutes = "?" if fix.minutes is None else f"{fix.minutes:g}"
    metres = "?" if fix.metres is None else f"{fix.metres:g}"
    return f"{panels}, {minutes} min, {metres} m"


def _minutes(fix: Fix) -> str:
    return "minutes unknown" if fix.minutes is None else f"{fix.minutes:g} min"


def _metres(fix: Fix) -> str:
    return "length unknown" if fix.metres is None else f"{fix.metres:g} m"


def _panels(count: int) -> str:
    return f"{count} panel{'' if count == 1 else 's'}"
