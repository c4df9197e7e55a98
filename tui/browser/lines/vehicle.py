"""An answer of kb in the lines of the vehicle's screen: which speaker first, in which words.

It stands alone because the list, the headline and the flat text must say the same thing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from textual.content import Content

from kb.answers.duties import duties_in_words
from kb.answers.glance import Glance, GlanceSpeaker
from kb.answers.runs import Runs, SpeakerAnswer
from tui.browser.lines.speaker import leads_in_words
from tui.browser.text import OUTCOME_ROLES, flow, row, shown
from tui.browser.widgets.entries import Cell, Entry, Heading, Item, Note
from tui.drawing.pieces import Style
from tui.drawing.runs_page import (
    MARKS,
    NEEDS_A_WAY,
    effect_in_words,
    idle_in_words,
    plugging_in_words,
    shout_in_words,
)
from tui.drawing.vehicle_from_above import Spot
from tui.tables import wrap

ORDER = ("left out", "partial", "unknown", "reversed", "carried")
EFFECTS = ("goes silent", "stays on factory feed", "meter first", "moves to new amplifier")
SPOT_STYLES = {
    "left out": Style.FLAG,
    "partial": Style.PARTIAL,
    "reversed": Style.PARTIAL,
    "unknown": Style.UNKNOWN,
    "carried": Style.FINE,
}
MOST_LEAD, LEAST_PLACE = 18, 12
DOCUMENTED, NOT_DOCUMENTED = "•", "?"
DISPUTED = "≠"
SIGNS = {
    "!": "more than music",
    DISPUTED: "disputed",
    "=": "must stay",
}
"""What stands right beside a speaker's name, so that no width can hide it."""


# -- the speakers of a vehicle


def speaker_entries(answer: Runs) -> Iterator[Entry]:
    """All speakers by outcome and effect, what needs a way of its own first, then what to know."""
    for outcome in ORDER:
        for effect in EFFECTS:
            group = [s for s in answer.speakers if (s.outcome, s.effect) == (outcome, effect)]
            if not group:
                continue
            yield Heading(_group_heading(outcome, effect, len(group)))
            for speaker in group:
                yield speaker_item(speaker, answer)
                if speaker.to_meter:
                    yield Note(f"meter {speaker.to_meter}", "unknown", "    ", spoken=False)
    used = "".join(_signs_of(speaker) for speaker in answer.speakers)
    yield from _legend(used)
    yield from _what_to_know(answer)


def yields_of(entries: Iterable[Entry]) -> tuple[tuple[int, int], ...]:
    """The role goes first; which lead it is stays longer than the whole name of a place."""
    leads = [entry.cells[-1].least for entry in entries
             if isinstance(entry, Item) and entry.cells[-1].short]  # fmt: skip
    return (2, -1), (4, min(MOST_LEAD, max(leads, default=9))), (1, LEAST_PLACE), (4, 0), (3, 4)


def not_plainly_carried(answer: Runs) -> list[str]:
    """The speakers that somebody must look at, in the order of the list."""
    return [
        speaker.speaker
        for outcome in ORDER
        for effect in EFFECTS
        for speaker in answer.speakers
        if (speaker.outcome, speaker.effect) == (outcome, effect)
        and (outcome != "carried" or speaker.disputed)
    ]


def _group_heading(outcome: str, effect: str, count: int) -> Content:
    role = "shout" if outcome in NEEDS_A_WAY else OUTCOME_ROLES[outcome]
    text = f" {MARKS[outcome]} {count} {outcome.upper()} "
    return row((text, role), f" {effect_in_words(effect)}")


def _signs_of(speaker: SpeakerAnswer | GlanceSpeaker) -> str:
    signs = "!" if speaker.duties else ""
    if isinstance(speaker, SpeakerAnswer):
        signs += (DISPUTED if speaker.disputed else "") + ("=" if speaker.keep else "")
    return signs


def _legend(used: str) -> Iterator[Entry]:
    if used:
        said = "; ".join(f"{sign} {means}" for sign, means in SIGNS.items() if sign in used)
        yield Note(said, "faint", "  ", spoken=False)


def _name(mark: str, speaker: SpeakerAnswer | GlanceSpeaker) -> str:
    signs = _signs_of(speaker)
    return f"{mark} {speaker.speaker}{f' {signs}' if signs else ''}"


def speaker_item(speaker: SpeakerAnswer, answer: Runs) -> Item:
    """One speaker as a line: mark, name, place, role, what feeds it, what else to know."""
    leads = leads_in_words(speaker)
    if leads and speaker.outcome == "partial":
        leads = f"in part on {leads}"
    remarks = [leads] if leads else []
    if speaker.disputed:
        remarks.append("disputed")
    remarks += speaker.duties or ()
    role = OUTCOME_ROLES[speaker.outcome]
    place = f" at {speaker.place}" if speaker.place else ", place not recorded"
    told = [f"meter {speaker.to_meter}"] if speaker.to_meter else []
    told += remarks + ([f"must stay in place: {speaker.keep}"] if speaker.keep else [])
    short = leads
    for word, brief in (("in part on ", "part: "), ("leads ", ""), ("lead ", ""), (" + ", "+")):
        short = short.replace(word, brief)
    if speaker.outcome == "partial":
        short = short.partition(" of ")[0]
    return Item(
        speaker.speaker,
        (
            Cell(_name(MARKS[speaker.outcome], speaker), role),
            Cell(speaker.place),
            Cell(speaker.role),
            Cell(speaker.fed_by),
            Cell(
                ", ".join(remarks),
                "caution" if speaker.disputed or speaker.duties else "faint",
                short=short,  # the signs beside the name say the rest
            ),
        ),
        sentence=(
            f"{speaker.outcome}, {effect_in_words(speaker.effect)}: {speaker.speaker}, "
            f"{speaker.role}{place}, "
            f"fed by {speaker.fed_by or 'an unknown unit'}" + "".join(f", {text}" for text in told)
        ),
        copied=(
            ("outcome", speaker.outcome),
            ("effect", effect_in_words(speaker.effect)),
            ("speaker", speaker.speaker),
            ("place", speaker.place or "not recorded"),
            ("role", speaker.role),
            ("fed by", speaker.fed_by or "unknown"),
            ("to know", ", ".join(told)),
            ("pins", "measured" if speaker.measured else "not measured"),
            ("entry", trust_in_short(answer).removeprefix("! ") or answer.state),
        ),
    )


def glance_entries(seen: Glance) -> Iterator[Entry]:
    """The speakers before a kit is chosen."""
    many = _many(len(seen.speakers), "SPEAKER")
    unlisted = [(f"  {unlisted_in_words(seen.unlisted)}", "unknown")] if seen.unlisted else []
    yield Heading(
        row((f" {many} ", "bold"), *unlisted, " choose a kit to see what becomes of them")
    )
    for speaker in seen.speakers:
        yield _glance_item(speaker)
    yield from _legend("".join(_signs_of(speaker) for speaker in seen.speakers))


def unlisted_in_words(count: int) -> str:
    """Speakers that the vehicle was sold with and that its entry does not list."""
    return f"? {count} sold with it but not listed"


def _glance_item(speaker: GlanceSpeaker) -> Item:
    remark = "" if speaker.documented else "not documented: meter first"
    place = f" at {speaker.place}" if speaker.place else ", place not recorded"
    sounds = f", also sounds {duties_in_words(speaker.duties)}" if speaker.duties else ""
    return Item(
        speaker.speaker,
        (
            Cell(_name(DOCUMENTED if speaker.documented else NOT_DOCUMENTED, speaker),
                 "bold" if speaker.documented else "unknown"),
            Cell(speaker.place),
            Cell(speaker.role),
            Cell(speaker.fed_by),
            Cell(", ".join(filter(None, (remark, *(speaker.duties or ())))), "caution",
                 short="meter first" if remark else ""),
        ),
        sentence=f"{speaker.speaker}, {speaker.role}{place}, fed by "
        f"{speaker.fed_by or 'an unknown unit'}" + (f", {remark}" if remark else "") + sounds,
        copied=(
            ("pins", "documented" if speaker.documented else "not documented: meter first"),
            ("speaker", speaker.speaker),
            ("place", speaker.place or "not recorded"),
            ("role", speaker.role),
            ("fed by", speaker.fed_by or "unknown"),
            ("to know", sounds.removeprefix(", ")),
        ),
    )  # fmt: skip


def _what_to_know(answer: Runs) -> Iterator[Entry]:
    if answer.cautions:
        yield Heading(shown(f" ! {_many(len(answer.cautions), 'CAUTION')} ", "unknown"))
        for caution in answer.cautions:
            yield Note(caution, "caution", "  ! ")
    kept = [speaker for speaker in answer.speakers if speaker.keep]
    if kept:
        yield Heading(shown(" = MUST STAY IN PLACE ", "bold"))
        for speaker in kept:
            yield Note(f"{speaker.speaker}: {speaker.keep}", "plain", "  = ")
    if answer.idle_leads:
        leads = _many(len(answer.idle_leads), "IDLE LEAD")
        yield Heading(row((f" {leads} ", "bold"), " cut back and insulate, or pull from the plug"))
        for said in idle_in_words(answer):
            yield Note(said, "plain", "  - ")
    yield Note(trust(answer), "faint" if answer.state == "verified" else "caution", "  ")


def trust(answer: Runs) -> str:
    """What the answer rests on."""
    said = []
    for word, entry in (("vehicle", answer.vehicle), ("kit", answer.kit)):
        not_yet = "" if entry.state == "verified" else ", not verified"
        less = f", {entry.signed_less}" if entry.signed_less else ""
        said.append(f"{word} entry {entry.state}{not_yet} (entered by {entry.author}){less}")
    meter = "" if answer.state == "verified" else ". Meter before you cut"
    return "; ".join(said) + meter + "."


def trust_in_short(answer: Runs) -> str:
    """For the head of the page: empty where all of it is verified and measured."""
    if answer.state != "verified":
        return "! not verified"
    if answer.vehicle.reason or answer.kit.reason:
        return "! verified on less than measured"
    alone = answer.vehicle.alone or answer.kit.alone
    return "! verified alone" if alone else ""


def headline(answer: Runs, width: int) -> list[Content]:
    """The answer: how many need a way of their own, each outcome counted, what does not plug in."""
    counts = Counter(speaker.outcome for speaker in answer.speakers)
    items = [shown(f" {shout_in_words(answer)} ", _shout_role(answer, counts))]
    for outcome in ORDER:
        if counts[outcome]:
            counted = f"{MARKS[outcome]} {counts[outcome]} {outcome}"
            items.append(
                row((counted, OUTCOME_ROLES[outcome]), *_of_them_disputed(answer, outcome))
            )
    if answer.unlisted:
        items.append(shown(unlisted_in_words(answer.unlisted), "unknown"))
    made = flow(items, width)
    for said in plugging_in_words(answer):
        made += [shown(line, "flag") for line in wrap(said, width, "   ", " ")]
    return made


def _of_them_disputed(answer: Runs, outcome: str) -> Iterator[tuple[str, str]]:
    """How many of an outcome rest on pins that another live revision has differently."""
    disputed = sum(s.disputed for s in answer.speakers if s.outcome == outcome)
    if disputed:
        yield f", {disputed} of them {DISPUTED} disputed", "caution"


def _shout_role(answer: Runs, counts: Counter[str]) -> str:
    if any(counts[outcome] for outcome in NEEDS_A_WAY):
        return "shout"
    doubtful = not counts or counts["unknown"] or answer.contests or answer.unlisted
    doubtful = doubtful or any(speaker.disputed for speaker in answer.speakers)
    return "unknown" if doubtful else "fine"


def spots(speakers: Iterable[SpeakerAnswer | GlanceSpeaker], marked: str | None) -> list[Spot]:
    """The speakers for the drawing."""
    made = []
    for speaker in speakers:
        sign = ""
        if isinstance(speaker, SpeakerAnswer):
            mark, style = MARKS[speaker.outcome], SPOT_STYLES[speaker.outcome]
            sign = DISPUTED if speaker.disputed else ""
        elif speaker.documented:
            mark, style = DOCUMENTED, Style.PLAIN
        else:
            mark, style = NOT_DOCUMENTED, Style.UNKNOWN
        made.append(
            Spot(speaker.place, speaker.speaker, mark, style, speaker.speaker == marked, sign)
        )
    return made


def _many(count: int, word: str) -> str:
    plural = "S" if word.isupper() else "s"
    return f"{count} {word}{'' if count == 1 else plural}"
