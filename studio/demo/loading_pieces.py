"""Loads what the demo's students have done: drawings, choices, plans, and teachers' answers."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from zlib import crc32

from planning.geometry.inputs import FootRing, Outline
from planning.models import MilestoneKind, SourceForm, Thumbnail
from planning.models import Piece as PieceRow
from planning.plans.inputs import Drawn, Line
from planning.services.adjustments import set_adjustment
from planning.services.assignments import count_ideas
from planning.services.choosing import choose_design, let_through
from planning.services.drawings import add_refinement, add_thumbnail, withdraw
from planning.services.plans import approve, save_draft, send_back, send_plan
from studio.demo.darkroom import photographs, wait_until_read
from studio.demo.diary import Diary
from studio.demo.drawings import Drawing, drawings_of
from studio.demo.loading_briefs import Given
from studio.demo.loading_people import School
from studio.demo.material import Material, Piece, Profile
from studio.people.models import Meeting, User
from studio.people.services import mark_absent

SENT = ("sent", "sent back", "sent again", "approved")


@dataclass(frozen=True)
class Work:
    """A piece in the files, its row, whose it is, who teaches it and when things happened."""

    piece: Piece
    row: PieceRow
    student: User
    teacher: User
    diary: Diary


def load_pieces(
    material: Material,
    school: School,
    assignments: Given,
    sources: dict[str, SourceForm],
) -> dict[str, Work]:
    """What students and teachers did until the plans were decided; by the piece's key."""
    works = {work.piece.key: work for work in _works(material, school, assignments)}
    drawings = [each for work in works.values() for each in drawings_of(work.piece, material)]
    # Where the brief asks for ideas a student waits to read how many there are: those go first.
    drawings.sort(key=lambda each: (each.is_refinement, not _asks_ideas(works[each.piece])))
    count = sum(not each.is_refinement for each in drawings)
    photos = photographs(drawings)
    for work in works.values():
        _agree(work)
    for drawing, photo in islice(photos, count):
        work = works[drawing.piece]
        add_thumbnail(
            piece=work.row,
            by=work.student,
            file=photo,
            at=work.diary.drawing(drawing.number, len(work.piece.thumbnails)),
            source_form=sources[_source(material, work.piece, drawing)],
            note=work.piece.notes.get(str(drawing.number), ""),
        )
    # The gate counts what could be read.
    wait_until_read(school.studio)
    # A gate that asks for ideas would wait until all are compared, which takes some minutes.
    _count_ideas(works.values(), counted=False)
    for work in works.values():
        _choose(work)
    _count_ideas(works.values(), counted=True)
    for drawing, photo in photos:
        work = works[drawing.piece]
        at = work.diary.refining(drawing.number)
        add_refinement(piece=work.row, by=work.student, file=photo, at=at)
    wait_until_read(school.studio)
    for work in works.values():
        _plan(work, material.profiles)
    return works


def _works(material: Material, school: School, assignments: Given) -> Iterator[Work]:
    class_of = {row["student_id"]: row["class_id"] for row in material.students}
    teacher_of = {row["sourced_id"]: school.staff[row["teacher"]] for row in material.classes}
    lessons = {
        key: list(Meeting.objects.held().filter(section=section).values_list("on", flat=True))
        for key, section in school.sections.items()
    }
    rows = PieceRow.objects.filter(studio=school.studio).select_related(
        "studio", "assignment__section__studio", "assignment__clay_body"
    )
    row_of = {(row.student_id, row.assignment_id): row for row in rows}
    decided = {
        (row["title"], each["class"]): school.clock.day(each.get("plans_by", 0))
        for row in material.briefs
        for each in row["given"]
    }
    for piece in material.pieces:
        student, key = school.students[piece.student], class_of[piece.student]
        given = assignments[piece.brief, key]
        shift = crc32(piece.student.encode()) % 1000 / 1000
        held = [day for day in lessons[key] if day <= decided[piece.brief, key]]
        diary = Diary(school.clock, held, given.given_on, shift)
        yield Work(piece, row_of[student.pk, given.pk], student, teacher_of[key], diary)


def _asks_ideas(work: Work) -> bool:
    return work.row.assignment.least_distinct_ideas is not None


def _count_ideas(works: Iterable[Work], *, counted: bool) -> None:
    """Where the brief asks for ideas."""
    for work in filter(_asks_ideas, works):
        work.row.assignment = count_ideas(
            assignment=work.row.assignment, counted=counted, by=work.teacher
        )


def _source(material: Material, piece: Piece, drawing: Drawing) -> str:
    return material.forms[piece.thumbnails[drawing.number - 1]].source


def _agree(work: Work) -> None:
    """Lessons missed, and what differs for one student."""
    piece, assignment, clock = work.piece, work.row.assignment, work.diary.clock
    held = Meeting.objects.held().filter(section=assignment.section, on__lte=clock.today)
    for meeting in held.order_by("-on")[: piece.missed]:
        mark_absent(
            meeting=meeting,
            student=work.student,
            by=work.teacher,
            absent=True,
            today=max(meeting.on, clock.today),
        )
    if not piece.private_reason:
        return
    on = {row.kind: row.on for row in assignment.milestones.all()}
    chosen, refined = on[MilestoneKind.CHOSEN], on[MilestoneKind.REFINED]
    later = min(refined, chosen + (clock.day(piece.late_choice) - clock.today))
    set_adjustment(
        assignment=assignment,
        student=work.student,
        by=work.teacher,
        counts=piece.own_counts,
        dates={MilestoneKind.CHOSEN: later} if piece.late_choice else {},
        private_reason=piece.private_reason,
        at=work.diary.drawing(1, 1),
    )


def _choose(work: Work) -> None:
    piece, at = work.piece, work.diary.choosing()
    thumbnails = list(Thumbnail.objects.filter(piece=work.row).order_by("position"))
    for number in piece.withdrawn:
        withdraw(drawing=thumbnails[number - 1], by=work.student, at=at)
    if piece.let_through:
        let_through(piece=work.row, reason=piece.let_through, by=work.teacher, at=at)
        work.row.refresh_from_db()
    if piece.chosen:
        choose_design(
            piece=work.row,
            thumbnail=thumbnails[piece.chosen - 1],
            reason=piece.reason,
            by=work.student,
            at=at,
        )


def _plan(work: Work, profiles: dict[str, Profile]) -> None:
    """The plan's versions as far as they have come, and what the teacher said."""
    piece, diary = work.piece, work.diary
    versions = [name for name in (piece.first_plan, piece.plan) if name]
    for number, name in enumerate(versions, start=1):
        save_draft(piece=work.row, drawn=_drawn(profiles[name]), at=diary.planning(number))
        if piece.state not in SENT:
            return
        sent = send_plan(piece=work.row, by=work.student, at=diary.sending(number))
        if piece.state == "approved":
            approve(plan=sent, by=work.teacher, at=diary.deciding(number))
        elif piece.sent_back and number == 1:
            at = diary.deciding(number)
            send_back(plan=sent, by=work.teacher, at=at, note=piece.sent_back)


def _drawn(profile: Profile) -> Drawn:
    rim, ring = profile.rim_outline, profile.foot_ring
    return Drawn(
        lines=tuple(Line(*level) for level in profile.levels),
        outline=Outline(**profile.outline),
        rim_outline=Outline(**rim) if rim else None,
        foot_ring=FootRing(**ring) if ring else None,
        added_g=profile.added_g,
        drawn_as="wet",
        wall_base_mm=profile.wall_mm,
        wall_rim_mm=profile.wall_mm,
        base_mm=profile.base_mm,
        uneven_on_purpose=profile.uneven_on_purpose,
    )
