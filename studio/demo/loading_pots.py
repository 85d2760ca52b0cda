"""Loads the demo's pots: built, checked, dried, fired, flawed, lost, each at its own pace."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zlib import crc32

from studio.clay.models import Lot
from studio.clay.services import issue_clay
from studio.demo.darkroom import photographs, wait_until_read
from studio.demo.loading_bench import build
from studio.demo.loading_clay import issue
from studio.demo.loading_kilns import fire, glazes, open_kiln
from studio.demo.loading_people import School
from studio.demo.loading_pieces import Work
from studio.demo.material import Course, Material, PotFate
from studio.demo.pot_photo import PotPicture
from studio.kilns.models import Firing
from studio.kilns.services.firing import Outcome
from studio.people.models import User
from studio.people.selectors import lessons_of
from studio.ware.models import Cause, Lost, Occasion, Place, Pot, Stage
from studio.ware.services import (
    add_place,
    add_pot_photo,
    begin_pot,
    check_dryness,
    check_glaze,
    check_greenware,
    come_to_stage,
    cover,
    lose_pots,
    note_flaw,
    put_in_place,
    say_built,
    set_flaw_cause,
    set_loss_cause,
)
from studio.ware.stages import DAMP, ORDER


@dataclass
class Making:
    """A pot, whose it is, what becomes of it and when its class did what."""

    work: Work
    fate: PotFate
    course: Course
    pot: Pot
    school: School
    lessons: Sequence[date]

    @property
    def by(self) -> User:
        return self.work.teacher

    def at(self, offset: int, hour: int = 10) -> datetime:
        """In the last lesson up to a day counted from loading, at each student's own minute."""
        minute = crc32(self.work.piece.key.encode()) % 50
        return self.school.clock.at(lesson_by(self.lessons, self.school, offset), hour, minute)

    def comes_to(self, stage: str) -> bool:
        return ORDER.index(self.fate.stage) >= ORDER.index(stage)


def lesson_by(lessons: Sequence[date], school: School, offset: int) -> date:
    """The last of these lessons on or before a day; the day itself where there is none."""
    day = school.clock.day(offset)
    return max((lesson for lesson in lessons if lesson <= day), default=day)


def load_pots(material: Material, school: School, works: dict[str, Work]) -> None:
    """Everything from the clay on, in the order in which it happened."""
    places = _places(material, school)
    for course in sorted(material.courses, key=lambda each: each.issued):
        makings = _begun(course, material, school, works)
        _build(makings)
        _check(makings)
        _fire(course.bisque, [m for m in makings if m.comes_to("bisque_fired")], material)
        _glaze([m for m in makings if m.comes_to("glazed")])
        _fire(course.glaze, [m for m in makings if _goes_into_glaze(m)], material)
        _show([m for m in makings if m.comes_to("on_display")])
        for making in makings:
            _mend(making)
            _lose(making)
        for making in makings:
            build(making)
        _stand(makings, places)
    _photograph(school, works)


def _places(material: Material, school: School) -> dict[str, Place]:
    technician = school.staff["dillon.pryce"]
    return {
        row["name"]: add_place(studio=school.studio, by=technician, **row)
        for row in material.places
    }


def _begun(
    course: Course, material: Material, school: School, works: dict[str, Work]
) -> list[Making]:
    """The class's clay is issued, and its pots begin."""
    fates = {fate.key: fate for fate in material.pots}
    mine = [
        work
        for key, work in works.items()
        if key in fates and work.piece.brief == course.brief
        if work.row.assignment.section.sourced_id == course.section
    ]
    if not mine:
        return []
    assignment, teacher = mine[0].row.assignment, mine[0].teacher
    lessons = lessons_of(assignment.section)
    at = school.clock.at(lesson_by(lessons, school, course.issued), 9, 40)
    issue(mine, assignment, by=teacher, at=at)
    pots = Pot.objects.filter(piece__assignment=assignment).select_related(
        "piece__student", "piece__assignment__section", "plan", "studio"
    )
    by_piece = {pot.piece_id: pot for pot in pots}
    return [
        Making(work, fates[work.piece.key], course, by_piece[work.row.pk], school, lessons)
        for work in mine
    ]


def _build(makings: Iterable[Making]) -> None:
    for making in makings:
        if making.comes_to("leather_hard"):
            _come(
                making, Stage.LEATHER_HARD, making.at(making.course.leather_hard), by_student=True
            )
        if making.fate.said_built:
            say_built(pot=making.pot, by=making.work.student, at=making.at(-1))


def _check(makings: Iterable[Making]) -> None:
    """Building ends with the greenware check; sizes as a ruler finds them, 3 % smaller by then."""
    for making in makings:
        if not making.comes_to("bone_dry"):
            continue
        plan, rng = making.pot.plan, crc32(making.work.piece.key.encode())
        by_now = 0.965 + (rng % 7) * 0.004
        check_greenware(
            pot=making.pot,
            thickest_mm=7 + rng % 4,
            height_mm=round((plan.wet_height_mm or 0) * by_now),
            front_mm=round((plan.wet_front_mm or 0) * (by_now + 0.02)),
            depth_mm=round((plan.wet_depth_mm or 0) * (by_now + 0.01)),
            code_legible=True,
            cracks="",
            by=making.by,
            at=making.at(making.course.built, 11),
            confirm=True,
        )
        check_dryness(
            pots=[making.pot],
            air_dry=True,
            by=making.school.staff["dillon.pryce"],
            at=making.at(making.course.air_dry, 15),
        )


def _fire(name: str, makings: Sequence[Making], material: Material) -> None:
    """The firing of this name in the file, up to what came out of it."""
    if not makings:
        return
    fired = fire(name, [m.pot for m in makings], material, makings[0].school)
    results = {}
    for making in makings:
        broke = _breaks(making, fired.slot.program.firing)
        note = making.fate.lost_note if broke else ""
        results[making.pot.pk] = Outcome("broken" if broke else "ok", note)
    open_kiln(fired, results)


def _breaks(making: Making, firing: str) -> bool:
    """Whether the pot breaks in this firing."""
    if firing == Firing.BISQUE:
        return making.fate.lost == Lost.BROKEN and making.fate.stage == Stage.BISQUE_FIRED
    return making.fate.stage == Stage.GLAZED


def _glaze(makings: Iterable[Making]) -> None:
    for making in makings:
        check_glaze(
            pot=making.pot,
            glazes=[glazes(making.school)[making.fate.glaze]],
            foot_clean=True,
            thickness_fits=True,
            by=making.by,
            at=making.at(making.course.glazed, 14),
        )


def _goes_into_glaze(making: Making) -> bool:
    return making.comes_to("glaze_fired") or (
        making.fate.stage == Stage.GLAZED and making.fate.cause == Cause.KILN
    )


def _show(makings: Iterable[Making]) -> None:
    for making in makings:
        # The kiln may have been opened after that lesson; the shelf is filled right then.
        opened = making.pot.stage_entries.latest("at").at + timedelta(minutes=30)
        at = max(making.at(making.course.shown, 15), opened)
        _come(making, Stage.ON_DISPLAY, at)
        if making.comes_to("collected"):
            _come(making, Stage.COLLECTED, making.at(making.course.collected, 12))


def _come(making: Making, stage: Stage, at: datetime, *, by_student: bool = False) -> None:
    by = making.work.student if by_student else making.by
    come_to_stage(pots=[making.pot], stage=stage, by=by, at=at)


def _mend(making: Making) -> None:
    fate = making.fate
    if not fate.flaw:
        return
    flaw = note_flaw(
        pot=making.pot,
        what=fate.flaw,
        mended=fate.flaw_mended,
        by=making.work.student,
        at=making.at(making.course.leather_hard + 1),
    )
    if fate.flaw_cause:
        set_flaw_cause(flaw=flaw, cause=fate.flaw_cause, by=making.by)


def _lose(making: Making) -> None:
    """What broke outside the kiln or went missing, the cause as staff see it, the next pot."""
    fate, pot = making.fate, making.pot
    if not fate.lost:
        return
    pot.refresh_from_db()
    if not pot.lost:
        lose_pots(pots=[pot], kind=fate.lost, by=making.by, at=making.at(-12), note=fate.lost_note)
    if fate.cause:
        set_loss_cause(loss=pot.losses.get(), cause=fate.cause, by=making.by)
    if fate.again:
        _build_again(making)


def _build_again(making: Making) -> None:
    at = making.at(-11)
    pot = begin_pot(piece=making.work.row, by=making.by, at=at)
    lot = Lot.objects.to_issue().filter(body=making.work.row.assignment.clay_body)[0]
    issue_clay(pot=pot, lot=lot, grams=round(pot.plan.issue_g or 0), by=making.by, at=at)
    again = PotFate(making.fate.student, making.fate.brief, making.fate.again)
    course = Course(
        making.course.brief,
        making.course.section,
        issued=-11,
        leather_hard=-8,
        built=-5,
        air_dry=-1,
    )
    rebuilt = Making(making.work, again, course, pot, making.school, making.lessons)
    _build([rebuilt])
    _check([rebuilt])


def _stand(makings: Iterable[Making], places: dict[str, Place]) -> None:
    """Where each pot is now; what is damp is wrapped, but for a few that somebody forgot."""
    for making in makings:
        pot = Pot.objects.standing().filter(piece=making.work.row).first()
        if pot is None or not making.fate.place:
            continue
        at = making.at(-1, 12)
        put_in_place(pots=[pot], place=places[making.fate.place], by=making.by, at=at)
        forgotten = crc32(making.work.piece.key.encode()) % 5 == 0
        if pot.stage in DAMP and not forgotten:
            cover(pots=[pot], by=making.work.student, at=at)


MOST_WHO_FORGET = 6  # one in so many takes no photo
_PHOTOS: tuple[tuple[Stage, Occasion], ...] = (
    (Stage.BONE_DRY, Occasion.BEFORE_BISQUE),
    (Stage.GLAZE_FIRED, Occasion.FINISHED),
)


def _photograph(school: School, works: dict[str, Work]) -> None:
    """A photo before the bisque and one of what came out of the glaze firing."""
    pots = Pot.objects.filter(studio=school.studio).select_related(
        "piece__student", "plan", "studio"
    )
    asked = []
    for pot in pots:
        reached = {entry.stage: entry.at for entry in pot.stage_entries.all()}
        for stage, occasion in _PHOTOS:
            key = f"{pot.piece.student.sourced_id}/{pot.number}/{stage}"
            chance = crc32(key.encode())
            if stage in reached and chance % MOST_WHO_FORGET:
                picture = PotPicture(key, pot.plan.silhouette, stage.value, glaze=chance)
                asked.append((picture, pot, occasion, reached[stage]))
    files = photographs([picture for picture, *_rest in asked])
    for (_picture, pot, occasion, at), (_same, file) in zip(asked, files, strict=True):
        add_pot_photo(pot=pot, occasion=occasion, file=file, by=pot.piece.student, at=at)
    wait_until_read(school.studio)
