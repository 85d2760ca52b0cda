"""What people type is read as they mean it, or refused with the reason."""

from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.units.scales import MM_PER, shown_inches, shown_length
from studio.units.typed import Reason, Unreadable, typed_length_mm, typed_mass_g


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("12,5", "cm", "125"),
        ("12.5 cm", "in", "125"),
        ("120mm", "cm", "120"),
        (" 120 MM ", "cm", "120"),
        ("12.", "mm", "12"),
        (".5", "cm", "5"),
        ("4 7/8", "in", "123.825"),
        ("4-7/8 in", "cm", "123.825"),
        ("4⅞", "in", "123.825"),
        ('4 7/8"', "cm", "123.825"),
        ("4 7/8″", "cm", "123.825"),
        ("4.875 inches", "cm", "123.825"),
        ("½ in", "cm", "12.7"),
        ("12/8 in", "cm", "38.1"),
        ("1/3 cm", "mm", "3.3333"),
        ("0,125", "in", "3.175"),
        ("1.200", "in", "30.48"),
        ("12\u00a0cm", "mm", "120"),
        ("١٢", "mm", "12"),
        ("0", "mm", "0"),
    ],
)
def test_a_length_is_read_as_it_is_meant(text: str, unit: str, mm: str) -> None:
    assert typed_length_mm(text, unit) == Decimal(mm)


@pytest.mark.parametrize(
    ("text", "reason", "part"),
    [
        ("", Reason.EMPTY, ""),
        ("   ", Reason.EMPTY, ""),
        ("wide", Reason.UNREADABLE, "wide"),
        ("nan", Reason.UNREADABLE, "nan"),
        ("inf", Reason.UNREADABLE, "inf"),
        ("1e5", Reason.UNREADABLE, "1e5"),
        ("4⁷⁄₈", Reason.UNREADABLE, "4⁷/₈"),
        ("1 2", Reason.UNREADABLE, "1 2"),
        ("1.2.3", Reason.UNREADABLE, "1.2.3"),
        ("1,200.5", Reason.UNREADABLE, "1,200.5"),
        ("9" * 400, Reason.UNREADABLE, "9" * 24 + "…"),
        ("12\x00", Reason.UNREADABLE, "12\x00"),
        ("5 ft", Reason.UNKNOWN_UNIT, "ft"),
        ("12 cm tall", Reason.UNKNOWN_UNIT, "cm tall"),
        ("-3", Reason.NEGATIVE, "-3"),
        ("\u22123 mm", Reason.NEGATIVE, "\u22123 mm"),
        ("1,200", Reason.THOUSANDS, "1,200"),
        ("1.200 mm", Reason.THOUSANDS, "1.200"),
        ("3/0", Reason.FRACTION, "3/0"),
        ("4 9/8", Reason.FRACTION, "9/8"),
        ("100001 mm", Reason.TOO_LARGE, "100001 mm"),
        ("9" * 24, Reason.TOO_LARGE, "9" * 24),
    ],
)
def test_what_cannot_be_read_says_why(text: str, reason: Reason, part: str) -> None:
    with pytest.raises(Unreadable) as refusal:
        typed_length_mm(text, "mm")
    assert (refusal.value.reason, refusal.value.part) == (reason, part)
    assert str(refusal.value) == f"{reason}: {part}"


@pytest.mark.parametrize(
    ("text", "unit", "grams"),
    [
        ("2340", "g", "2340"),
        ("2,34 kg", "g", "2340"),
        ("1.250 kg", "g", "1250"),  # a scale shows a gram
        ("2 lb", "g", "907.185"),
        ("1 lb 6 oz", "g", "623.690"),  # 22 x 28.349523125
        ("1lb6oz", "g", "623.690"),
        ("6 ounces", "kg", "170.097"),
        ("5", "lb", "2267.962"),
    ],
)
def test_a_mass_is_read_as_it_is_meant(text: str, unit: str, grams: str) -> None:
    assert typed_mass_g(text, unit) == Decimal(grams)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("1,250 kg", Reason.THOUSANDS),
        ("1.250 g", Reason.THOUSANDS),
        ("3 stone", Reason.UNKNOWN_UNIT),
        ("10001 kg", Reason.TOO_LARGE),
        ("99999999999999999 oz", Reason.TOO_LARGE),
    ],
)
def test_a_mass_that_cannot_be_read_says_why(text: str, reason: Reason) -> None:
    with pytest.raises(Unreadable) as refusal:
        typed_mass_g(text, "g")
    assert refusal.value.reason is reason


@given(st.floats(0, 3000), st.sampled_from(["mm", "cm"]), st.booleans())
def test_a_shown_metric_length_reads_back(mm: float, unit: str, comma: bool) -> None:
    shown = shown_length(mm, unit)
    text = f"{shown}".replace(".", "," if comma else ".")
    assert typed_length_mm(text, unit) == shown * MM_PER[unit]


@given(st.floats(0, 3000), st.sampled_from([" ", "-", " - "]), st.sampled_from(["", " in", '"']))
def test_a_shown_length_in_inches_reads_back_exactly(mm: float, join: str, unit: str) -> None:
    shown = shown_inches(mm)
    fraction = f"{join}{shown.numerator}/{shown.denominator}" if shown.numerator else ""
    back = typed_length_mm(f"{shown.whole}{fraction}{unit}", "in")
    exactly = (shown.whole + Decimal(shown.numerator) / shown.denominator) * Decimal("25.4")
    assert back == exactly
    assert abs(back - Decimal(repr(mm))) <= Decimal("25.4") / 32


@given(st.text(max_size=60), st.sampled_from(["mm", "cm", "in"]))
def test_no_text_breaks_the_reading_of_a_length(text: str, unit: str) -> None:
    with suppress(Unreadable):
        assert 0 <= typed_length_mm(text, unit) <= 100_000


@given(st.text("0123456789.,/ -lbozkg½\u00a0", max_size=30), st.sampled_from(["g", "kg", "lb"]))
def test_no_text_breaks_the_reading_of_a_mass(text: str, unit: str) -> None:
    with suppress(Unreadable):
        assert 0 <= typed_mass_g(text, unit) <= 10_000_000
