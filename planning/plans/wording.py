"""Sentences of the pure computation in the reader's language and the studio's units."""

from collections import ChainMap
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from django.utils.translation import gettext

from planning.geometry import checks, refusal
from planning.geometry.refusal import FormRefused
from planning.geometry.said import Said
from planning.rows import sentences as of_rows
from planning.rows.sentences import RowsRefused
from planning.statics import cautions
from studio.errors import Problem, Refused
from studio.units.scales import Metric, Units
from studio.web.shown import length_text, number_text, percent_text

# What a plan's checks may say: of its form, its rows and its soft wall.
CHECKS = ChainMap(dict(checks.MESSAGES), dict(of_rows.MESSAGES), dict(cautions.MESSAGES))


def refusal_problems(troubles: Iterable[refusal.Trouble], units: Units) -> list[Problem]:
    """Each reason why a form can't be computed, at its path."""
    return [
        Problem(_sentence(refusal.MESSAGES[each.code], each.values, units), each.path)
        for each in troubles
    ]


@contextmanager
def refused_in(units: Units) -> Iterator[None]:
    """Whatever keeps a form from being made, or its rows from being laid, is raised as `Refused`
    with every reason."""
    try:
        yield
    except FormRefused as refused:
        raise Refused.all_of(refusal_problems(refused.problems, units)) from None
    except RowsRefused as refused:
        raise Refused.all_of(said_problems(refused.problems, units)) from None


def check_sentence(code: str, values: Mapping[str, float | str], units: Units | None = None) -> str:
    """What a check asks a person to look at."""
    return _sentence(CHECKS[code], values, units or Metric())


def kept_sentence(kept: Mapping[str, Any], units: Units | None = None) -> str:
    """A check as a plan keeps it, with its advice where there is one."""
    said = check_sentence(kept["code"], kept["values"], units)
    return f"{said} {kept_sentence(kept['advice'], units)}" if "advice" in kept else said


def said_problems(troubles: Iterable[of_rows.Trouble], units: Units) -> list[Problem]:
    """Each reason why rows can't be laid or measurements not judged, at its path."""
    return [Problem(said_sentence(each, units), each.path) for each in troubles]


def said_sentence(said: Said, units: Units | None = None) -> str:
    """What is said of rows, rests and build checks."""
    return _sentence(said.MESSAGES[said.code], said.values, units or Metric())


def _sentence(message: str, values: Mapping[str, float | str], units: Units) -> str:
    shown = {name: _shown(name, value, units) for name, value in values.items()}
    return gettext(message) % shown


def _shown(name: str, value: float | str, units: Units) -> str:
    if isinstance(value, str):
        return value
    match name.rpartition("_")[2]:
        case "mm":
            return length_text(value, units)
        case "pct":
            return percent_text(value)
        case "deg":
            return f"{number_text(round(value))}°"
    return number_text(value)
