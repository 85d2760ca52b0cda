"""Patterns, single dates, closures, absences, enrolment: what the services do and refuse."""

from datetime import date, timedelta

import pytest

from studio.errors import Refused
from studio.people.calendar import CyclePattern, Pattern, WeekdayPattern
from studio.people.models import Absence, AuditEntry, Closure, Enrolment, Meeting, Section, User
from studio.people.selectors import absences_of, class_members, lessons_of
from studio.people.services import (
    add_closure,
    add_meeting,
    cancel_meeting,
    create_class,
    edit_class,
    edit_meeting,
    end_enrolment,
    enrol,
    enrol_new_student,
    mark_absent,
    move_student,
    remove_closure,
    restore_meeting,
    set_pattern,
    set_teachers,
)
from tests.cast import NOW, TERM, TODAY, School

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

MONDAY = date(2026, 3, 9)
NEXT_MONDAY = date(2026, 3, 16)
TUESDAY = date(2026, 3, 17)


def on(cast: School, day: date) -> Meeting:
    return Meeting.objects.get(section=cast.section, on=day)


def repattern(cast: School, pattern: Pattern, **changed: date) -> Section:
    given = {"starts_on": TERM[0], "ends_on": TERM[1]} | changed
    return set_pattern(section=cast.section, by=cast.teacher, pattern=pattern, today=TODAY, **given)


TUESDAYS = WeekdayPattern(frozenset({1}))


class TestPatterns:
    def test_a_new_pattern_replaces_the_dates(self, cast: School) -> None:
        repattern(cast, TUESDAYS)
        assert {day.weekday() for day in lessons_of(cast.section)} == {1}

    def test_dates_that_stay_keep_their_rows(self, cast: School) -> None:
        before = on(cast, MONDAY).pk
        repattern(cast, WeekdayPattern(frozenset({0})))
        assert on(cast, MONDAY).pk == before

    def test_past_lessons_with_absences_stay(self, cast: School) -> None:
        mark_absent(
            meeting=on(cast, MONDAY),
            student=cast.student,
            by=cast.teacher,
            absent=True,
            today=TODAY,
        )
        repattern(cast, TUESDAYS)
        others = [day for day in lessons_of(cast.section) if day.weekday() != 1]
        assert others == [MONDAY]

    def test_what_was_changed_by_hand_stays(self, cast: School) -> None:
        add_meeting(section=cast.section, by=cast.teacher, on=date(2026, 3, 14), today=TODAY)
        cancel_meeting(meeting=on(cast, NEXT_MONDAY), by=cast.teacher)
        moved = on(cast, date(2026, 3, 18))
        edit_meeting(
            meeting=moved, by=cast.teacher, on=date(2026, 3, 19), note="glaze", today=TODAY
        )
        repattern(cast, WeekdayPattern(frozenset({0, 2})))
        held = lessons_of(cast.section)
        assert date(2026, 3, 14) in held
        assert date(2026, 3, 19) in held
        assert NEXT_MONDAY not in held
        assert date(2026, 3, 18) not in held, "a moved lesson's old date stays free"

    def test_a_rotating_cycle_is_kept_and_made(self, cast: School) -> None:
        cycle = CyclePattern(6, frozenset({1, 4}), date(2026, 3, 2))
        repattern(cast, cycle, starts_on=date(2026, 3, 2), ends_on=date(2026, 3, 13))
        # Worked by hand: 2 is day 1, 5 day 4, 10 day 1, 13 day 4.
        assert [day.day for day in lessons_of(cast.section)] == [2, 5, 10, 13]

    @pytest.mark.parametrize(
        ("pattern", "changed", "field", "sentence"),
        [
            (TUESDAYS, {"ends_on": date(2026, 2, 1)}, "ends_on", "before the first"),
            (TUESDAYS, {"ends_on": date(2028, 6, 1)}, "ends_on", "two years at most"),
            (TUESDAYS, {"starts_on": date(1926, 2, 1)}, "ends_on", "two years at most"),
            (
                TUESDAYS,
                {"starts_on": date(9998, 2, 1), "ends_on": date(9999, 12, 31)},
                "starts_on",
                "years away",
            ),
            (WeekdayPattern(frozenset()), {}, "weekdays", "at least one weekday"),
            (CyclePattern(1, frozenset({1}), TERM[0]), {}, "length", "2 to 20 days"),
            (CyclePattern(6, frozenset(), TERM[0]), {}, "meets_on", "at least one day"),
            (CyclePattern(6, frozenset({7}), TERM[0]), {}, "meets_on", "are 1 to 6"),
            (CyclePattern(6, frozenset({0}), TERM[0]), {}, "meets_on", "are 1 to 6"),
            (CyclePattern(6, frozenset({1}), TERM[0], 9), {}, "meets_on", "are 1 to 6"),
            (CyclePattern(6, frozenset({1}), date(1, 1, 1)), {}, "counts_from", "too far"),
            (
                CyclePattern(6, frozenset({1}), TERM[0], 1, frozenset()),
                {},
                "school_week",
                "one school day",
            ),
        ],
    )
    def test_a_pattern_that_makes_no_sense_is_refused_at_its_field(
        self, cast: School, pattern: Pattern, changed: dict[str, date], field: str, sentence: str
    ) -> None:
        before = lessons_of(cast.section)
        with pytest.raises(Refused, match=sentence) as refusal:
            repattern(cast, pattern, **changed)
        assert refusal.value.problems[0].field == field
        assert lessons_of(cast.section) == before


class TestOneDate:
    def test_a_lesson_on_a_taken_date_is_refused(self, cast: School) -> None:
        with pytest.raises(Refused, match="meets on this date already"):
            add_meeting(section=cast.section, by=cast.teacher, on=MONDAY, today=TODAY)
        with pytest.raises(Refused, match="meets on this date already"):
            edit_meeting(
                meeting=on(cast, MONDAY), by=cast.teacher, on=NEXT_MONDAY, note="", today=TODAY
            )

    def test_a_slip_of_the_year_is_caught(self, cast: School) -> None:
        with pytest.raises(Refused, match="Check the year"):
            add_meeting(section=cast.section, by=cast.teacher, on=date(2062, 3, 9), today=TODAY)

    def test_it_falls_out_and_comes_back(self, cast: School) -> None:
        cancel_meeting(meeting=on(cast, MONDAY), by=cast.teacher)
        assert MONDAY not in lessons_of(cast.section)
        restore_meeting(meeting=on(cast, MONDAY), by=cast.teacher)
        assert MONDAY in lessons_of(cast.section)

    def test_moved_away_and_back_it_is_where_it_was(self, cast: School) -> None:
        before = lessons_of(cast.section)
        for day in (TUESDAY, NEXT_MONDAY):
            meeting = Meeting.objects.held().get(
                section=cast.section, on=NEXT_MONDAY if day == TUESDAY else TUESDAY
            )
            edit_meeting(meeting=meeting, by=cast.teacher, on=day, note="", today=TODAY)
        assert lessons_of(cast.section) == before

    def test_absences_move_with_their_lesson(self, cast: School) -> None:
        meeting = on(cast, MONDAY)
        mark_absent(
            meeting=meeting, student=cast.student, by=cast.teacher, absent=True, today=TODAY
        )
        edit_meeting(meeting=meeting, by=cast.teacher, on=date(2026, 3, 10), note="", today=TODAY)
        assert absences_of(cast.section) == {cast.student.pk: {date(2026, 3, 10)}}

    def test_a_lesson_that_was_made_anew_meanwhile_is_told(self, cast: School) -> None:
        stale = on(cast, MONDAY)
        repattern(cast, TUESDAYS)
        with pytest.raises(Refused, match="the dates were made anew"):
            edit_meeting(meeting=stale, by=cast.teacher, on=MONDAY, note="", today=TODAY)


class TestClosures:
    def test_the_dates_of_all_classes_follow(self, cast: School) -> None:
        week = (date(2026, 3, 16), date(2026, 3, 20))
        closure = add_closure(
            studio=cast.studio,
            by=cast.head,
            name="Spring break",
            starts_on=week[0],
            ends_on=week[1],
            today=TODAY,
        )
        for section in (cast.section, cast.other_section):
            assert not [day for day in lessons_of(section) if week[0] <= day <= week[1]]
        remove_closure(closure=closure, by=cast.head, today=TODAY)
        assert NEXT_MONDAY in lessons_of(cast.section)

    def test_dates_set_by_hand_alone_are_left_alone(self, cast: School) -> None:
        section = create_class(studio=cast.studio, by=cast.head, title="By hand")
        add_meeting(section=section, by=cast.head, on=NEXT_MONDAY, today=TODAY)
        add_closure(
            studio=cast.studio,
            by=cast.head,
            name="Shut",
            starts_on=NEXT_MONDAY,
            ends_on=NEXT_MONDAY,
            today=TODAY,
        )
        assert lessons_of(section) == [NEXT_MONDAY]

    def test_another_studio_meets_on(self, cast: School) -> None:
        before = lessons_of(cast.elsewhere.section)
        add_closure(
            studio=cast.studio,
            by=cast.head,
            name="All",
            starts_on=TERM[0],
            ends_on=TERM[1],
            today=TODAY,
        )
        assert lessons_of(cast.section) == []
        assert lessons_of(cast.elsewhere.section) == before

    def test_a_closure_that_ends_before_it_starts_is_refused(self, cast: School) -> None:
        with pytest.raises(Refused, match="before the first"):
            add_closure(
                studio=cast.studio,
                by=cast.head,
                name="X",
                starts_on=TODAY,
                ends_on=MONDAY,
                today=TODAY,
            )
        assert not Closure.objects.exists()


class TestAbsence:
    def mark(self, cast: School, student: User, *, absent: bool = True, day: date = TODAY) -> None:
        mark_absent(
            meeting=on(cast, day), student=student, by=cast.teacher, absent=absent, today=TODAY
        )

    def test_one_tap_marks_and_the_next_takes_it_back(self, cast: School) -> None:
        self.mark(cast, cast.student)
        [member] = [each for each in class_members(cast.section, TODAY) if each.absent]
        assert (member.student, member.missed) == (cast.student, 1)
        self.mark(cast, cast.student, absent=False)
        assert not Absence.objects.exists()

    def test_a_double_tap_says_it_once(self, cast: School) -> None:
        self.mark(cast, cast.student)
        self.mark(cast, cast.student)
        assert Absence.objects.count() == 1
        assert AuditEntry.objects.filter(action="marked absent").count() == 1

    def test_only_who_is_in_the_class_can_be_absent(self, cast: School) -> None:
        with pytest.raises(Refused, match=r"Sunniva Kjeld is not in Period 3 any more\."):
            self.mark(cast, cast.other_student)

    def test_a_lesson_to_come_is_missed_by_nobody(self, cast: School) -> None:
        with pytest.raises(Refused, match="hasn't come yet"):
            self.mark(cast, cast.student, day=NEXT_MONDAY)

    def test_a_lesson_that_falls_out_is_missed_by_nobody(self, cast: School) -> None:
        self.mark(cast, cast.student)
        cancel_meeting(meeting=on(cast, TODAY), by=cast.teacher)
        assert absences_of(cast.section) == {}
        with pytest.raises(Refused, match="falls out"):
            self.mark(cast, cast.classmate)


class TestClasses:
    def test_a_teacher_teaches_the_class_they_make(self, cast: School) -> None:
        made = create_class(
            studio=cast.studio, by=cast.teacher, title=" Clay  club ", teachers=[cast.other_teacher]
        )
        assert made.title == "Clay club"
        assert list(made.teachers.all()) == [cast.teacher]

    def test_only_those_who_teach_here_can_be_set(self, cast: School) -> None:
        for wrong in (cast.technician, cast.student, cast.elsewhere.teacher):
            with pytest.raises(Refused, match="heads and teachers of this studio only"):
                set_teachers(section=cast.section, by=cast.head, teachers=[wrong])

    def test_setting_the_same_teachers_leaves_no_line(self, cast: School) -> None:
        set_teachers(section=cast.section, by=cast.head, teachers=[cast.teacher])
        assert not AuditEntry.objects.filter(action="teachers set").exists()

    def test_setting_teachers_is_kept_with_who_it_was(self, cast: School) -> None:
        set_teachers(section=cast.section, by=cast.head, teachers=[cast.other_teacher])
        line = AuditEntry.objects.get(action="teachers set")
        assert (line.before, line.after) == (
            {"teachers": [str(cast.teacher.pk)]},
            {"teachers": [str(cast.other_teacher.pk)]},
        )
        assert not Section.objects.visible_to(cast.teacher).exists()

    def test_half_an_edit_is_not_written(self, cast: School) -> None:
        with pytest.raises(Refused, match="of this studio only"):
            edit_class(
                section=cast.section,
                by=cast.head,
                title="Renamed",
                code="",
                sourced_id="",
                archived=False,
                teachers=[cast.student],
            )
        cast.section.refresh_from_db()
        assert cast.section.title == "Period 3"

    def test_a_roster_id_belongs_to_one_class(self, cast: School) -> None:
        create_class(studio=cast.studio, by=cast.head, title="A", sourced_id="c1")
        with pytest.raises(Refused, match="Another class has this roster id"):
            create_class(studio=cast.studio, by=cast.head, title="B", sourced_id="c1")
        create_class(
            studio=cast.elsewhere.studio, by=cast.elsewhere.head, title="C", sourced_id="c1"
        )


class TestEnrolment:
    def test_nobody_is_in_a_class_twice(self, cast: School) -> None:
        with pytest.raises(Refused, match="Ode Amari is in Period 3 already"):
            enrol(section=cast.section, student=cast.student, by=cast.head, on=TODAY)

    def test_leaving_keeps_the_row_and_coming_back_makes_another(self, cast: School) -> None:
        end_enrolment(section=cast.section, student=cast.student, by=cast.teacher, on=TODAY)
        enrol(section=cast.section, student=cast.student, by=cast.head, on=TODAY + timedelta(7))
        rows = Enrolment.objects.filter(section=cast.section, student=cast.student)
        assert sorted(rows.values_list("joined_on", "left_on"), key=str) == [
            (TERM[0], TODAY),
            (TODAY + timedelta(7), None),
        ]

    def test_leaving_twice_is_told(self, cast: School) -> None:
        end_enrolment(section=cast.section, student=cast.student, by=cast.teacher, on=TODAY)
        with pytest.raises(Refused, match="is not in Period 3 any more"):
            end_enrolment(section=cast.section, student=cast.student, by=cast.teacher, on=TODAY)

    def test_a_move_that_can_t_arrive_doesn_t_leave(self, cast: School) -> None:
        enrol(section=cast.other_section, student=cast.student, by=cast.head, on=TODAY)
        with pytest.raises(Refused, match="is in Period 5 already"):
            move_student(
                student=cast.student,
                section=cast.section,
                to=cast.other_section,
                by=cast.head,
                on=TODAY,
            )
        current = Enrolment.objects.current().filter(student=cast.student)
        assert current.count() == 2

    def test_moving_to_the_same_class_is_refused(self, cast: School) -> None:
        with pytest.raises(Refused, match="another class to move to"):
            move_student(
                student=cast.student, section=cast.section, to=cast.section, by=cast.head, on=TODAY
            )

    def test_a_class_that_is_over_takes_nobody(self, cast: School) -> None:
        Section.objects.filter(pk=cast.section.pk).update(archived=True)
        with pytest.raises(Refused, match="Period 3 is over"):
            enrol(section=cast.section, student=cast.other_student, by=cast.head, on=TODAY)

    def test_a_new_student_who_is_refused_leaves_no_account(self, cast: School) -> None:
        Section.objects.filter(pk=cast.section.pk).update(archived=True)
        before = User.objects.count()
        with pytest.raises(Refused, match="is over"):
            enrol_new_student(
                section=cast.section, by=cast.teacher, given_name="Ana", at=NOW, on=TODAY
            )
        assert User.objects.count() == before
