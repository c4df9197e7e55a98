"""An answer of kb in the lines that screens show: which speaker first, in which words.

It stands alone because the vehicle, the speaker and the flat text must say the same thing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from textual.content import Content

from kb.answers.fixes import Fix
from kb.answers.glance import Glance, GlanceSpeaker
from kb.answers.kits import KitFit
from kb.answers.runs import Feed, Runs, SpeakerAnswer
from tui.browser.text import OUTCOME_ROLES, row, shown, swatch
from tui.browser.widgets.entries import Cell, Entry, Heading, Item, Note
from tui.drawing.fix_words import fix_in_words, wire_in_words
from tui.drawing.pieces import Style
from tui.drawing.runs_page import MARKS
from tui.drawing.vehicle_from_above import Spot

ORDER = ("left out", "partial", "unknown", "reversed", "carried")
NEEDS_A_WAY = ("left out", "partial")
SPOT_STYLES = {
    "left out": Style.FLAG,
    "partial": Style.PARTIAL,
    "reversed": Style.PARTIAL,
    "unknown": Style.UNKNOWN,
    "carried": Style.FINE,
}
DOCUMENTED, NOT_DOCUMENTED = "•", "?"


# -- the speakers of a vehicle


def speaker_entries(answer: Runs) -> Iterator[Entry]:
    """All speakers by outcome and effect, what needs a way of its own first, then what to know."""
    for outcome in ORDER:
        for effect in (
            "goes silent",
            "stays on factory feed",
            "meter first",
            "moves to new amplifier",
        ):
            group = [s for s in answer.speakers if (s.outcome, s.effect) == (outcome, effect)]
            if not group:
                continue
            yield Heading(_group_heading(outcome, effect, len(group)))
            for speaker in group:
                yield speaker_item(speaker)
    yield from _what_to_know(answer)


def _group_heading(outcome: str, effect: str, count: int) -> Content:
    role = "shout" if outcome in NEEDS_A_WAY else OUTCOME_ROLES[outcome]
    loud = effect.upper() if effect == "goes silent" else effect
    text = f" {MARKS[outcome]} {count} {outcome.upper()} "
    return row((text, role), f" {loud}")


def speaker_item(speaker: SpeakerAnswer) -> Item:
    """One speaker as a line: mark, name, place, role, what feeds it, what else to know."""
    remarks = [*speaker.duties]
    if speaker.disputed:
        remarks.append("disputed")
    if speaker.lead:
        remarks.insert(0, f"lead {speaker.lead} of {speaker.part}")
    role = OUTCOME_ROLES[speaker.outcome]
    place = f" at {speaker.place}" if speaker.place else ", place not recorded"
    return Item(
        speaker.speaker,
        (
            Cell(f"{MARKS[speaker.outcome]} {speaker.speaker}", role),
            Cell(speaker.place),
            Cell(speaker.role),
            Cell(speaker.fed_by),
            Cell(", ".join(remarks), "caution" if speaker.disputed or speaker.duties else "faint"),
        ),
        sentence=(
            f"{speaker.outcome}, {speaker.effect}: {speaker.speaker}, {speaker.role}{place}, "
            f"fed by {speaker.fed_by or 'an unknown unit'}"
            + "".join(f", {remark}" for remark in remarks)
        ),
    )


def glance_entries(seen: Glance) -> Iterator[Entry]:
    """The speakers before a kit is chosen."""
    yield Heading(
        row(
            (f" {len(seen.speakers)} SPEAKERS ", "bold"),
            " choose a kit to see what becomes of them",
        )
    )
    for speaker in seen.speakers:
        yield _glance_item(speaker)


def _glance_item(speaker: GlanceSpeaker) -> Item:
    remark = "" if speaker.documented else "not documented: meter first"
    place = f" at {speaker.place}" if speaker.place else ", place not recorded"
    return Item(
        speaker.speaker,
        (
            Cell(f"{DOCUMENTED if speaker.documented else NOT_DOCUMENTED} {speaker.speaker}",
                 "bold" if speaker.documented else "unknown"),
            Cell(speaker.place),
            Cell(speaker.role),
            Cell(speaker.fed_by),
            Cell(", ".join(filter(None, (remark, *speaker.duties))), "caution"),
        ),
        sentence=f"{speaker.speaker}, {speaker.role}{place}, fed by "
        f"{speaker.fed_by or 'an unknown unit'}" + (f", {remark}" if remark else ""),
    )  # fmt: skip


def _what_to_know(answer: Runs) -> Iterator[Entry]:
    if answer.cautions:
        yield Heading(shown(f" ! {_many(len(answer.cautions), 'CAUTION')} ", "unknown"))
        for caution in answer.cautions:
            yield Note(caution, "caution", "  ! ")
    if answer.idle_leads:
        leads = _many(len(answer.idle_leads), "IDLE LEAD")
        yield Heading(row((f" {leads} ", "bold"), " cut back and insulate, or pull from the plug"))
        for lead in answer.idle_leads:
            ways = f"{lead.connector or lead.plug} ways {lead.plus} and {lead.minus}"
            meter = "; meter first" if lead.why == "way not documented" else ""
            name = f"{lead.lead} of {lead.part} ({wire_in_words(lead.wire)})"
            yield Note(f"{name}: {lead.why}, {ways}{meter}", "plain", "  - ")
    for part in answer.does_not_plug_in:
        yield Note(
            f"part {part} does not plug in: this vehicle has none of its plugs", "flag", "  ! "
        )
    yield Note(trust(answer), "faint" if answer.state == "verified" else "caution", "  ")


def trust(answer: Runs) -> str:
    """What the answer rests on."""
    said = []
    for word, entry in (("vehicle", answer.vehicle), ("kit", answer.kit)):
        alone = " alone, by a shop of one" if entry.alone else ""
        not_yet = "" if entry.state == "verified" else ", not verified"
        said.append(f"{word} entry {entry.state}{alone}{not_yet} (by {entry.author})")
    meter = "" if answer.state == "verified" else ". Meter before you cut"
    return "; ".join(said) + meter + "."


def headline(answer: Runs) -> Content:
    """The answer in one line: how many need a way of their own, then each outcome counted."""
    counts = {outcome: sum(s.outcome == outcome for s in answer.speakers) for outcome in ORDER}
    need = sum(counts[outcome] for outcome in NEEDS_A_WAY)
    total = len(answer.speakers)
    if need:
        verb, own = ("needs", "its") if need == 1 else ("need", "their")
        shout = (f" {need} of {total} speakers {verb} a way of {own} own ".upper(), "shout")
    elif counts["unknown"]:
        shout = (
            f" None known to be left out, but {counts['unknown']} of {total} unknown ",
            "unknown",
        )
    else:
        shout = (f" All {total} speakers move to the new amplifier ", "fine")
    parts: list[Content | tuple[object, str] | str] = [shout]
    for outcome in ORDER:
        if counts[outcome]:
            parts += [
                "  ",
                (f"{MARKS[outcome]} {counts[outcome]} {outcome}", OUTCOME_ROLES[outcome]),
            ]
    return row(*parts)


def spots(speakers: Iterable[SpeakerAnswer | GlanceSpeaker], marked: str | None) -> list[Spot]:
    """The speakers for the drawing."""
    made = []
    for speaker in speakers:
        if isinstance(speaker, SpeakerAnswer):
            mark, style = MARKS[speaker.outcome], SPOT_STYLES[speaker.outcome]
        elif speaker.documented:
            mark, style = DOCUMENTED, Style.PLAIN
        else:
            mark, style = NOT_DOCUMENTED, Style.UNKNOWN
        made.append(
            Spot(speaker.place, speaker.speaker, mark, style, lit=speaker.speaker == marked)
        )
    return made


# -- kits


def kit_entries(kits: Sequence[KitFit], total: int) -> Iterator[Entry]:
    """Kits that plug in first, each with how many speakers it leaves out."""
    fitting = [kit for kit in kits if kit.plugs_in]
    others = [kit for kit in kits if not kit.plugs_in]
    if fitting:
        yield Heading(shown(" KITS THAT PLUG IN ", "bold"))
        for number, kit in enumerate(fitting, 1):
            yield _kit_item(kit, total, number)
    elif kits:
        yield Heading(shown(" NO KIT OF THIS BOOK PLUGS IN HERE ", "unknown"))
    else:
        yield Heading(shown(" THIS BOOK HAS NO KITS YET ", "unknown"))
    if others:
        yield Heading(shown(" do not plug in here", "faint"))
        for kit in others:
            yield _kit_item(kit, total, None)


def _kit_item(kit: KitFit, total: int, number: int | None) -> Item:
    need = kit.left_out + kit.partial
    if number is None:
        said, role = "", "faint"
    elif need:
        said, role = f"leaves out {need} of {total}", "flag"
    elif kit.unknown:
        said, role = f"{kit.unknown} of {total} unknown", "unknown"
    else:
        said, role = f"carries all {total}", "fine"
    best = ""
    if number is not None and kit.at_best < need:
        best = f"{kit.at_best} with all parts" if kit.at_best else "none with all parts"
    unknown = f"{kit.unknown} unknown" if kit.unknown and need and number is not None else ""
    return Item(
        kit.id,
        (
            Cell(str(number) if number is not None and number < 10 else " ", "key"),
            Cell(f"{kit.maker} {kit.name}", "bold" if number is not None else "faint"),
            Cell(said, role),
            Cell(", ".join(filter(None, (best, unknown))), "faint"),
        ),
        sentence=f"{kit.maker} {kit.name}: {said}" + (f", {best}" if best else ""),
    )


# -- one speaker


def about_speaker(speaker: SpeakerAnswer, *, colours: bool) -> Iterator[Content]:
    """What becomes of a speaker and why, its feeds pin by pin."""
    place = f" at {speaker.place}" if speaker.place else ", place not recorded"
    ohms = f", {speaker.ohms:g} ohm" if speaker.ohms is not None else ", ohms not recorded"
    yield row((speaker.speaker, "bold"), f", {speaker.role}{place}{ohms}")
    role = "shout" if speaker.outcome in NEEDS_A_WAY else OUTCOME_ROLES[speaker.outcome]
    outcome = f" {MARKS[speaker.outcome]} {speaker.outcome.upper()} "
    by = f"  by lead {speaker.lead} of part {speaker.part}" if speaker.lead else ""
    yield row((outcome, role), f" {speaker.effect}{by}")
    if speaker.outcome == "unknown" and speaker.to_meter:
        yield shown(f"meter {speaker.to_meter}", "unknown")
    if speaker.duties:
        yield shown(f"also sounds: {', '.join(speaker.duties)}", "caution")
    if speaker.keep:
        yield shown(f"keep it in place: {speaker.keep}", "caution")
    yield shown("")
    for feed in speaker.feeds:
        yield from _feed(feed, speaker, colours=colours)
    how = "measured" if speaker.measured else "not measured: take it as a claim"
    yield row(("established  ", "faint"), (how, "fine" if speaker.measured else "caution"))
    if speaker.disputed:
        yield shown("DISPUTED: another entry of this vehicle has its pins differently", "flag")
    if len(speaker.claimed_by) > 1:
        yield shown(f"{' and '.join(speaker.claimed_by)} both claim to drive it", "flag")


def _feed(feed: Feed, speaker: SpeakerAnswer, *, colours: bool) -> Iterator[Content]:
    coil = f", coil {feed.coil}" if feed.coil else ""
    kind = f" ({speaker.fed_by_kind})" if speaker.fed_by_kind not in (None, feed.unit) else ""
    yield row(("fed by  ", "faint"), (feed.unit or "an unknown unit", "bold"), f"{kind}{coil}")
    for sign, at, wire, connector in (
        ("+", feed.plus, feed.plus_wire, feed.connector),
        ("−", feed.minus, feed.minus_wire, feed.minus_connector or feed.connector),
    ):
        if at is None:
            yield row(f"  {sign}  ", ("not documented", "unknown"))
            continue
        where = (f"{connector or '?'} way {at}", "bold")
        patch = row(swatch(wire), " ") if colours else Content("")
        yield row(f"  {sign}  ", where, "  ", patch, wire_in_words(wire))


def fix_entries(speaker: SpeakerAnswer) -> Iterator[Entry]:
    """The ways to a speaker that is not carried, each with its cost, as lines to choose from."""
    if not speaker.fixes:
        return
    yield Heading(shown(" WAYS TO REACH IT ", "bold"))
    for number, fix in enumerate(speaker.fixes):
        yield Item(
            (number, fix.way, fix.part),
            (Cell(fix.way, "key"), Cell(_fix_words(fix)), Cell(cost_in_words(fix), "faint")),
            sentence=f"{fix_in_words(fix)}; {cost_in_words(fix)}",
        )
        if fix.warning:
            yield Note(fix.warning, "caution", "        ! ")


def _fix_words(fix: Fix) -> str:
    if fix.way == "part":
        swapped = ", plus and minus swapped" if fix.reversed else ""
        return f"{fix.part}, its lead {fix.lead}{swapped}"
    if fix.way == "run":
        return f"new wire to {fix.to or 'its place, which is not recorded'}"
    ways = "; ".join(f"{joint.plus or '?'} and {joint.minus or '?'}" for joint in fix.joints)
    return f"join at {fix.connector}{' in line' if fix.in_line else ''}, ways {ways}" + (
        f" ({fix.place})" if fix.place else ""
    )


def cost_in_words(fix: Fix) -> str:
    """Panels, minutes and metres; what nobody recorded is said to be unknown, never zero."""
    if fix.panels is None and fix.minutes is None and fix.metres is None:
        return "cost unknown"
    panels = "panels unknown" if fix.panels is None else _many(len(fix.panels), "panel")
    minutes = "minutes unknown" if fix.minutes is None else f"{fix.minutes:g} min"
    metres = "length unknown" if fix.metres is None else f"{fix.metres:g} m of wire"
    return f"{panels}, {minutes}, {metres}"


def _many(count: int, word: str) -> str:
    plural = "S" if word.isupper() else "s"
    return f"{count} {word}{'' if count == 1 else plural}"
