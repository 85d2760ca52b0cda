"""Starting pieces: one for each student of an assignment, with the code for its slab."""

import random
from collections.abc import Collection
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from planning.codes import drawn_codes
from planning.models import Adjustment, Assignment, OwnDate, Piece
from studio.errors import Refused
from studio.people.access import require_class
from studio.people.audit import record_all
from studio.people.models import Enrolment, Section, Studio, User
from studio.people.services.checking import locked_studio


def start_piece(*, assignment: Assignment, student: User, by: User, at: datetime) -> Piece:
    """The piece of one who joined the class later; the one they have, if they have one."""
    [piece] = start_pieces(assignment=assignment, students=[student], by=by, at=at)
    return piece


def start_missing_pieces(*, assignment: Assignment, by: User, at: datetime) -> list[Piece]:
    """A piece for everybody in the class who has none yet."""
    missing = User.objects.filter(
        enrolments__section=assignment.section_id, enrolments__left_on__isnull=True
    ).exclude(pieces__assignment=assignment)
    return start_pieces(assignment=assignment, students=list(missing), by=by, at=at)


def start_pieces(
    *, assignment: Assignment, students: Collection[User], by: User, at: datetime
) -> list[Piece]:
    """A piece with its code for each student, in the order given.

    Who has one keeps it. Who came from another class in which the same brief is under way
    brings the work along: that piece moves, and what was agreed with the student goes with it.
    """
    section = assignment.section
    require_class(by, section)
    with transaction.atomic():
        # One after the other in a studio, so that no code is drawn twice.
        locked_studio(section.studio)
        _check_in_class(section, students)
        pieces = _pieces_here(assignment, students)
        brought = _bring_along(assignment, [who for who in students if who.pk not in pieces], by)
        pieces |= brought
        pieces |= _new_pieces(assignment, [who for who in students if who.pk not in pieces], by, at)
    return [pieces[student.pk] for student in students]


def _check_in_class(section: Section, students: Collection[User]) -> None:
    kept = Section.objects.select_for_update(of=("self",), no_key=True).get(pk=section.pk)
    if kept.archived:
        raise Refused(_("%(section)s is over. Choose another class.") % {"section": kept})
    here = set(Enrolment.objects.current().filter(section=kept).values_list("student", flat=True))
    for student in students:
        if student.pk not in here:
            message = _("%(student)s is not in %(section)s any more.")
            raise Refused(message % {"student": student, "section": kept})


def _pieces_here(assignment: Assignment, students: Collection[User]) -> dict[UUID, Piece]:
    there = Piece.objects.filter(assignment=assignment, student__in=students).order_by()
    return {piece.student_id: piece for piece in there}


def _bring_along(assignment: Assignment, students: Collection[User], by: User) -> dict[UUID, Piece]:
    """Move the pieces that these students left in another class with the same brief.

    A class that is over keeps its pots: somebody who does the brief again starts anew.
    """
    elsewhere = Assignment.objects.filter(
        brief=assignment.brief_id, section__archived=False
    ).exclude(pk=assignment.pk)
    left = (
        Piece.objects.select_for_update(of=("self",))
        .filter(assignment__in=elsewhere.order_by(), student__in=students)
        .order_by("created_at", "pk")
    )
    still = set(
        Enrolment.objects.current()
        .filter(section__assignments__in=elsewhere.order_by(), student__in=students)
        .values_list("section__assignments", "student")
    )
    moved = {
        piece.student_id: piece
        for piece in left
        if (piece.assignment_id, piece.student_id) not in still
    }
    changes = []
    for piece in moved.values():
        before, after = str(piece.assignment_id), str(assignment.pk)
        changes.append((piece, {"assignment": before}, {"assignment": after}))
        _bring_agreements(piece, assignment)
        piece.assignment = assignment
    Piece.objects.bulk_update(moved.values(), ["assignment"])
    record_all(studio=assignment.section.studio, by=by, action="piece moved", changes=changes)
    return moved


def _bring_agreements(piece: Piece, to: Assignment) -> None:
    """Own least counts and own dates, unless something was agreed in the new class already."""
    if Adjustment.objects.filter(assignment=to, student=piece.student_id).exists():
        return
    Adjustment.objects.filter(assignment=piece.assignment_id, student=piece.student_id).update(
        assignment=to
    )
    here = {milestone.kind: milestone for milestone in to.milestones.all()}
    own = OwnDate.objects.filter(
        milestone__assignment=piece.assignment_id, student=piece.student_id
    ).select_related("milestone")
    for each in own:
        if each.milestone.kind in here:
            each.milestone = here[each.milestone.kind]
            each.save(update_fields=["milestone"])


def _new_pieces(
    assignment: Assignment, students: Collection[User], by: User, at: datetime
) -> dict[UUID, Piece]:
    studio = assignment.section.studio
    codes = _draw(studio, len(students))
    made = Piece.objects.bulk_create(
        Piece(studio=studio, assignment=assignment, student=student, code=code, created_at=at)
        for student, code in zip(students, codes, strict=True)
    )
    record_all(
        studio=studio,
        by=by,
        action="piece started",
        changes=[
            (piece, {}, {"code": piece.code, "student": str(piece.student_id)}) for piece in made
        ],
    )
    return {piece.student_id: piece for piece in made}


def _draw(studio: Studio, count: int) -> list[str]:
    """New codes. Those of classes that are over may be drawn again; hold the studio's lock."""
    of_studio = Piece.objects.filter(studio=studio).order_by()
    of_studio.filter(code_live=True, assignment__section__archived=True).update(code_live=False)
    # A class that was over and isn't any more: its pots stand in the room again.
    taken = set(
        of_studio.filter(assignment__section__archived=False).values_list("code", flat=True)
    )
    try:
        return drawn_codes(count, taken, random.SystemRandom())
    except ValueError:
        message = _("All codes are in use. Mark classes that have ended as over, then try again.")
        raise Refused(message) from None
