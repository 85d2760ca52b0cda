"""A studio of the size that the service must hold, made quickly: rows in bulk, not by services.

Each piece is somewhere on the way, as in a class in its fourth week: a few not begun, most
exploring, some chosen, some with a plan that waits, was approved or was sent back.
"""

import itertools
import random
import secrets
from collections.abc import Iterator
from datetime import timedelta

from planning.codes import drawn_codes
from planning.models import (
    Assignment,
    Choice,
    Piece,
    PlanState,
    PlanVersion,
    Refinement,
    SourceForm,
    Thumbnail,
)
from planning.services.plans import save_draft, send_plan
from studio.people.models import Enrolment, Meeting, Role, Section, Studio, User
from studio.people.models.calendar import Absence
from studio.uploads.models import StoredImage
from tests.cast import NOW, TERM, TODAY
from tests.copied import copied
from tests.planning.work import drawn_plan

GIVEN_NAMES = (
    "Ade",
    "Bo",
    "Cleo",
    "Dara",
    "Emil",
    "Fenna",
    "Goran",
    "Hana",
    "Ivo",
    "Jette",
    "Kaya",
)
FAMILY_NAMES = (
    "Abara",
    "Brandt",
    "Castel",
    "Dvorak",
    "Ekholm",
    "Farouk",
    "Grau",
    "Hovland",
    "Jansz",
)
IDEAS_EACH = 6


def fill(assignment: Assignment, count: int) -> list[Piece]:
    """`count` more students in the assignment's class, each with a piece under way."""
    section, studio = assignment.section, assignment.section.studio
    students = _students(section, count)
    pieces = _pieces(assignment, students)
    drawn = _thumbnails(studio, [piece for n, piece in enumerate(pieces) if n % 8])
    chosen = [piece for n, piece in enumerate(pieces) if n % 8 > 2]
    _choices(chosen, drawn)
    _refinements(studio, chosen)
    _plans(assignment, [piece for n, piece in enumerate(pieces) if n % 8 > 4])
    _absences(section, students)
    return pieces


def a_school(assignment: Assignment, classes: int = 12, students: int = 35) -> list[Section]:
    """More classes with the same brief, all of the assignment's teacher, and this one filled."""
    fill(assignment, students)
    section = assignment.section
    teacher = section.teachers.get()
    made = [section]
    for number in range(2, classes + 1):
        other = Section.objects.create(
            studio=section.studio, title=f"Period {number:02}", code=f"P{number:02}"
        )
        other.teachers.add(teacher)
        Meeting.objects.bulk_create(
            Meeting(section=other, on=TERM[0] + timedelta(days=7 * week + number % 5))
            for week in range(20)
        )
        fill(_given_too(assignment, other), students)
        made.append(other)
    return made


def _given_too(assignment: Assignment, section: Section) -> Assignment:
    copy = Assignment.objects.get(pk=assignment.pk)
    milestones = list(copy.milestones.all())
    copy.pk = None
    copy.id = Assignment._meta.pk.get_default()
    copy.section = section
    copy._state.adding = True
    copy.save(force_insert=True)
    for milestone in milestones:
        copy.milestones.create(kind=milestone.kind, on=milestone.on)
    return copy


def _students(section: Section, count: int) -> list[User]:
    names = itertools.cycle(itertools.product(GIVEN_NAMES, FAMILY_NAMES))
    students = User.objects.bulk_create(
        User(
            studio=section.studio,
            role=Role.STUDENT,
            username=f"{given}.{family}.{secrets.token_hex(3)}".lower(),
            given_name=given,
            family_name=family,
            password="!",
        )
        for given, family in itertools.islice(names, count)
    )
    Enrolment.objects.bulk_create(
        Enrolment(section=section, student=student, joined_on=TERM[0]) for student in students
    )
    return students


def _pieces(assignment: Assignment, students: list[User]) -> list[Piece]:
    studio = assignment.section.studio
    taken = set(Piece.objects.filter(studio=studio).order_by().values_list("code", flat=True))
    codes = drawn_codes(len(students), taken, random.Random(len(taken)))
    return Piece.objects.bulk_create(
        Piece(studio=studio, assignment=assignment, student=student, code=code, created_at=NOW)
        for student, code in zip(students, codes, strict=True)
    )


def _images(studio: Studio, pieces: list[Piece]) -> Iterator[StoredImage]:
    for piece in pieces:
        stem = secrets.token_hex(20)
        yield StoredImage(
            studio=studio,
            by_id=piece.student_id,
            created_at=NOW,
            state=StoredImage.State.READY,
            original_name="idea.jpg",
            original_bytes=400_000,
            original_sha256=secrets.token_hex(32),
            quarantine_file="",
            stem=stem,
            full_file=f"images/{stem}.jpg",
            small_file=f"images/{stem}-small.jpg",
            width=1600,
            height=1200,
        )


def _thumbnails(studio: Studio, pieces: list[Piece]) -> dict[object, Thumbnail]:
    """Some ideas for each; the last one by piece."""
    forms = list(SourceForm.objects.filter(studio=studio))
    each = [piece for piece in pieces for _ in range(IDEAS_EACH)]
    images = StoredImage.objects.bulk_create(_images(studio, each))
    drawn = Thumbnail.objects.bulk_create(
        Thumbnail(
            piece=piece,
            image=image,
            source_form=forms[n % len(forms)],
            position=n % IDEAS_EACH + 1,
            added_at=NOW,
        )
        for n, (piece, image) in enumerate(zip(each, images, strict=True))
    )
    return {thumbnail.piece_id: thumbnail for thumbnail in drawn}


def _choices(pieces: list[Piece], drawn: dict[object, Thumbnail]) -> None:
    Choice.objects.bulk_create(
        Choice(piece=piece, thumbnail=drawn[piece.pk], reason="It stands well.", at=NOW)
        for piece in pieces
    )


def _refinements(studio: Studio, pieces: list[Piece]) -> None:
    each = [piece for piece in pieces for _ in range(2)]
    images = StoredImage.objects.bulk_create(_images(studio, each))
    Refinement.objects.bulk_create(
        Refinement(piece=piece, image=image, added_at=NOW)
        for piece, image in zip(each, images, strict=True)
    )


def _plans(assignment: Assignment, pieces: list[Piece]) -> None:
    """Copies of one plan that was really computed, waiting, approved or sent back."""
    if not pieces:
        return
    first = Piece.objects.select_related("assignment__clay_body", "studio").get(pk=pieces[0].pk)
    save_draft(piece=first, drawn=drawn_plan(), at=NOW)
    plan = send_plan(piece=first, by=first.student, at=NOW)
    teacher = assignment.section.teachers.first()
    states = (PlanState.SENT, PlanState.APPROVED, PlanState.SENT_BACK)
    versions = []
    for n, piece in enumerate(pieces[1:]):
        state = states[n % 3]
        version = copied(plan, piece_id=piece.pk, state=state)
        if state != PlanState.SENT:
            version.decided_at, version.decided_by = NOW, teacher
        versions.append(version)
    PlanVersion.objects.bulk_create(versions)


def _absences(section: Section, students: list[User]) -> None:
    past = list(section.meetings.filter(on__lte=TODAY))
    Absence.objects.bulk_create(
        Absence(meeting=past[n % len(past)], student=student)
        for n, student in enumerate(students)
        if past and not n % 5
    )
