"""Why nothing could be traced, as a reader reads it."""

import pytest

from planning.photos.wording import reason_sentence
from studio.units.scales import Metric
from studio.uploads.refusals import CODES

APART = {"code": "scale_disagrees", "values": {"measured_mm": 19.44, "spacing_mm": 20.0}}


@pytest.mark.parametrize(
    ("unit", "measured", "spacing"),
    # 19.44 mm are 0.765 in.
    [("mm", "19.4", "20.0"), ("cm", "1.94", "2.00"), ("in", "0.77", "0.79")],
)
def test_lengths_that_differ_little_are_told_to_a_tenth_of_a_millimetre(
    unit: str, measured: str, spacing: str
) -> None:
    said = reason_sentence(APART, Metric(length_unit=unit))
    assert f"are {measured}\xa0{unit} apart by the scale and not {spacing}\xa0{unit}." in said
    assert "printed at 100 %." in said


def test_a_picture_that_could_not_be_opened_has_a_sentence_too() -> None:
    for code in ("too_heavy", "gave_up"):
        assert code in CODES
        assert reason_sentence({"code": code, "values": {}}).startswith("This picture could not")
