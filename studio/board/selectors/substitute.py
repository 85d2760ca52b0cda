"""What a substitute needs to know about one lesson of a class."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.models import Piece
from planning.selectors.progress import Progress, progress_of
from studio.board.sheets.substitute import Person, StudentLine, SubstitutePaper
from studio.people.models import Enrolment, Role, Section, Teaching, User
from studio.people.selectors import lessons_of
from studio.ware.models import Pot, Stage
from studio.ware.selectors import CoverList, cover_list, pots_of
from studio.web.printing import footer_text
from studio.web.shown import day_text

from .covers import stay_damp
from .next_steps import BEGIN, Step, step_of_pot, step_on_paper

# An older project's pot that is still in somebody's hands.
_IN_WORK = {Stage.WET, Stage.LEATHER_HARD, Stage.BONE_DRY, Stage.BISQUE_FIRED, Stage.GLAZED}

_CALLED_FIRST = [Role.HEAD, Role.TECHNICIAN, Role.TEACHER]
MOST_PEOPLE = 5


def lesson_on_or_after(section: Section, today: date) -> date | None:
    """Today's lesson, else the next one. One query."""
    return next((day for day in lessons_of(section) if day >= today), None)


def substitute_paper(section: Section, *, today: date) -> SubstitutePaper:
    """For today's lesson, else the next one; the number of queries doesn't depend on rows."""
    on = lesson_on_or_after(section, today) or today
    students = _students(section)
    pieces = _pieces(section)
    pots = pots_of(pieces)
    shown = _under_way(pieces, pots, on)
    progress = progress_of(shown)
    damp = cover_list(section, on)
    staff = _staff(section)
    teachers = [each for each in staff if each.teaches_here]
    lines, steps = _lines(students, shown, pots, progress, {pot.pk for pot in damp.pots})
    meanings = dict.fromkeys(str(step.meaning) for step in steps if step.meaning)
    return SubstitutePaper(
        section=section.title,
        subtitle=_subtitle(section, on, teachers, len(students), shown),
        footer=footer_text(section.studio.name, today),
        lines=lines,
        meanings=list(meanings),
        damp=stay_damp(damp, on),
        damp_by_place=_by_place(damp),
        people=_people(staff, teachers),
    )


def _students(section: Section) -> list[User]:
    """Those who are in the class now, as a list is read aloud: by first name."""
    current = Enrolment.objects.current().filter(section=section).select_related("student")
    by_name = current.order_by("student__given_name", "student__family_name", "student__username")
    return [each.student for each in by_name]


def _pieces(section: Section) -> list[Piece]:
    rows = Piece.objects.filter(assignment__section=section).of_enrolled()
    return list(rows.select_related("assignment", "let_through").order_by("-assignment__given_on"))


def _under_way(pieces: Sequence[Piece], pots: Mapping[UUID, Pot], on: date) -> list[Piece]:
    """Of projects that run on this day, of the newest one, and pots that are still in work."""
    newest = pieces[0].assignment_id if pieces else None

    def is_shown(piece: Piece) -> bool:
        pot = pots.get(piece.pk)
        runs = piece.assignment.given_on <= on <= piece.assignment.due_on
        in_work = pot is not None and not pot.lost and pot.stage in _IN_WORK
        return runs or in_work or piece.assignment_id == newest

    return [piece for piece in pieces if is_shown(piece)]


def _lines(
    students: Sequence[User],
    pieces: Sequence[Piece],
    pots: Mapping[UUID, Pot],
    progress: Mapping[UUID, Progress],
    damp: set[UUID],
) -> tuple[list[StudentLine], list[Step]]:
    """Each student's pots, and the steps that occur."""
    lines, steps = [], []
    for student, piece in _rows(students, pieces):
        pot = pots.get(piece.pk) if piece else None
        step = _step(piece, pot, progress, damp)
        lines.append(_line(student, piece, pot, step, damp))
        steps.append(step)
    return lines, steps


def _rows(students: Sequence[User], pieces: Sequence[Piece]) -> Iterator[tuple[User, Piece | None]]:
    of_student: dict[UUID, list[Piece]] = {student.pk: [] for student in students}
    for piece in pieces:
        of_student[piece.student_id].append(piece)
    for student in students:
        if not of_student[student.pk]:
            yield student, None
        for piece in of_student[student.pk]:
            yield student, piece


def _step(
    piece: Piece | None, pot: Pot | None, progress: Mapping[UUID, Progress], damp: set[UUID]
) -> Step:
    if piece is None:
        return BEGIN
    if pot is None:
        return step_on_paper(piece, progress[piece.pk])
    return step_of_pot(pot, damp=pot.pk in damp)


def _line(
    student: User, piece: Piece | None, pot: Pot | None, step: Step, damp: set[UUID]
) -> StudentLine:
    if pot is None:
        code = piece.code if piece else ""
        clay = _("no pot yet")
        return StudentLine(student.short_name, code, "", clay, str(step.now), wrap=False)
    return StudentLine(
        name=student.short_name,
        code=pot.code,
        place=pot.place.name if pot.place else _("not noted"),
        clay=str(pot.get_lost_display() if pot.lost else pot.get_stage_display()),
        now=str(step.now),
        wrap=pot.pk in damp,
    )


def _subtitle(
    section: Section, on: date, teachers: Sequence[User], students: int, shown: Sequence[Piece]
) -> str:
    parts = [day_text(on)]
    parts.append(ngettext("%(n)d student", "%(n)d students", students) % {"n": students})
    if teachers:
        names = ", ".join(teacher.name for teacher in teachers)
        parts.append(_("taught by %(names)s") % {"names": names})
    parts += list(dict.fromkeys(piece.assignment.title for piece in shown))[:2]
    return " · ".join(parts)


def _by_place(damp: CoverList) -> list[str]:
    """ "Cart 2: K7-3F, P4-9R." """
    places: dict[str, list[str]] = {}
    for pot in damp.pots:
        name = pot.place.name if pot.place else _("Place not noted")
        places.setdefault(name, []).append(pot.code)
    return [f"{name}: {', '.join(codes)}." for name, codes in places.items()]


def _staff(section: Section) -> list[Any]:
    """Of the studio, by name, each with whether they teach this class: `teaches_here`."""
    teaching = Teaching.objects.filter(section=section, teacher=OuterRef("pk"))
    here = User.objects.staff().filter(studio=section.studio_id, is_active=True)
    return list(here.annotate(teaches_here=Exists(teaching)))


def _people(staff: Sequence[Any], teachers: Sequence[User]) -> list[Person]:
    """Who can be called: who shares the class, the head, the technician, other teachers.

    A class's only teacher is the one who is away.
    """
    there = staff if len(teachers) > 1 else [each for each in staff if not each.teaches_here]
    nearest = sorted(
        there, key=lambda each: (not each.teaches_here, _CALLED_FIRST.index(Role(each.role)))
    )
    return [Person(each.name, str(each.get_role_display())) for each in nearest[:MOST_PEOPLE]]
