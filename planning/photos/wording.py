"""Why a drawing can't be traced, in the reader's language and the studio's units."""

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext

from planning.tracing.reasons import MESSAGES
from studio.units.scales import MM_PER, Metric, Units, exact
from studio.uploads.refusals import sentence
from studio.web.shown import NBSP, length_unit_text, number_text


def reason_sentence(reason: Mapping[str, Any], units: Units | None = None) -> str:
    """What stands against a tracing, as `planning.tracing.run.answer` gives it, and what to do."""
    if reason["code"] not in MESSAGES:
        return sentence(reason["code"], dict(reason["values"]))  # of reading the picture
    known = units or Metric()
    shown = {name: _fine_text(value, known) for name, value in reason["values"].items()}
    return gettext(MESSAGES[reason["code"]]) % shown


def _fine_text(value_mm: float, units: Units) -> str:
    """To a tenth of a millimetre: what is said is that two lengths are not quite the same."""
    places = 1 if units.length_unit == "mm" else 2
    number = round(exact(value_mm) / MM_PER[units.length_unit], places)
    return number_text(number) + NBSP + length_unit_text(units)
