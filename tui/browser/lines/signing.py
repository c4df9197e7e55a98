"""What a signature signs and what speaks against it, in few words.

It stands alone because it is asked with a list to read and with a line to write a reason into.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from textual.content import Content

from kb.review.dossier import Dossier
from kb.review.newer import named
from tui.browser.text import shown

RISKS_IN_A_LINE = 3
STAYS = "Why may it stay so?"
FLAG_FROM = 3  # points of a reason to look twice
FINDINGS_AT_MOST = 4
LOUD = ("certain", "likely")


def signed_in_words(seen: Dossier) -> str:
    """What is signed: `oku-b6@… by tom: changes A1.5, kit name`."""
    changes = (*seen.pins, *seen.others, *seen.evidence)
    what = "all of it is new"
    if seen.against is not None:
        what = f"changes {named(changes)}" if changes else "changes nothing"
    return f"{seen.revision.name} by {seen.revision.author}: {what}."


class Asked(NamedTuple):
    """What a rule asks for before a signature: a word, or else a reason; `alone`: for alone."""

    question: str
    hint: str
    must_be: str | None
    alone: bool


def asked_by(sentence: str, seen: Dossier | None, reason: str | None, alone: bool) -> Asked | None:
    """What a refusal asks, once for all that it lets do; None where no answer would help.

    `reason` and `alone`: what was answered already.
    """
    if seen is None:
        return None
    signs = f"You sign {signed_in_words(seen)} {against_in_words(seen)}"
    if not alone and "--alone does it" in sentence:
        own = sentence.replace("--alone does it", "you may sign alone")
        if seen.unmeasured and reason is None:  # its reason is asked for at once
            hint = "Why will less do here? With your reason you sign it alone."
            return Asked(f"{signs} {own}", hint, None, alone=True)
        return Asked(f"{signs} {own}", "Type  alone  to sign it so", "alone", alone=True)
    if reason is None and "--reason" in sentence:
        less = sentence.replace(", or say with --reason why less will do", "")
        less = less.replace(", or say with --reason why it may stay", "")
        asks = "Why will less do here?" if less != sentence and "Not measured" in less else STAYS
        hint = f"{asks} (Esc leaves it unsigned)"
        return Asked(f"{signs} {less}", hint, None, alone)
    return None


def withdrawn_in_words(seen: Dossier) -> str:
    """What a withdrawal takes away, as the question before it."""
    revision = seen.revision
    if revision.state == "verified":
        return (
            f"Withdraw {revision.name}, which a lead has signed? Answers and jobs lose what was "
            "verified; what another live revision says takes its place, if there is one."
        )
    answers = seen.answers is not None and seen.answers.hash == revision.hash
    then = (
        "What another live revision says takes its place, if there is one." if answers
        else "It answers nothing now."
    )  # fmt: skip
    return f"Withdraw {revision.name}? {then}"


def against_in_words(seen: Dossier) -> str:
    """What speaks against it, in one sentence."""
    said = [risk.why for risk in seen.risks]
    if not said:
        return "No reason was found to look twice."
    more = len(said) - RISKS_IN_A_LINE
    listed = "; ".join(said[:RISKS_IN_A_LINE])
    return f"Against it: {listed}{f'; and {more} more' if more > 0 else ''}."


def signing_lines(seen: Dossier) -> Iterator[Content]:
    """The same line by line, with the loud findings and how many answers change."""
    yield shown(signed_in_words(seen))
    yield shown("")
    yield shown("AGAINST IT", "bold")
    for risk in seen.risks:
        yield shown(f"! {risk.why}", "flag" if risk.points >= FLAG_FROM else "caution")
    loud = [finding for finding in seen.findings if finding.sure in LOUD]
    for finding in loud[:FINDINGS_AT_MOST]:
        yield shown(f"! {finding.sure}: {finding.check}: {finding.saw}", "caution")
    if len(loud) > FINDINGS_AT_MOST:
        yield shown(f"! and {len(loud) - FINDINGS_AT_MOST} more findings", "caution")
    if not seen.risks and not loud:
        yield shown("✓ no reason was found to look twice", "fine")
    count = len(seen.effect.changes)
    if count:
        yield shown("")
        many = f"{count} answer{'s' * (count > 1)}"
        than = "what another live revision would answer"
        said = f"{many} differ{'s' * (count == 1)} from {than}" if seen.effect.already else ""
        yield shown(said or f"{many} would change", "bold")
