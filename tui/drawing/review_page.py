"""A dossier for a person: what changes, how it is known, who says otherwise, and the effect."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

from kb.documents.colours import LETTERS
from kb.review.changes import Change, FieldChange
from kb.review.dossier import Dossier
from kb.review.effect import OutcomeChange, Told
from tui.clean import clean
from tui.drawing.review_words import STATE_STYLES, by_whom, moment, shop_words, state_words
from tui.ink import Ink
from tui.tables import wrap

INDENT = " " * 2
SIGNS = {"added": "+", "changed": "~", "gone": "-"}
STYLES = {"added": "good", "changed": "warn", "gone": "bad"}
ACTS = {"draft": "draft", "verify": "verified", "return": "returned"}
ACTS |= {"supersede": "superseded", "withdraw": "withdrawn"}
SURE_STYLES = {"certain": "bad bold", "likely": "warn", "look": "plain"}


def review_page(
    seen: Dossier,
    here: str,
    names: Mapping[str, str],
    width: int,
    ink: Ink,
    *,
    next_words: str | None = None,
) -> list[str]:
    """Lines no wider than `width` cells. `next_words`: what may follow, else the commands."""
    blocks = [
        _title(seen, here, names, width, ink),
        _section("LOOK TWICE", [(None, risk.why) for risk in seen.risks], width, ink),
        _takes_back(seen, here, names, width, ink),
        _changes(seen, width, ink),
        _evidence(seen, width, ink),
        _rivals(seen, here, names, width, ink),
        _elsewhere(seen, here, names, width, ink),
        _findings(seen, width, ink),
        _effect(seen, width, ink),
        _next(seen, width) if next_words is None else wrap(next_words, width),
    ]
    lines: list[str] = []
    for block in blocks:
        if block:
            lines += ["", *block] if lines else block
    return lines


def _title(seen: Dossier, here: str, names: Mapping[str, str], width: int, ink: Ink) -> list[str]:
    revision = seen.revision
    author = by_whom(revision.author, revision.origin, here, names)
    state = state_words(revision.state)
    inked = ink(STATE_STYLES.get(revision.state, "plain"), state)
    lines = [ink("bold", clean(f"{revision.kind} {revision.name}"))]
    entered = f"submitted by {author}, {moment(revision.submitted)}"
    if revision.state in ("draft", "submitted"):
        lines.append(f"{INDENT}{inked} by {author}, {moment(revision.submitted)}")
    else:
        first, *rest = wrap(f"{state}{_last_act(seen)}", width, INDENT * 2, INDENT)
        lines += [first.replace(state, inked, 1), *rest, f"{INDENT}{entered}"]
    if seen.against:
        text = f"against {seen.against.name}, {seen.against.state}, by {seen.against.author}"
        lines += wrap(text, width, INDENT, INDENT)
    else:
        lines.append(f"{INDENT}the first revision of this entry")
    for text in _lineage(seen):
        lines += wrap(text, width, INDENT, INDENT)
    return lines


def _lineage(seen: Dossier) -> Iterator[str]:
    """What it was made from, where the changes are against another; and what answers instead."""
    made_from, answers = seen.made_from, seen.answers
    if made_from and made_from != seen.against:
        yield f"made from {made_from.name}, {made_from.state}, by {made_from.author}"
    if made_from and answers and answers.hash not in (seen.revision.hash, made_from.hash):
        yield (
            f"{made_from.name} does not answer now: {answers.name}, {answers.state}, by "
            f"{answers.author}, does"
        )


def _last_act(seen: Dossier) -> str:
    """Who brought the revision into its state, when and why; it need not be its author."""
    acts = [act for act in seen.acts if ACTS.get(act.act) == seen.revision.state]
    if not acts:
        return ""
    last = acts[-1]
    return f" by {last.by}, {moment(last.at)}" + (f": {last.reason}" if last.reason else "")


def _section(title: str, rows: Sequence[tuple[str | None, str]], width: int, ink: Ink) -> list[str]:
    """A heading and one bullet for each row; a row's sign stands before it."""
    if not rows:
        return []
    lines = [ink("bold", title)]
    for sign, text in rows:
        lines += wrap(text, width, INDENT + "  ", f"{INDENT}{sign or '!'} ")
    return lines


def _takes_back(
    seen: Dossier, here: str, names: Mapping[str, str], width: int, ink: Ink
) -> list[str]:
    """What others said and it does not: from what stands there to what would stand again."""
    rows: list[tuple[str | None, str]] = []
    for one in seen.takes_back:
        other = one.revision
        who = by_whom(other.author, other.origin, here, names)
        rows.append(("·", f"of {other.name}, {other.state}, by {who}:"))
        rows += [(SIGNS[change.what], change_words(change, how=False)) for change in one.changes]
    return _section("WOULD TAKE BACK", rows, width, ink)


def _changes(seen: Dossier, width: int, ink: Ink) -> list[str]:
    lines = [ink("bold", "CHANGES")]
    changes = [*seen.pins, *seen.others]
    if seen.against is None:
        # All of it is to be signed, so all of it is shown: the head first, the pins last.
        head = seen.revision.kind
        changes = [*sorted(seen.others, key=lambda c: c.table != head), *seen.pins]
        lines += wrap(f"all of it is new: {_counted(changes, head)}", width, INDENT, INDENT)
    elif not changes:
        same = "none but evidence" if seen.evidence else "none: all of it is as it was"
        return [*lines, f"{INDENT}{same}"]
    for change in changes:
        if seen.against is None:
            sign, said = ink(STYLES["added"], SIGNS["added"]), written_words(change)
        else:
            sign, said = ink(STYLES[change.what], SIGNS[change.what]), change_words(change)
        wrapped = wrap(said, width, INDENT + "    ", f"{INDENT}  ")
        lines += [f"{INDENT}{sign} {wrapped[0].strip()}", *wrapped[1:]]
    return lines


def _counted(changes: Sequence[Change], head: str) -> str:
    counts = Counter(change.table for change in changes if change.table != head)
    said = ", ".join(
        f"{count} {table}{'s' * (count > 1 and table != 'fitted')}"
        for table, count in counts.items()
    )
    return said or "its head only"


def change_words(change: Change, *, how: bool = True) -> str:
    """One change on one line: `A1.5: wire GN/BN … → GN/YE …`; with `how` a pin is established."""
    known = _how(change) if how else ""
    if change.what == "changed":
        fields = "; ".join(_field(field) for field in change.fields)
        return f"{_name(change)}: {fields}{known}"
    return f"{_name(change)} {change.what}: {_facts(change)}{known}"


def written_words(change: Change) -> str:
    """A thing of a first revision, in which nothing changed: what is written of it."""
    return f"{_name(change)}: {_facts(change)}{_how(change)}"


def _name(change: Change) -> str:
    return change.id if change.table == "pin" else f"{change.table} {change.id}".strip()


def _facts(change: Change) -> str:
    return ", ".join(
        f"{field.field.replace('_', ' ')} {_value(field.field, field.before or field.after)}"
        for field in change.fields
        if field.field != "id"
    )


def _how(change: Change) -> str:
    if change.table != "pin" or change.what == "gone":
        return ""
    return f" [{', '.join(change.methods) or 'no evidence'}]"


def _field(field: FieldChange) -> str:
    return f"{field.field} {_value(field.field, field.before)} → {_value(field.field, field.after)}"


def _value(field: str, value: str | None) -> str:
    if value is None:
        return "(not written)"
    if field == "wire":
        words = "/".join(LETTERS.get(code, code) for code in value.split("/"))
        return f"{value} {words}"
    if field == "watts" and value.startswith("{"):
        return ", ".join(f"{watts:g} W at {ohms} Ω" for ohms, watts in json.loads(value).items())
    return value


def _evidence(seen: Dossier, width: int, ink: Ink) -> list[str]:
    rows: list[tuple[str | None, str]] = []
    for line in seen.lines:
        said = f"{line.method} on {', '.join(line.of)}, by {line.author}"
        said += f", {line.day}" if line.day else ""
        if line.fallen:
            said += f", but not on {', '.join(line.fallen)} as told now"
        rows.append(("·", f"{said}: {line.note}" if line.note else said))
    gone = [change for change in seen.evidence if change.what == "gone"]
    rows += [("-", f"no longer there: {change.fields[0].before} on {change.id}") for change in gone]
    if seen.unmeasured:
        rows.append(("!", f"not measured: {', '.join(seen.unmeasured)}"))
    if not rows and seen.revision.kind == "vehicle":
        rows.append(("!", "none at all"))
    return _section("EVIDENCE", rows, width, ink)


def _rivals(seen: Dossier, here: str, names: Mapping[str, str], width: int, ink: Ink) -> list[str]:
    rows: list[tuple[str | None, str]] = []
    for rival in seen.rivals:
        if rival.revision == seen.against:
            continue  # the changes above are against it
        who = by_whom(rival.revision.author, rival.revision.origin, here, names)
        title = f"{rival.revision.name}, {rival.revision.state}, by {who}"
        if not rival.differs:
            rows.append(("·", f"{title}: the same pins"))
        for number, change in enumerate(rival.differs):
            before = title + ": " if number == 0 else ""
            rows.append(("·" if number == 0 else " ", f"{before}{_there_and_here(change)}"))
    return _section("OTHER LIVE REVISIONS", rows, width, ink)


def _there_and_here(change: Change) -> str:
    if change.what == "added":
        return f"{change.id} only here"
    if change.what == "gone":
        return f"{change.id} only there"
    said = "; ".join(
        f"{field.field} there {_value(field.field, field.before)}, "
        f"here {_value(field.field, field.after)}"
        for field in change.fields
    )
    return f"{change.id} {said}"


def _elsewhere(
    seen: Dossier, here: str, names: Mapping[str, str], width: int, ink: Ink
) -> list[str]:
    rows: list[tuple[str | None, str]] = [
        (
            "·",
            f"{act.words} by {act.by} at {shop_words(act.origin, here, names)}, {moment(act.at)}"
            + (f": {act.reason}" if act.reason else ""),
        )
        for act in seen.acts
        if act.arrived and act.act != "submit"
    ]
    return _section("SAID ELSEWHERE (it informs; nothing is verified by it)", rows, width, ink)


def _findings(seen: Dossier, width: int, ink: Ink) -> list[str]:
    apart: list[str] = []
    if not seen.effect.was_asked:
        said = "it is compared with other entries when it is submitted again"
        apart = wrap(said, width, INDENT, INDENT)
    if not seen.findings:
        more = " beside what stands above" if seen.risks else ""
        return [ink("bold", "FINDINGS"), f"{INDENT}✓ the checks found nothing{more}", *apart]
    lines = [ink("bold", "FINDINGS")]
    for finding in seen.findings:
        text = f"{finding.sure}: {finding.check}: {finding.saw}"
        first, *rest = wrap(text, width, INDENT + "  ", INDENT)
        sure = ink(SURE_STYLES[finding.sure], finding.sure)
        lines += [first.replace(finding.sure, sure, 1), *rest]
    return [*lines, *apart]


def _effect(seen: Dossier, width: int, ink: Ink) -> list[str]:
    effect = seen.effect
    title = ink("bold", "EFFECT, if it were verified")
    other = "kits" if seen.revision.kind == "vehicle" else "vehicles"
    if seen.revision.kind not in ("vehicle", "kit"):
        return []
    lines = [title]
    if not effect.was_asked:
        text = f"not asked: it is {seen.revision.state}, and answers nothing"
        return [*lines, *wrap(text, width, INDENT, INDENT)]
    if effect.already:
        lines.append(f"{INDENT}it answers already; its answers would count as verified")
        if effect.against == seen.revision.number:
            return lines
        if effect.changes:
            text = "what it changes of what another live revision would answer:"
            lines += wrap(text, width, INDENT, INDENT)
    if not effect.changes:
        none = "no outcome changes"
        if effect.already:
            none = "no outcome differs from what another live revision would answer"
        text = f"{none}, with any of {effect.asked} {other}"
        return [*lines, *wrap(text, width, INDENT, INDENT)]
    if effect.against is None:
        text = f"nothing answers for this entry yet; {effect.asked} {other} would have an answer:"
        lines += wrap(text, width, INDENT, INDENT)
    for heading, changes in _by_pair(effect.changes, seen.revision.kind).items():
        lines.append(INDENT + clean(heading))
        for text in _grouped(changes):
            lines += wrap(text, width, INDENT * 3, INDENT * 2)
    return lines


def _by_pair(changes: Sequence[OutcomeChange], kind: str) -> dict[str, list[OutcomeChange]]:
    found: dict[str, list[OutcomeChange]] = defaultdict(list)
    for change in changes:
        part = f" + {change.part}" if change.part else ""
        heading = f"with {change.kit}{part}" if kind == "vehicle" else f"{change.vehicle}{part}"
        found[heading].append(change)
    return found


def _grouped(changes: Sequence[OutcomeChange]) -> Iterator[str]:
    """Speakers that change in the same way share a line."""
    alike: dict[str, list[str]] = defaultdict(list)
    for change in changes:
        if change.before is None:
            said = told_in_words(change.after)
        elif change.after is None:
            said = f"{told_in_words(change.before)} → no longer listed"
        elif change.before.outcome == change.after.outcome:
            said = f"{told_in_words(change.before)} → {told_in_words(change.after)}"
        else:
            loud = change.after.outcome.upper()
            after = told_in_words(change.after).replace(change.after.outcome, loud, 1)
            said = f"{told_in_words(change.before)} → {after}"
        alike[said].append(change.speaker)
    for said, speakers in alike.items():
        yield f"{', '.join(speakers)}: {said}"


def told_in_words(told: Told | None) -> str:
    """What becomes of a speaker: outcome, lead, and the effect where it is not carried."""
    if told is None:
        return "no answer"
    lead = f" on lead {told.lead} of {told.part}" if told.lead else ""
    effect = "" if told.outcome in ("carried", "reversed") else f", {told.effect}"
    return f"{told.outcome}{lead}{effect}"


def _next(seen: Dossier, width: int) -> list[str]:
    """What a lead types next; a lead's own revision, or one without measurements, says so then."""
    if seen.revision.state != "submitted":
        return []
    name = seen.revision.name
    reason = " --reason TEXT" if seen.unmeasured else ""
    return [
        *wrap(f"`loombook verify {name}{reason}` signs it;", width),
        *wrap(f"`loombook return {name} --why TEXT` sends it back.", width),
    ]
