"""Rows laid, and the wall that the first of them mean."""

from datetime import datetime

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from planning.plans.wording import said_problems
from planning.rows.sentences import RowsRefused
from planning.rows.thickness import wall_meant
from studio.bench.models import CarryOn, RowLaid, WallMeasure
from studio.bench.selectors.rows import going
from studio.errors import Conflict, Refused
from studio.people.models import User
from studio.people.services.checking import check_fields
from studio.ware.models import Pot

from .building import COMPUTATION, pot_being_built, refuse_other_rows, refuse_while_asked


def lay_rows(*, pot: Pot, row: int, by: User, at: datetime) -> int:
    """The rows up to this one stand. Those that do already stay as they are, so that a second tap
    does nothing. Returns how many stand."""
    way = going(pot)
    if not 1 <= row <= len(way.rows):
        message = _("The list has %(rows)s rows. Choose one of them.")
        raise Refused(message % {"rows": len(way.rows)}, field="row")
    with transaction.atomic():
        held = pot_being_built(pot, by)
        laid = rows_standing(held)
        if row > laid:
            refuse_while_asked(held)
            refuse_other_rows(held, way)
            add_rows(held, laid, row, by, at)
    return max(laid, row)


def take_back_row(*, pot: Pot, row: int, by: User, at: datetime) -> int:
    """The row doesn't stand after all; only the highest one. One that doesn't stand stays so.
    Returns how many stand."""
    with transaction.atomic():
        held = pot_being_built(pot, by)
        laid = rows_standing(held)
        if row > laid:
            return laid
        if row < laid:
            message = _("Row %(laid)s stands on it. Take back the highest row first.")
            raise Conflict(message % {"laid": laid})
        refuse_while_asked(held)
        if CarryOn.objects.agreed().filter(pot=held, after_row=row).exists():
            message = _("The new rows begin on row %(row)s, so it stays.")
            raise Conflict(message % {"row": row})
        standing = RowLaid.objects.standing().filter(pot=held, row=row)
        standing.update(undone_at=at, undone_by=by)
    return row - 1


def measure_wall(
    *, pot: Pot, height_mm: float, after_row: int, by: User, at: datetime
) -> WallMeasure:
    """Keep the height that the rows up to this one reached, and the wall that it means."""
    way = going(pot)
    if way.agreed is not None:
        raise Conflict(_("You carry on by new rows; the first ones are not measured any more."))
    try:
        meant = wall_meant(way.made, way.planned, height_mm, after_row)
    except RowsRefused as refused:
        raise Refused.all_of(said_problems(refused.problems, pot.studio)) from None
    measure = WallMeasure(
        pot=pot,
        after_row=after_row,
        height_mm=height_mm,
        wall_mm=meant.wall_mm,
        said={"code": meant.said.code, "values": dict(meant.said.values)},
        computation=COMPUTATION,
        at=at,
        by=by,
    )
    check_fields(measure)
    with transaction.atomic():
        held = pot_being_built(pot, by)
        refuse_other_rows(held, way)
        if rows_standing(held) < after_row:
            message = _("Row %(row)s does not stand yet.") % {"row": after_row}
            raise Conflict(message)
        measure.save(force_insert=True)
    return measure


def rows_standing(pot: Pot) -> int:
    """How many rows stand: they do so from the first one on, without a gap."""
    standing = RowLaid.objects.standing().filter(pot=pot)
    return standing.aggregate(most=Max("row"))["most"] or 0


def add_rows(pot: Pot, laid: int, row: int, by: User, at: datetime) -> None:
    """The rows above those `laid` up to this one; the pot is held."""
    RowLaid.objects.bulk_create(
        RowLaid(pot=pot, row=number, at=at, by=by) for number in range(laid + 1, row + 1)
    )
