"""What no field holds and something else tells: who signed an entry, why, on which evidence.

Data, one line for each: the subject, the words that are tried as a field, and where the answer is.
Apart from the catalogue because nothing here can be asked, and only refused words look it up.
"""

from __future__ import annotations

from grammar.tree import Words

_OF_A_VEHICLE = frozenset({"vehicles", "speakers", "pins", "connectors"})
_SO_MANY_LEADS = frozenset(
    f"{number}_leads" for number in ("2", "two", "3", "three", "both", "more", "several", "many")
)
_TOLD: tuple[tuple[frozenset[str], frozenset[str], str], ...] = (
    (
        frozenset({"entries"}),
        frozenset(
            {"reason", "reasons", "why", "reviewer", "reviewed", "verifier", "signer", "signed"}
            | {"verified", "returned"}
            | {"lead", "alone", "parent", "acts", "history", "comment", "comments"}
        ),
        "Who signed or returned an entry, when and why: `loombook history ENTRY`.",
    ),
    (
        frozenset({"entries"}),
        frozenset({"evidence", "method", "methods", "changes", "findings", "note", "notes"}),
        "What changed in an entry, and the evidence for it: `loombook review ENTRY`.",
    ),
    (
        _OF_A_VEHICLE,
        frozenset({"disputed", "undisputed", "dispute", "disputes"}),
        "Every answer names the disputed pins that it rests on; `entries where disputes > 0` lists"
        " whose there are.",
    ),
    (
        frozenset({"speakers"}),
        _SO_MANY_LEADS,
        "A speaker on more leads than the one that is shown is told with the answer; `loombook runs"
        " VEHICLE --kit KIT` names each.",
    ),
    (
        frozenset({"speakers"}),
        frozenset({"playing", "plays"}),
        "What a speaker does after the job is its `effect`: `goes silent`, `stays on factory feed`,"
        " `moves to new amplifier`, or `meter first` where nobody knows.",
    ),
    (
        _OF_A_VEHICLE,
        frozenset({"measured", "unmeasured", "metered", "unmetered", "measurement", "evidence"}),
        "What of an entry is not measured: `loombook review ENTRY`; `entries where measured = 0`"
        " lists those without any.",
    ),
)


def told_by_command(subject: str, words: Words) -> str | None:
    """What tells what these words ask about: `reason`, `verified by lena`."""
    asked = {words.key, words.parts[0].casefold(), words.parts[-1].casefold()}
    return next((told for of, own, told in _TOLD if subject in of and asked & own), None)


def is_told(hint: str | None) -> bool:
    """Whether a hint says what tells what no question does."""
    return any(hint == told for *_, told in _TOLD)
