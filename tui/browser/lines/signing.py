"""What a signature signs and what speaks against it, in few words.

It stands alone because it is asked with a list to read and with a line to write a reason into.
"""

from __future__ import annotations

from collections.abc import Iterator

from textual.content import Content

from kb.review.dossier import Dossier
from kb.review.newer import named
from tui.browser.text import shown

RISKS_IN_A_LINE = 3
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
