"""What the plan page shows beside its fields: the picture with its handles, what is said where."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from django.forms import BaseFormSet, Form

from planning.forms.lines import FRONT, SIDE, LineForm
from planning.forms.plan import PlanForm
from planning.forms.said import Spot, spot_of
from planning.pictures.handles import Handle, handles
from planning.pictures.measured import PlanPicture, plan_picture
from planning.plans.inputs import Drawn, Line
from planning.plans.view import PlanView
from studio.errors import Problem
from studio.units.scales import MM_PER, Units, length_step
from studio.web.shown import NBSP, length_number_text, length_text

SHIFTED = {"mm": 5, "cm": 5, "in": 4}
"""With the shift key a handle goes 5 mm, or a quarter of an inch, at a time."""


@dataclass(frozen=True)
class Said:
    """A reason, and the field that it belongs to."""

    message: str
    spot: Spot


@dataclass(frozen=True)
class Row:
    """A height line's fields, and what is said there."""

    form: LineForm
    front: list[Said] = field(default_factory=list)
    side: list[Said] = field(default_factory=list)

    @property
    def is_wrong(self) -> bool:
        return bool(self.front) or any(name in self.form.errors for name in FRONT)

    @property
    def side_is_wrong(self) -> bool:
        return bool(self.side) or any(name in self.form.errors for name in SIDE)


@dataclass(frozen=True)
class Grip:
    """A handle with its measure as the field takes it and as people read it."""

    at: Handle
    text: str
    reading: str


@dataclass(frozen=True)
class Board:
    """The picture that is worked on. A handle moves by `step_mm`, with the shift key by
    `leap_mm`."""

    picture: PlanPicture
    grips: list[Grip]
    step_mm: float
    leap_mm: float


def board_of(
    view: PlanView | None, lines: Iterable[tuple[int, Line]], units: Units
) -> Board | None:
    """The picture with a handle wherever something is measured that it shows."""
    if view is None or view.drawing is None:
        return None
    picture = plan_picture(view.drawing)
    measured = [(row, each.height_mm, each.left_mm, each.right_mm) for row, each in lines]
    step = float(length_step(units.length_unit) * MM_PER[units.length_unit])
    found = [each for each in handles(picture, measured) if each.y >= 0]
    return Board(
        picture,
        [_grip(each, units) for each in found],
        step_mm=step,
        leap_mm=step * SHIFTED[units.length_unit],
    )


def _grip(handle: Handle, units: Units) -> Grip:
    text = length_number_text(handle.half_mm, units).replace(NBSP, " ")
    return Grip(handle, text, length_text(handle.half_mm, units))


def said_at(
    problems: Iterable[Problem], drawn: Drawn, rows: Sequence[int], *, with_gaps: bool = False
) -> list[Said]:
    return [
        Said(each.message, spot_of(each.field, drawn, rows, with_gaps=with_gaps))
        for each in problems
    ]


def rows_of_form(lines: "BaseFormSet[LineForm]", said: Iterable[Said]) -> list[Row]:
    rows = [Row(form) for form in lines.forms]
    for each in said:
        if each.spot.row is not None:
            row = rows[each.spot.row]
            (row.side if each.spot.of_the_side else row.front).append(each)
    return rows


def unread(form: PlanForm, lines: "BaseFormSet[LineForm]") -> list[Said]:
    """What can't be read in the form as it stands, each at its field."""
    found = [Said(message, Spot(name)) for name, message in _errors(form)]
    for row, each in enumerate(lines.forms):
        found += [Said(message, Spot(name, row)) for name, message in _errors(each)]
    return found + [Said(str(message), Spot()) for message in lines.non_form_errors()]


def _errors(form: Form) -> Iterator[tuple[str, str]]:
    for name, errors in form.errors.items():
        for error in errors:
            yield name, f"{form.fields[name].label}: {error}"
