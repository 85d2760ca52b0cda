"""A plan's rows as a page shows them: in a sentence, over the lessons, and one by one."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import Any

from django.utils.translation import gettext, ngettext, pgettext

from planning.models.brief import Terms
from planning.rows.choices import Lesson
from planning.rows.lessons import Reached, Rest, Timing
from studio.units.scales import Units
from studio.web.shown import NBSP, length_text, number_text, seam_hour_text, short_day_text

from .building import kept_timing

MM_PER_FOOT = 304.8
METRES_TO_A_TENTH = 3


@dataclass(frozen=True)
class LaidRow:
    """One row of the table; lengths in mm, `seam` as a clock hour, `then` what follows it."""

    row: int
    height_mm: float
    front_mm: float
    depth_mm: float
    coils: int
    coil_length_mm: float
    coil_g: float
    seam: str
    then: str


@dataclass(frozen=True)
class Laid:
    """`sentences`: how many rows of which coils, until when, and where to rest. `reached`: heights
    with the dates by which the wall stands there."""

    rows: list[LaidRow]
    sentences: list[str]
    reached: list[tuple[float, str]]


def laid_over(
    answer: Mapping[str, Any],
    units: Units,
    terms: Terms | None = None,
    lessons: Sequence[Lesson] = (),
) -> Laid | None:
    """The rows of an answer; None where it was kept before rows were computed. Without lessons
    they rest where the answer says."""
    rows = answer.get("rows")
    if not rows:
        return None
    times = _times(answer, terms, lessons)
    rests = {rest.after_row: rest for rest in times.rests}
    return Laid(
        rows=[_row(row, rests.get(row["row"])) for row in rows],
        sentences=[
            _how_many(answer, units),
            *_until(times.reached, len(rows)),
            *_rests(times),
        ],
        reached=[(each.height_mm, _by(each.on)) for each in times.reached],
    )


def _times(answer: Mapping[str, Any], terms: Terms | None, lessons: Sequence[Lesson]) -> Timing:
    rows = answer["rows"]
    if terms is not None and lessons:
        return kept_timing(terms, rows, lessons)
    rests = [
        Rest(each["after_row"], each["reason"], rows[each["after_row"] - 1]["height_mm"])
        for each in answer["rests"]
    ]
    return Timing((), tuple(rests))


def _row(row: Mapping[str, Any], rest: Rest | None) -> LaidRow:
    if rest is not None:
        then = gettext("blend, then rest")
        if rest.on is not None:
            then = gettext("blend, then rest: %(day)s") % {"day": short_day_text(rest.on)}
    else:
        then = gettext("blend") if row["blend"] else ""
    return LaidRow(
        row=row["row"],
        height_mm=row["height_mm"],
        front_mm=row["front_mm"],
        depth_mm=row["depth_mm"],
        coils=row["coils"],
        coil_length_mm=row["coil_length_mm"],
        coil_g=row["coil_g"],
        seam=seam_hour_text(row["seam_clock"]),
        then=then,
    )


def _how_many(answer: Mapping[str, Any], units: Units) -> str:
    rows = answer["rows"]
    rolled = sum(row["coils"] * row["coil_length_mm"] for row in rows)
    words = {
        "n": number_text(len(rows)),
        "coil": length_text(answer["coil_mm"], units),
        "rolled": _long_length(rolled, units),
    }
    text = ngettext(
        "%(n)s row of coils %(coil)s thick, about %(rolled)s of coil.",
        "%(n)s rows of coils %(coil)s thick, about %(rolled)s of coil.",
        len(rows),
    )
    return text % words


def _until(reached: Sequence[Reached], rows: int) -> Iterable[str]:
    """When it stands; a class that hasn't lessons enough is told so by a check."""
    if reached and reached[-1].row == rows:
        words = {"n": number_text(len(reached)), "day": short_day_text(reached[-1].on)}
        text = ngettext(
            "At the brief's pace it stands in %(n)s lesson, by %(day)s.",
            "At the brief's pace it stands in %(n)s lessons, by %(day)s.",
            len(reached),
        )
        yield text % words


def _rests(times: Timing) -> Iterable[str]:
    ends = [rest.after_row for rest in times.rests if rest.reason == "lesson_end"]
    stops = [rest.after_row for rest in times.rests if rest.reason != "lesson_end"]
    if ends:
        text = ngettext(
            "A lesson ends after row %(rows)s: keep the edge damp, score and slip it next time.",
            "Lessons end after rows %(rows)s: keep the edge damp, score and slip it next time.",
            len(ends),
        )
        yield text % {"rows": _listed(ends)}
    if stops and not times.reached:  # lessons would end elsewhere, and be rests too
        text = ngettext(
            "Built without a break, it rests after row %(rows)s until the wall below has "
            "stiffened.",
            "Built without a break, it rests after rows %(rows)s until the wall below has "
            "stiffened.",
            len(stops),
        )
        yield text % {"rows": _listed(stops)}
    elif stops:
        text = ngettext(
            "Rest after row %(rows)s until the wall below has stiffened.",
            "Rest after rows %(rows)s until the wall below has stiffened.",
            len(stops),
        )
        yield text % {"rows": _listed(stops)}


def _listed(numbers: Sequence[int]) -> str:
    *most, last = [number_text(each) for each in numbers]
    if not most:
        return last
    # Translators: the end of a list of row numbers, such as "4, 8 and 12".
    return gettext("%(most)s and %(last)s") % {"most": ", ".join(most), "last": last}


def _by(on: date) -> str:
    # Translators: beside a line on a drawing: how high the wall stands by a date.
    return gettext("by %(day)s") % {"day": short_day_text(on)}


def _long_length(mm: float, units: Units) -> str:
    """Coil enough, in metres or feet, rounded up."""
    if units.length_unit == "in":
        return number_text(ceil(mm / MM_PER_FOOT)) + NBSP + pgettext("unit of length", "ft")
    metres = mm / 1000
    enough = ceil(metres) if metres > METRES_TO_A_TENTH else ceil(metres * 10) / 10
    return number_text(enough) + NBSP + pgettext("unit of length", "m")
