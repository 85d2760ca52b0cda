"""Clay is handed out: to a pot, to a class, to a table."""

from collections.abc import Collection, Iterable
from datetime import datetime
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils.translation import gettext as _

from studio.clay.models import Entry, EntryKind, Lot
from studio.clay.selectors.pots import TAKES_CLAY
from studio.clay.selectors.talks import newest_talks, talk_comes_first
from studio.errors import Refused
from studio.people.models import Section, Studio, User
from studio.people.names import tidy
from studio.room.services.checking import require_staff
from studio.ware.models import Pot

from .posting import (
    check_body,
    check_to_build_with,
    locked_lot,
    post,
    require_hands_out,
    whole_grams,
)


def issue_clay(*, pot: Pot, lot: Lot, grams: float, by: User, at: datetime) -> Entry:
    """Clay for one pot; the entry keeps what its plan asked for."""
    require_hands_out(by, pot.piece.assignment.section)
    asked_g = whole_grams(grams)
    with transaction.atomic():
        [kept] = locked_pots([pot])
        if hindrance := pot_hindrance(kept):
            raise Refused(hindrance, field="pot")
        student = kept.piece.student
        if student.pk in students_to_be_told(kept.studio, [student.pk]):
            raise Refused(talk_first_sentence(student), field="pot")
        return issue_from(locked_lot(lot), kept, asked_g, by=by, at=at)


def issue_to_class(*, section: Section, lot: Lot, grams: float, by: User, at: datetime) -> Entry:
    """Clay for a whole class, for tests and practice or before there are plans."""
    require_hands_out(by, section)
    asked_g = whole_grams(grams)
    with transaction.atomic():
        kept = locked_lot(lot)
        check_to_build_with(kept, section.studio)
        return post(lot=kept, kind=EntryKind.ISSUE, grams=-asked_g, by=by, at=at, section=section)


def issue_to_table(*, table: str, lot: Lot, grams: float, by: User, at: datetime) -> Entry:
    """Clay for a table that several people share."""
    require_staff(by, lot.studio)
    asked_g = whole_grams(grams)
    name = tidy(table)
    most = Entry.table.field.max_length or 0
    if not 0 < len(name) <= most:
        message = _("Say which table, in at most %(most)s characters.") % {"most": most}
        raise Refused(message, field="table")
    with transaction.atomic():
        kept = locked_lot(lot)
        check_to_build_with(kept, lot.studio)
        return post(lot=kept, kind=EntryKind.ISSUE, grams=-asked_g, by=by, at=at, table=name)


def issue_from(
    lot: Lot, pot: Pot, grams: int, *, by: User, at: datetime, at_row: str = ""
) -> Entry:
    """Write what a pot gets. Pot and lot are held, and the pot takes clay; `at_row` leads the
    field names of a refusal.
    """
    check_to_build_with(lot, pot.studio, f"{at_row}lot")
    check_body(lot, pot.piece.assignment.clay_body, f"{at_row}lot")
    return post(
        lot=lot,
        kind=EntryKind.ISSUE,
        grams=-grams,
        by=by,
        at=at,
        pot=pot,
        planned_g=pot.plan.issue_g,
        field=f"{at_row}grams",
    )


def locked_pots(pots: Iterable[Pot]) -> list[Pot]:
    """These pots with all that issuing asks about, held until the transaction ends."""
    return list(
        Pot.objects.select_for_update(of=("self",))
        .select_related("studio", "plan", "piece__student", "piece__assignment__clay_body")
        .filter(pk__in={pot.pk for pot in pots})
        .order_by("pk")
    )


def pot_hindrance(pot: Pot) -> str:
    """Why this pot gets no clay; "" where it does."""
    words = {"code": pot.code, "lost": pot.get_lost_display(), "stage": pot.get_stage_display()}
    if pot.lost:
        return _("%(code)s is %(lost)s. Another pot of the same piece is begun first.") % words
    if pot.stage not in TAKES_CLAY:
        return _("%(code)s is %(stage)s and takes no more clay.") % words
    return ""


def students_to_be_told(studio: Studio, students: Collection[UUID]) -> set[UUID]:
    """Those of them who get no clay before their safety talk; nobody where the rule is off."""
    if not talk_comes_first(studio.pk):
        return set()
    return set(students) - set(newest_talks(students))


def talk_first_sentence(student: User) -> str:
    message = _(
        "%(student)s has no safety talk on record. Hold it, record it on the page of talks, then "
        "issue."
    )
    return message % {"student": student.short_name}


def require_same_studio(studio: Studio, lots: Iterable[Lot]) -> None:
    """Nothing crosses from one studio to another."""
    if any(lot.studio_id != studio.pk for lot in lots):
        raise PermissionDenied
