"""Everything that the page at the bench shows of one pot."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import OuterRef, Subquery

from planning.pictures.building import BuildingPicture, building_picture
from planning.plans.foot_ring import RingSaid, ring_of
from planning.plans.inputs import drawn_from_json
from planning.plans.wording import said_sentence
from planning.rows.lessons import Reached
from planning.rows.rows import Row
from planning.rows.sentences import Said
from planning.rows.thickness import ASKED_AFTER_ROWS
from studio.bench.models import BuildCheck, CarryOn, CarryOnState, RowLaid, WallMeasure
from studio.units.scales import Units
from studio.ware.models import Pot
from studio.ware.selectors.pots import checked_pots
from studio.ware.stages import DAMP

from .pictures import Drift, drift_of, outline_built
from .rows import Going, going


@dataclass(frozen=True)
class RowLine:
    """A row of the list: laid or not, the stop after it, and the lesson that it should stand by."""

    row: Row
    laid: RowLaid | None
    rest: str
    reached: Reached | None
    new: bool
    """Of the rows that carry on."""


@dataclass(frozen=True)
class Bench:
    """`now` is the row to lay, None where all stand; `below` the one under it. `by_lesson` is how
    far the wall should be when the next lesson ends."""

    pot: Pot
    way: Going
    lines: list[RowLine]
    now: RowLine | None
    below: Row | None
    by_lesson: Reached | None
    building: bool
    wall: WallMeasure | None
    wall_said: str
    checks: list[BuildCheck]
    struck: list[BuildCheck]
    drift: Drift | None
    carry_ons: list[CarryOn]
    cautions: list[str]
    ring: RingSaid | None

    @property
    def laid(self) -> int:
        return sum(line.laid is not None for line in self.lines)

    @property
    def picture(self) -> BuildingPicture:
        """How much of the outline that holds stands."""
        outline = outline_built(self.pot, self.way.agreed)
        lesson = self.lesson_ahead.height_mm if self.lesson_ahead is not None else None
        return building_picture(
            outline, [row.height_mm for row in self.way.rows], self.laid, lesson
        )

    @property
    def lesson_ahead(self) -> Reached | None:
        """What the next lesson should reach, None where that much stands."""
        lesson = self.by_lesson
        return lesson if lesson is not None and lesson.row > self.laid else None

    @property
    def asks_wall(self) -> bool:
        """After three rows the height is asked, once, while the first rows can be seen for
        themselves."""
        early = self.laid >= ASKED_AFTER_ROWS and self.wall is None
        return self.building and early and self.way.agreed is None

    @property
    def asked(self) -> CarryOn | None:
        """The question that waits for the teacher."""
        return next((each for each in self.carry_ons if each.state == CarryOnState.ASKED), None)

    @property
    def answered(self) -> CarryOn | None:
        """The newest answer."""
        decided = (CarryOnState.AGREED, CarryOnState.DECLINED)
        return next((each for each in reversed(self.carry_ons) if each.state in decided), None)

    @property
    def before(self) -> list[RowLine]:
        """Rows that stand, the highest first."""
        return [line for line in reversed(self.lines) if line.laid is not None]

    @property
    def after(self) -> list[RowLine]:
        """Rows to come, after the one to lay now."""
        return [line for line in self.lines if line.laid is None][1:]


def bench_of(pot: Pot, today: date, units: Units) -> Bench:
    """Seven queries; the pot is loaded as `seen_pot` of the views does."""
    way = going(pot)
    laid = {
        each.row: each for each in RowLaid.objects.standing().filter(pot=pot).select_related("by")
    }
    lines = _lines(way, laid, units)
    checks = list(BuildCheck.objects.filter(pot=pot).select_related("by", "struck_out_by"))
    counting = [each for each in checks if each.struck_out_at is None]
    wall = WallMeasure.objects.filter(pot=pot).last()
    now = next((line for line in lines if line.laid is None), None)
    return Bench(
        pot=pot,
        way=way,
        lines=lines,
        now=now,
        below=way.rows[now.row.row - 2] if now is not None and now.row.row > 1 else None,
        by_lesson=next((each for each in way.reached if each.on >= today), None),
        building=_is_being_built(pot),
        wall=wall,
        wall_said=_sentence(wall.said, units) if wall is not None else "",
        checks=counting,
        struck=[each for each in checks if each.struck_out_at is not None],
        drift=drift_of(pot, counting),
        carry_ons=list(CarryOn.objects.filter(pot=pot).select_related("asked_by", "decided_by")),
        cautions=_cautions(way, units),
        ring=ring_of_pot(pot, units),
    )


def ring_of_pot(pot: Pot, units: Units) -> RingSaid | None:
    """What is said of the ring under its plan, None where it stands on its base."""
    return ring_of(drawn_from_json(pot.plan.inputs).foot_ring, units)


def question_of_a_pot() -> Subquery:
    """Over a query of pots: the id of the question to carry on that waits for a teacher."""
    waiting = CarryOn.objects.asked().filter(pot=OuterRef("pk")).order_by()
    return Subquery(waiting.values("pk")[:1])


def _is_being_built(pot: Pot) -> bool:
    return not pot.lost and pot.stage in DAMP and not checked_pots([pot])


def _lines(way: Going, laid: dict[int, RowLaid], units: Units) -> list[RowLine]:
    rests = {rest.after_row: said_sentence(rest.said, units) for rest in way.rests}
    reached = {each.row: each for each in way.reached}
    begins = way.agreed.after_row if way.agreed is not None else len(way.rows)
    return [
        RowLine(
            row=row,
            laid=laid.get(row.row),
            rest=rests.get(row.row, ""),
            reached=reached.get(row.row),
            new=row.row > begins,
        )
        for row in way.rows
    ]


def _cautions(way: Going, units: Units) -> list[str]:
    said = [
        f"{said_sentence(each.cause, units)} {said_sentence(each.advice, units)}"
        for each in way.cautions
    ]
    return said + [said_sentence(each, units) for each in way.weight.notes] if said else said


def _sentence(said: dict[str, Any], units: Units) -> str:
    return said_sentence(Said(said["code"], said["values"]), units)
