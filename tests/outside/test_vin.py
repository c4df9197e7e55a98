"""VINs against 49 CFR part 565 and worked examples, the traps of print included.

Sums and digits are those of the sources named beside each; that letters of one value cannot be told
apart is computed here.
"""

from __future__ import annotations

import random

import pytest

from kb.query.vin import BadVin, check_digit, looks_like_vin, read_vin

VALID = {
    "1G4AH59H45G118341": (2005,),  # 49 CFR 565, sample of tables V and VI
    "1J9RP1A36A1644345": (2010,),  # the agency's outline for new manufacturers: letter in place 7
    "1M8GDM9AXKP042788": (1989,),  # encyclopedia's worked example, remainder 10: X
    "11111111111111111": (2001,),  # "straight ones"
    "5GZCZ43D13S812715": (2003,),
    "2D4FV48V05H529506": (2005,),
    "1G3HN52K0W4818670": (1998,),
    "1NPTXUEXX8N766170": (2038,),  # a heavy truck: the rule of place 7 is not one for it
    "4T1BE46K19U856421": (2009,),
    "5FNYF5H59HB011946": (2017,),
    "2GCEC19Z0S1245490": (1995,),
    "1HGCM82633A004352": (2003,),
}


@pytest.mark.parametrize("number", VALID)
def test_published_numbers_are_right(number: str) -> None:
    assert read_vin(number).years == VALID[number]
    assert read_vin(f" {number.lower()} ").text == number


@pytest.mark.parametrize(
    ("number", "years"),
    [
        ("LJCPCBLCX11000237", (2001,)),  # place 7 is a letter, yet no market of 565: clamped
        ("JT2AE09W4P0038539", (1993, 2023)),
        ("KMHD35LH5EU205042", (1984, 2014)),
        ("KMHDU4ADXAU832403", (1980, 2010)),
        ("KNDCE3LG2L5073161", (1990, 2020)),
    ],
)
def test_elsewhere_both_years_of_the_cycle_are_kept(number: str, years: tuple[int, ...]) -> None:
    assert read_vin(number, latest=2027).years == years


@pytest.mark.parametrize(
    ("number", "right"),
    [
        ("SGZCZ43D13S812715", "X"),  # TRAP: printed beside 5GZ... as if both passed
        ("JT2AE09W5P0038539", "4"),
        ("1GCDK23U34F230614", "9"),  # TRAP: shown in an infographic with 3
        ("1G4AH59H55G118341", "4"),
    ],
)
def test_a_wrong_digit_is_said(number: str, right: str) -> None:
    with pytest.raises(BadVin, match=f"would be {right}"):
        read_vin(number)


@pytest.mark.parametrize(
    "text", ["1G4AH59H45G11834", "1G4AH59H45G1183411", "1G4AH59I45G118341", ""]
)
def test_what_has_not_the_form_is_refused(text: str) -> None:
    assert not looks_like_vin(text)
    with pytest.raises(BadVin, match="17 letters and digits"):
        read_vin(text)


def test_the_digit_sees_every_change_but_that_of_equal_values() -> None:
    """565.15: a change is unseen exactly where both characters have one value (A, J and 1)."""
    values = dict(
        zip("ABCDEFGHJKLMNPRSTUVWXYZ0123456789", "123456781234579234567890123456789", strict=True)
    )
    chance = random.Random(565)
    number = "1M8GDM9AXKP042788"
    for _ in range(2000):
        place = chance.choice([p for p in range(17) if p != 8])
        other = chance.choice(list(values))
        changed = number[:place] + other + number[place + 1 :]
        same = values[other] == values[number[place]]
        assert (check_digit(changed) == number[8]) is same


def test_the_digit_is_a_check_of_itself_only() -> None:
    for digit in "0123456789X":
        changed = "1M8GDM9A" + digit + "KP042788"
        assert check_digit(changed) == "X"
