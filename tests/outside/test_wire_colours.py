"""Wire colours against the published code tables."""

import itertools

import pytest

from kb.documents.colours import LETTERS, Colour, Scheme, UnreadableColour, read_colour

# IEC 60757, table 1, in its order.
IEC_60757 = [
    ("BK", "black"), ("BN", "brown"), ("RD", "red"), ("OG", "orange"), ("YE", "yellow"),
    ("GN", "green"), ("BU", "blue"), ("VT", "violet"), ("GY", "grey"), ("WH", "white"),
    ("PK", "pink"), ("GD", "gold"), ("TQ", "turquoise"), ("SR", "silver"),
]  # fmt: skip
IEC_ORDER = [code for code, _ in IEC_60757]

# DIN 47100 (withdrawn in November 1998, still used): cores 1 to 44, base first, then ring.
DIN_47100_TEXT = (
    "WH BN GN YE GY PK BU RD BK VT GYPK RDBU WHGN BNGN WHYE YEBN WHGY GYBN WHPK PKBN WHBU BNBU "
    "WHRD BNRD WHBK BNBK GYGN YEGY PKGN YEPK GNBU YEBU GNRD YERD GNBK YEBK GYBU PKBU GYRD PKRD "
    "GYBK PKBK BUBK RDBK"
)
DIN_47100 = DIN_47100_TEXT.split()

# The older German letters, side by side with IEC 60757 in cable makers' lists.
GERMAN = {
    "sw": "BK", "br": "BN", "rt": "RD", "or": "OG", "ge": "YE", "gn": "GN", "bl": "BU", "vi": "VT",
    "gr": "GY", "ws": "WH", "rs": "PK", "tk": "TQ", "gnge": "GNYE",
}  # fmt: skip


def test_table_1_of_iec_60757_in_its_order() -> None:
    assert list(LETTERS.items()) == [*IEC_60757, ("GNYE", "green-and-yellow")]


@pytest.mark.parametrize(("code", "word"), [*IEC_60757, ("GNYE", "green-and-yellow")])
def test_codes_and_words_read_in_any_case(code: str, word: str) -> None:
    for written in (code, code.lower(), word, word.upper(), word.title(), f" {code} "):
        assert read_colour(written) == Colour(code)
        assert read_colour(written).words == word


def test_the_44_cores_of_din_47100() -> None:
    """Every core reads, none collides, and base and ring stay in the order printed."""
    colours = [read_colour(core) for core in DIN_47100]
    assert len(set(colours)) == len(DIN_47100) == 44
    for core, colour in zip(DIN_47100, colours, strict=True):
        assert colour.base + (colour.stripe or "") == core
        assert colour.code == (core if len(core) == 2 else f"{core[:2]}/{core[2:]}")


def test_the_rule_of_iec_60757_2021_would_make_24_of_34_cores_another_wire() -> None:
    """Clause 5.1 sorts two codes by table 1; we keep the order, so all 34 stay what they are."""
    pairs = [read_colour(core) for core in DIN_47100 if len(core) == 4]
    sorted_by_table = [
        sorted((pair.base, pair.stripe or ""), key=IEC_ORDER.index) for pair in pairs
    ]
    moved = [
        pair
        for pair, by_table in zip(pairs, sorted_by_table, strict=True)
        if pair.base != by_table[0]
    ]
    assert (len(pairs), len(moved)) == (34, 24)
    kept = {pair.base + (pair.stripe or "") for pair in pairs if pair not in moved}
    in_order = "GYPK RDBU BNGN WHPK BNBU BNRD YEGY YEPK GNBU YEBU"
    assert kept == set(in_order.split())


def test_blue_green_and_green_blue_are_two_wires() -> None:
    """DIN 72551-7: blue-green must be told apart from green-blue; base is the wider colour."""
    assert read_colour("BU/GN") != read_colour("GN/BU")
    assert read_colour("blgn", "de").code == "BU/GN"
    assert read_colour("gnbl", "de").code == "GN/BU"


@pytest.mark.parametrize(("letters", "code"), GERMAN.items())
def test_german_letters_only_where_the_file_says_so(letters: str, code: str) -> None:
    assert read_colour(letters, "de").code == code
    assert read_colour(letters.upper(), "de").code == code
    if letters != "gn":  # the one that both lists share
        with pytest.raises(UnreadableColour):
            read_colour(letters)


def test_every_pair_of_german_letters_reads_with_and_without_separator() -> None:
    singles = [letters for letters in GERMAN if letters not in ("gnge", "or")]
    for base, stripe in itertools.permutations(singles, 2):
        expected = f"{GERMAN[base]}/{GERMAN[stripe]}"
        assert read_colour(f"{base}/{stripe}", "de").code == expected
        if base + stripe != "gnge":
            assert read_colour(base + stripe, "de").code == expected


def test_a_german_file_may_still_hold_codes_and_words() -> None:
    """No code of IEC 60757 means another colour in German letters, so both read for certain."""
    for code, word in IEC_60757:
        assert read_colour(code, "de") == read_colour(word, "de") == Colour(code)


def test_every_pair_of_codes_reads_the_same_however_it_is_separated() -> None:
    for base, stripe in itertools.permutations(IEC_ORDER, 2):
        if (base, stripe) == ("GN", "YE"):
            continue
        written = [f"{base}/{stripe}", f"{base}{stripe}", f"{base}-{stripe}", f"{base} {stripe}"]
        written += [f"{LETTERS[base]}/{LETTERS[stripe]}", f"{LETTERS[base]} / {stripe.lower()}"]
        for text in written:
            assert read_colour(text) == Colour(base, stripe), text


def test_both_spellings_and_both_names_are_one_colour() -> None:
    assert read_colour("gray/black") == read_colour("grey/black") == read_colour("GY/BK")
    assert read_colour("purple") == read_colour("violet") == Colour("VT")


def test_green_and_yellow_is_one_code_and_not_green_with_a_yellow_stripe() -> None:
    """IEC 60757: GNYE is the one joined code, and stands nowhere else."""
    assert read_colour("GNYE") == Colour("GNYE")
    assert read_colour("GN/YE") == Colour("GN", "YE")
    assert read_colour("YEGN") == Colour("YE", "GN")
    for written in ("GN-YE", "green-yellow", "green yellow"):
        with pytest.raises(UnreadableColour, match="GNYE or GN/YE"):
            read_colour(written)
    for written in ("GNYE/BK", "BK/GNYE"):
        with pytest.raises(UnreadableColour, match="stands alone"):
            read_colour(written)


@pytest.mark.parametrize(
    ("written", "says"),
    [
        # BL: blue in German and in DIN 72551-7, black in other lists. GR: grey or green.
        ("BL", r"blue \(BU\) or black \(BK\); write BU or BK"),
        ("GR", r"grey \(GY\) or green \(GN\); write GY or GN"),
        ("bl/gn", r"blue \(BU\) or black \(BK\)"),
        ("WHGR", r"grey \(GY\) or green \(GN\)"),
        ("gr/b", r"grey \(GY\) or green \(GN\)"),  # as one printed copy of DIN 47100 has core 37
        # DIN 72551-7 writes BL and OR; VI is the German short form of VT.
        ("OR", "orange; write OG"),
        ("VI", "violet; write VT"),
        ("RT", "older German spelling of red; write RD"),
        ("SW", "older German spelling of black; write BK"),
        # Single-letter lists exist and disagree.
        ("B", r"black \(BK\) or blue \(BU\) or brown \(BN\)"),
        ("P", r"pink \(PK\) or violet \(VT\)"),
        ("R", "write RD"),
        ("W/B", "write WH"),
        ("gren", "nearest is green, written GN"),
        ("beige", "no colour that has a code"),
        ("", "no colour is written"),
        ("/", "lacks a colour"),
        ("WH/", "lacks a colour"),
        ("WH/RD/BK", "3 colours"),
        ("BK/BK", "stripe of its own base colour"),
        ("BK+BK", "means several wires"),  # IEC 60757 joins the cores of one cable so
        ("light blue", "no code stands for light or dark"),
        ("WH\x1b/RD", "no colour"),
        ("w" * 5000, "no colour"),
    ],
)
def test_what_is_not_certain_is_refused_with_its_readings(written: str, says: str) -> None:
    with pytest.raises(UnreadableColour, match=says):
        read_colour(written)


@pytest.mark.parametrize("scheme", ["iec", "de"])
def test_what_is_shown_reads_back(scheme: Scheme) -> None:
    for base, stripe in itertools.permutations([*IEC_ORDER, None], 2):
        if base is not None:
            colour = Colour(base, stripe)
            assert read_colour(colour.code, scheme) == read_colour(colour.words, scheme) == colour
