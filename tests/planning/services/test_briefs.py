"""Setting a project and giving it to classes."""

import threading
from datetime import date, timedelta
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connections

from planning.codes import is_code
from planning.models import Assignment, Brief, Milestone, Piece, SourceForm
from planning.models.brief import TERMS
from planning.services.briefs import (
    copy_brief,
    create_brief,
    edit_brief,
    give_brief,
    put_away_brief,
    take_out_brief,
    terms_of,
)
from studio.errors import Refused
from studio.people.models import AuditEntry
from studio.people.services import create_class, edit_class, end_enrolment
from studio.room.services import retire_body
from tests.cast import NOW, School, a_class, pupil, school
from tests.planning.projects import DUE, GIVEN, a_body, a_brief, given
from tests.planning.projects import TERMS as ASKED

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


class TestSettingIt:
    def test_a_teacher_sets_a_brief_and_the_line_says_so(self, cast: School) -> None:
        brief = a_brief(cast.teacher)
        entry = AuditEntry.objects.get(action="brief made")
        assert (entry.by, entry.after["coil_mm"]) == (cast.teacher, "14")
        assert {name: getattr(brief, name) for name in ASKED} == ASKED

    def test_the_studio_gets_a_list_of_source_forms_with_its_first_brief(
        self, cast: School
    ) -> None:
        a_brief(cast.teacher)
        a_brief(cast.teacher, "Another")
        names = set(SourceForm.objects.filter(studio=cast.studio).values_list("name", flat=True))
        assert {"seed pod", "gourd", "other"} < names
        assert len(names) == SourceForm.objects.count() == 10

    def test_lengths_are_kept_to_a_tenth_of_a_millimetre(self, cast: School) -> None:
        # 5/16 in is 7.9375 mm.
        brief = a_brief(cast.teacher, wall_mm=7.9375)
        brief.refresh_from_db()
        assert str(brief.wall_mm) == "7.9"

    @pytest.mark.parametrize(
        ("changed", "field", "says"),
        [
            ({"min_fired_height_mm": 350}, "max_fired_height_mm", "is below the least"),
            ({"wall_mm": 1}, "wall_mm", "greater than or equal to 2"),
            ({"wall_mm": 99_999.5}, "wall_mm", "less than or equal to 50"),
            ({"least_thumbnails": 51}, "least_thumbnails", "less than or equal to 50"),
            ({"working_allowance_pct": 101}, "working_allowance_pct", "less than or equal to 100"),
            ({"surface": "shiny"}, "surface", "not a valid choice"),
            ({"what_to_make": " \0\n "}, "what_to_make", "cannot be blank"),
        ],
    )
    def test_terms_that_make_no_sense_are_refused_at_their_field(
        self, cast: School, changed: dict[str, Any], field: str, says: str
    ) -> None:
        with pytest.raises(Refused, match=says) as refused:
            a_brief(cast.teacher, **changed)
        assert [problem.field for problem in refused.value.problems] == [field]
        assert not Brief.objects.exists()

    def test_clay_of_another_studio_is_refused(self, cast: School) -> None:
        body = a_body(cast.elsewhere.teacher)
        with pytest.raises(Refused, match="that the studio uses") as refused:
            a_brief(cast.teacher, clay_body=body)
        assert refused.value.problems[0].field == "clay_body"

    @pytest.mark.parametrize("who", ["student", "technician", "nobody"])
    def test_others_set_no_brief(self, cast: School, who: str) -> None:
        body = a_body(cast.teacher)
        with pytest.raises(PermissionDenied):
            create_brief(
                studio=cast.studio,
                by=getattr(cast, who),
                title="Mine",
                terms=ASKED | {"clay_body": body},
                at=NOW,
            )

    def test_nobody_sets_a_brief_in_another_studio(self, cast: School) -> None:
        brief = a_brief(cast.teacher)
        with pytest.raises(PermissionDenied):
            edit_brief(brief=brief, by=cast.elsewhere.head, title="Taken", terms={})


class TestEditingIt:
    def test_an_edit_keeps_only_what_changed_in_its_line(self, cast: School) -> None:
        brief = a_brief(cast.teacher)
        terms = terms_of(Brief.objects.get()) | {"coil_mm": 16.0}
        edit_brief(brief=brief, by=cast.other_teacher, title=" Something\tthat grew", terms=terms)
        entry = AuditEntry.objects.get(action="brief edited")
        assert (entry.before, entry.after) == ({"coil_mm": "14"}, {"coil_mm": "16"})

    def test_an_edit_that_changes_nothing_leaves_no_line(self, cast: School) -> None:
        brief = a_brief(cast.teacher)
        edit_brief(brief=brief, by=cast.teacher, title=brief.title, terms=ASKED)
        assert not AuditEntry.objects.filter(action="brief edited").exists()

    def test_an_edit_moves_no_class_that_has_the_brief(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        brief = assignment.brief
        edit_brief(
            brief=brief, by=cast.teacher, title="Other", terms=ASKED | {"least_thumbnails": 12}
        )
        assignment.refresh_from_db()
        assert (assignment.title, assignment.least_thumbnails) == ("Something that grew", 6)

    def test_clay_that_was_retired_meanwhile_may_stay_but_not_come_in(self, cast: School) -> None:
        brief = a_brief(cast.teacher)
        other = a_body(cast.teacher, name="Red earthenware")
        for body in (brief.clay_body, other):
            retire_body(body=body, by=cast.technician)
        edit_brief(brief=brief, by=cast.teacher, title="Kept", terms={})
        with pytest.raises(Refused, match="that the studio uses"):
            edit_brief(brief=brief, by=cast.teacher, title="Kept", terms={"clay_body": other})

    def test_a_copy_has_the_terms_and_none_of_the_classes(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        copy = copy_brief(brief=assignment.brief, by=cast.other_teacher, title="Spring", at=NOW)
        assert terms_of(copy) == terms_of(Brief.objects.get(pk=assignment.brief_id))
        assert (copy.by, copy.title, copy.assignments.count()) == (cast.other_teacher, "Spring", 0)
        assert give_brief(
            brief=copy, by=cast.teacher, sections=[cast.section], given_on=GIVEN, due_on=DUE, at=NOW
        )


class TestGivingIt:
    def test_each_class_gets_the_terms_its_dates_and_a_piece_for_everybody(
        self, cast: School
    ) -> None:
        brief = a_brief(cast.head)
        first, second = given(cast.head, cast.other_section, cast.section, brief=brief)
        assert (first.section, second.section) == (cast.section, cast.other_section)
        for assignment in (first, second):
            assert terms_of(assignment) == terms_of(Brief.objects.get())
        # Mondays and Wednesdays, Tuesdays and Thursdays.
        weekdays = {row.on.weekday() for row in first.milestones.all()}
        assert weekdays <= {0, 2}
        assert {row.on.weekday() for row in second.milestones.all()} <= {1, 3}
        assert first.milestones.get(kind="built").on == date(2026, 5, 13)
        assert second.milestones.get(kind="built").on == date(2026, 5, 12)
        assert set(first.pieces.values_list("student", flat=True)) == {
            cast.student.pk,
            cast.classmate.pk,
        }
        codes = [piece.code for piece in Piece.objects.all()]
        assert len(set(codes)) == 3
        assert all(is_code(code.replace("-", "")) for code in codes)

    def test_all_terms_are_pinned(self) -> None:
        mine = {field.name for field in Assignment._meta.local_fields}
        assert set(TERMS) < mine

    def test_those_who_left_get_no_piece(self, cast: School) -> None:
        end_enrolment(section=cast.section, student=cast.classmate, by=cast.teacher, on=GIVEN)
        [assignment] = given(cast.teacher, cast.section)
        assert [piece.student for piece in assignment.pieces.all()] == [cast.student]

    def test_a_class_that_has_it_keeps_it_and_the_others_get_nothing_either(
        self, cast: School
    ) -> None:
        [assignment] = given(cast.head, cast.section)
        with pytest.raises(Refused, match="These have the brief already: Period 3") as refused:
            given(cast.head, cast.section, cast.other_section, brief=assignment.brief)
        assert refused.value.problems[0].field == "sections"
        assert Assignment.objects.count() == 1
        assert Piece.objects.count() == 2

    @pytest.mark.parametrize(
        ("given_on", "due_on", "field", "says"),
        [
            (GIVEN, GIVEN, "due_on", "not after the day"),
            (GIVEN, date(2226, 3, 9), "due_on", "years away"),
            (date(1, 1, 1), DUE, "given_on", "years away"),
        ],
    )
    def test_dates_that_make_no_sense_are_refused(
        self, cast: School, given_on: date, due_on: date, field: str, says: str
    ) -> None:
        brief = a_brief(cast.teacher)
        with pytest.raises(Refused, match=says) as refused:
            give_brief(
                brief=brief,
                by=cast.teacher,
                sections=[cast.section],
                given_on=given_on,
                due_on=due_on,
                at=NOW,
            )
        assert refused.value.problems[0].field == field
        assert not Assignment.objects.exists()

    def test_no_class_is_refused(self, cast: School) -> None:
        with pytest.raises(Refused, match="at least one class"):
            given(cast.teacher)

    def test_a_brief_that_is_put_away_is_not_given_until_it_is_out_again(
        self, cast: School
    ) -> None:
        brief = put_away_brief(brief=a_brief(cast.teacher), by=cast.teacher)
        with pytest.raises(Refused, match="put away"):
            given(cast.teacher, cast.section, brief=brief)
        take_out_brief(brief=brief, by=cast.teacher)
        assert given(cast.teacher, cast.section, brief=brief)

    def test_a_class_that_is_over_gets_nothing(self, cast: School) -> None:
        section = edit_class(
            section=cast.section, by=cast.teacher, title="P", code="P", sourced_id="", archived=True
        )
        with pytest.raises(Refused, match="P is over"):
            given(cast.teacher, section)

    def test_clay_that_is_no_longer_used_is_not_given(self, cast: School) -> None:
        brief = a_brief(cast.teacher)
        retire_body(body=brief.clay_body, by=cast.teacher)
        with pytest.raises(Refused, match="Grogged stoneware is no longer used"):
            given(cast.teacher, cast.section, brief=brief)

    def test_a_teacher_gives_to_their_own_classes_only(self, cast: School) -> None:
        with pytest.raises(PermissionDenied):
            given(cast.teacher, cast.section, cast.other_section)
        assert not Assignment.objects.exists()

    def test_a_class_without_dates_gets_milestones_by_the_calendar(self, cast: School) -> None:
        bare = create_class(studio=cast.studio, by=cast.teacher, title="Open studio")
        [assignment] = given(cast.teacher, bare)
        dates = list(Milestone.objects.filter(assignment=assignment).values_list("on", flat=True))
        assert len(dates) == 5
        assert max(dates) == DUE


@pytest.mark.django_db(transaction=True)
def test_two_classes_given_at_the_same_moment_get_different_codes() -> None:
    """Both wait for the studio's lock, so no code is drawn twice and nobody is turned away."""
    cast = school()
    sections = [a_class(cast.head, f"Group {n}", f"G{n}", cast.teacher, {n}) for n in range(4)]
    for section in sections:
        for n in range(3):
            pupil(cast.head, section, f"Pupil{n}", section.code)
    brief = a_brief(cast.head)
    together = threading.Barrier(len(sections))
    wrong: list[BaseException] = []

    def give(place: int) -> None:
        try:
            together.wait(timeout=20)
            given(cast.head, sections[place], brief=brief)
        except BaseException as problem:  # noqa: BLE001 -- shown by the assert below
            wrong.append(problem)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=give, args=(place,)) for place in range(len(sections))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    codes = list(Piece.objects.values_list("code", flat=True))
    assert len(set(codes)) == len(codes) == 12
    plain = [code.replace("-", "") for code in codes]
    assert all(
        sum(x != y for x, y in zip(one, other, strict=True)) > 1
        for place, one in enumerate(plain)
        for other in plain[:place]
    )


@pytest.mark.django_db(transaction=True)
def test_the_same_class_given_twice_at_the_same_moment_has_it_once() -> None:
    """A double tap: one wins, the other reads that the class has it."""
    cast = school()
    brief = a_brief(cast.teacher)
    together = threading.Barrier(2)
    said: list[str] = []

    def give() -> None:
        try:
            together.wait(timeout=20)
            given(cast.teacher, cast.section, brief=brief)
            said.append("given")
        except Refused as refused:
            said.append(str(refused))
        finally:
            connections.close_all()

    threads = [threading.Thread(target=give) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(said)[1] == "given"
    assert sorted(said)[0].startswith("These have the brief already: Period 3")
    assert Piece.objects.count() == 2


def test_dates_are_those_of_the_studio_s_own_day(cast: School) -> None:
    """Close to the limit of what is near: counted from the local day, not from UTC's."""
    late = NOW.replace(hour=23, minute=30)  # the 12th in Amsterdam
    brief = a_brief(cast.teacher)
    far = date(2026, 3, 12) + timedelta(1500)
    assert give_brief(
        brief=brief,
        by=cast.teacher,
        sections=[cast.section],
        given_on=GIVEN,
        due_on=far,
        at=late,
    )
