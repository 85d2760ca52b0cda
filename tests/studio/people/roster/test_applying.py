"""What a roster would change, and applying just that."""

from collections.abc import Iterator
from datetime import date

import pytest
from pytest_django import DjangoAssertNumQueries

from studio.errors import Conflict
from studio.people.models import AuditEntry, Enrolment, Role, Section, Teaching, User
from studio.people.names import names_like
from studio.people.roster import plan as plan_module
from studio.people.roster.apply import apply_roster
from studio.people.roster.files import packed
from studio.people.roster.kept import keep_upload, kept_upload
from studio.people.roster.plan import roster_plan
from studio.people.roster.reading import roster_in
from studio.people.services import enrol, move_student
from tests.cast import NOW, TODAY, School, person
from tests.studio.people.roster.rosters import (
    CLASSES,
    ENROLMENTS,
    TWO_CLASSES,
    USERS,
    apply,
    bundle,
    enrolment,
    in_class,
    plain,
    plan_of,
    section,
    user,
)


@pytest.mark.django_db
@pytest.mark.both_databases
class TestApplying:
    def test_a_first_import_makes_classes_students_and_enrolments(self, cast: School) -> None:
        plan = apply(cast, bundle(**TWO_CLASSES))
        assert [new.name for new in plan.new] == ["Maya Okafor", "Liam Byrne", "Zoë Ångström"]
        assert in_class("c1") == {"Maya", "Liam"}
        assert in_class("c2") == {"Zoë"}
        zoe = User.objects.get(studio=cast.studio, sourced_id="s3")
        assert (zoe.username, zoe.role) == ("zoe.angstrom", Role.STUDENT)
        assert not zoe.has_usable_password()
        assert Section.objects.get(sourced_id="c1").code == "CL1"
        liam = Enrolment.objects.get(student__sourced_id="s2")
        assert liam.joined_on == date(2026, 2, 2)

    def test_the_same_file_again_changes_nothing(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        again = plan_of(cast, bundle(**TWO_CLASSES))
        assert again.changes_nothing
        assert again.unchanged == 3
        lines = AuditEntry.objects.exclude(action="roster applied").count()
        apply(cast, bundle(**TWO_CLASSES))
        assert AuditEntry.objects.exclude(action="roster applied").count() == lines

    def test_each_change_leaves_a_line(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        maya = User.objects.get(studio=cast.studio, sourced_id="s1")
        lines = AuditEntry.objects.filter(subject_id=str(maya.pk), by=cast.head)
        assert sorted(lines.values_list("action", flat=True)) == ["enrolled", "person made"]

    def test_a_changed_name_is_shown_before_and_after(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        married = TWO_CLASSES | {"users": TWO_CLASSES["users"].replace("Byrne", "Byrne-Katz")}
        [changed] = apply(cast, bundle(**married)).changed
        assert (changed.before, changed.after) == (
            {"family_name": "Byrne"},
            {"family_name": "Byrne-Katz"},
        )
        liam = User.objects.get(studio=cast.studio, sourced_id="s2")
        assert (liam.family_name, liam.username) == ("Byrne-Katz", "liam.byrne")

    def test_who_is_missing_has_left_the_classes_of_the_file_and_only_those(
        self, cast: School
    ) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        fewer = {
            "users": USERS + user("s1", "Maya", "Okafor", username="maya.okafor"),
            "classes": CLASSES + section("c1", "Clay 1", "CL1"),
            "enrollments": ENROLMENTS + enrolment("c1", "s1"),
        }
        plan = apply(cast, bundle(**fewer))
        assert [(left.name, left.class_title) for left in plan.left] == [("Liam Byrne", "Clay 1")]
        assert in_class("c1") == {"Maya"}
        assert in_class("c2") == {"Zoë"}
        liam = Enrolment.objects.get(student__sourced_id="s2")
        assert liam.left_on == TODAY
        assert User.objects.filter(sourced_id="s2").exists(), "the person and the work stay"

    def test_who_comes_back_is_enrolled_anew(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        fewer = TWO_CLASSES | {"enrollments": ENROLMENTS + enrolment("c1", "s1")}
        apply(cast, bundle(**fewer))
        assert in_class("c1") == {"Maya"}
        apply(cast, bundle(**TWO_CLASSES))
        assert in_class("c1") == {"Maya", "Liam"}

    def test_a_slip_in_a_row_never_reads_as_leaving(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        slip = ENROLMENTS + enrolment("c1", "s1") + enrolment("c1", "s2", begin="2/2/26")
        plan = plan_of(cast, bundle(**TWO_CLASSES | {"enrollments": slip + enrolment("c2", "s3")}))
        assert [bad.reason for bad in plan.bad] == [
            "“beginDate” is “2/2/26”. Write it as 2026-09-01."
        ]
        assert plan.changes_nothing

    def test_a_row_that_names_nobody_takes_nobody_out_of_its_class(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        unclear = ENROLMENTS + enrolment("c1", "s1") + enrolment("c1", "")
        assert plan_of(cast, bundle(enrollments=unclear)).left == []
        nowhere = ENROLMENTS + enrolment("c1", "s1") + enrolment("", "s2")
        assert plan_of(cast, bundle(enrollments=nowhere)).left == []

    def test_a_student_enrolled_by_hand_is_not_called_gone(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        section = Section.objects.get(sourced_id="c1")
        enrol(section=section, student=cast.student, by=cast.head, on=TODAY)
        assert plan_of(cast, bundle(**TWO_CLASSES)).changes_nothing

    def test_two_students_of_one_name_are_two(self, cast: School) -> None:
        twins = USERS + user("a", "Ode", "Amari") + user("b", "Ode", "Amari")
        plan = apply(cast, bundle(users=twins))
        assert [new.username for new in plan.new] == ["ode.amari2", "ode.amari3"]

    def test_students_are_matched_by_id_and_by_nothing_else(self, cast: School) -> None:
        """Same name, same sign-in name, as somebody made by hand: another person."""
        plan = plan_of(cast, bundle(users=USERS + user("a", "Ode", "Amari", username="ode.amari")))
        [new] = plan.new
        assert new.username == "ode.amari2"
        assert plan.notes == [
            "“ode.amari” is somebody else's sign-in name; Ode Amari has “ode.amari2”."
        ]

    def test_a_class_made_by_hand_of_the_same_name_is_pointed_out(self, cast: School) -> None:
        Section.objects.create(studio=cast.studio, title="Clay one")
        roster = plain("id,given name,class\na,Ode,clay ONE\n")
        plan = roster_plan(roster, cast.studio, TODAY)
        assert [new.title for new in plan.new_classes] == ["clay ONE"]
        [note] = plan.notes
        assert note.startswith("A class “clay ONE” stands here already, without a roster id;")
        assert "first write “clay ONE” under “Name and teachers”" in note

    def test_another_studio_s_ids_are_not_ours(self, cast: School) -> None:
        User.objects.filter(pk=cast.elsewhere.student.pk).update(sourced_id="s1")
        apply(cast, bundle(**TWO_CLASSES))
        cast.elsewhere.student.refresh_from_db()
        assert cast.elsewhere.student.given_name == "Nils"

    def test_sign_in_names_may_change_hands(self, cast: School) -> None:
        first = user("a", "Ana", "A", username="one") + user("b", "Bo", "B", username="two")
        second = user("a", "Ana", "A", username="two") + user("b", "Bo", "B", username="one")
        apply(cast, bundle(users=USERS + first))
        apply(cast, bundle(users=USERS + second))
        names = dict(User.objects.filter(sourced_id__in="ab").values_list("sourced_id", "username"))
        assert names == {"a": "two", "b": "one"}
        assert plan_of(cast, bundle(users=USERS + second)).changes_nothing

    def test_a_taken_sign_in_name_stays_settled(self, cast: School) -> None:
        wants = bundle(users=USERS + user("a", "Ana", "A", username=cast.teacher.username))
        apply(cast, wants)
        assert plan_of(cast, wants).changes_nothing

    def test_staff_are_never_touched(self, cast: School) -> None:
        User.objects.filter(pk=cast.teacher.pk).update(sourced_id="t1")
        plan = apply(
            cast,
            bundle(
                users=USERS + user("t1", "Evil", "Twin", username="evil", role="student"),
                classes=CLASSES + section("c1", "Clay 1"),
                enrollments=ENROLMENTS + enrolment("c1", "t1"),
            ),
        )
        assert sorted(bad.reason for bad in plan.bad) == [
            "This id belongs to staff, who can't be enrolled as students.",
            "This id belongs to staff. An import never changes staff.",
        ]
        kept = User.objects.get(pk=cast.teacher.pk)
        assert (kept.given_name, kept.role, kept.password) == (
            "Tomas",
            Role.TEACHER,
            cast.teacher.password,
        )

    def test_teachers_are_linked_by_id_and_never_made(self, cast: School) -> None:
        User.objects.filter(pk=cast.teacher.pk).update(sourced_id="t1")
        User.objects.filter(pk=cast.technician.pk).update(sourced_id="k1")
        files = {
            "users": USERS + user("t1", "T", "L", "teacher") + user("t2", "New", "Face", "teacher"),
            "classes": CLASSES + section("c1", "Clay 1"),
            "enrollments": ENROLMENTS
            + enrolment("c1", "t1", "teacher")
            + enrolment("c1", "t2", "teacher")
            + enrolment("c1", "k1", "teacher"),
        }
        before = User.objects.count()
        plan = apply(cast, bundle(**files))
        assert User.objects.count() == before
        teaching = Teaching.objects.get(section__sourced_id="c1")
        assert teaching.teacher == cast.teacher
        assert [bad.reason for bad in plan.bad] == [
            "The teacher of Clay 1 has no account with this id.",
            "This id belongs to somebody who doesn't teach.",
        ]
        assert plan.notes == ["New Face is not a student. A head makes accounts of staff by hand."]
        assert plan_of(cast, bundle(**files)).changes_nothing

    def test_a_student_here_who_is_staff_in_the_file_is_told(self, cast: School) -> None:
        User.objects.filter(pk=cast.student.pk).update(sourced_id="s9")
        [bad] = plan_of(cast, bundle(users=USERS + user("s9", "Ode", "Amari", "teacher"))).bad
        assert bad.reason == "The file says staff, but this id is a student here."

    def test_ids_that_nobody_has_are_told(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        plan = plan_of(
            cast,
            bundle(
                enrollments=ENROLMENTS
                + enrolment("c1", "s1")
                + enrolment("c1", "s2")
                + enrolment("c1", "nobody")
                + enrolment("nowhere", "s1")
            ),
        )
        assert [(bad.line, bad.reason) for bad in plan.bad] == [
            (4, "No student has this id, in the file or in the studio."),
            (5, "No class has this id, in the file or in the studio."),
        ]

    STAMP = "2026-03-01T00:00:00Z"

    def delta(self, **rows: str) -> bytes:
        manifest = (
            "propertyName,value\nmanifest.version,1.0\noneroster.version,1.1\n"
            "file.users,delta\nfile.classes,absent\nfile.enrollments,delta\n"
        )
        heads = {"users": USERS, "enrollments": ENROLMENTS}
        return bundle(manifest=manifest, **{kind: heads[kind] + rows[kind] for kind in rows})

    def test_a_delta_takes_out_only_whom_it_names(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        gone = enrolment("c1", "s2", status="tobedeleted", when=self.STAMP)
        plan = apply(cast, self.delta(enrollments=gone))
        assert [left.name for left in plan.left] == ["Liam Byrne"]
        assert in_class("c1") == {"Maya"}
        assert any("lists changes only" in note for note in plan.notes)

    def test_without_a_manifest_filled_columns_mean_changes_only(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        one = ENROLMENTS + enrolment("c1", "s1", status="active", when=self.STAMP)
        assert plan_of(cast, bundle(enrollments=one)).left == []

    def test_a_bulk_manifest_is_believed_over_filled_columns(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        manifest = "propertyName,value\nfile.enrollments,bulk\n"
        one = ENROLMENTS + enrolment("c1", "s1", status="active", when=self.STAMP)
        plan = plan_of(cast, bundle(manifest=manifest, enrollments=one))
        assert [left.name for left in plan.left] == ["Liam Byrne"]

    @pytest.mark.parametrize("how", [{"status": "tobedeleted"}, {"enabled": "false"}])
    def test_a_person_sent_away_leaves_their_classes(
        self, cast: School, how: dict[str, str]
    ) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        plan = apply(cast, self.delta(users=user("s2", "Liam", "Byrne", when=self.STAMP, **how)))
        assert [left.name for left in plan.left] == ["Liam Byrne"]
        assert not plan.changed

    def test_a_person_sent_away_who_never_came_is_not_made(self, cast: School) -> None:
        plan = plan_of(cast, bundle(users=USERS + user("x", "New", "One", enabled="false")))
        assert plan.changes_nothing
        assert not plan.bad

    def test_sending_away_who_is_not_known_says_nothing(self, cast: School) -> None:
        gone = {"status": "tobedeleted", "when": self.STAMP}
        plan = plan_of(
            cast,
            self.delta(
                users=user("x", "Some", "One", "teacher", **gone),
                enrollments=enrolment("c9", "s9", **gone),
            ),
        )
        assert plan.changes_nothing
        assert not plan.bad

    def test_an_enrolment_that_ended_yesterday_is_over(self, cast: School) -> None:
        ended = ENROLMENTS + enrolment("c1", "s1") + enrolment("c1", "s2", end="2026-03-10")
        plan = apply(cast, bundle(**TWO_CLASSES | {"enrollments": ended}))
        assert [join.name for join in plan.joining] == ["Maya Okafor"]
        apply(cast, bundle(**TWO_CLASSES))
        assert [left.name for left in plan_of(cast, bundle(enrollments=ended)).left] == [
            "Liam Byrne"
        ]

    def test_a_class_that_is_over_takes_nobody(self, cast: School) -> None:
        apply(cast, bundle(**TWO_CLASSES))
        Section.objects.filter(sourced_id="c2").update(archived=True)
        more = TWO_CLASSES["enrollments"] + enrolment("c2", "s1")
        plan = plan_of(cast, bundle(**TWO_CLASSES | {"enrollments": more}))
        assert {bad.reason for bad in plan.bad} == {
            "This class is over. Open it again on its page, or leave it out."
        }
        assert plan.changes_nothing

    def test_a_plain_list_works_from_end_to_end(self, cast: School) -> None:
        header = "id,given name,family name,class\n"
        upload = packed([("l.csv", (header + "1,Ana,Lopez,Clay\n2,Bo,Li,Clay\n").encode())])
        apply(cast, upload)
        assert in_class("Clay") == {"Ana", "Bo"}
        assert plan_of(cast, upload).changes_nothing
        apply(cast, packed([("l.csv", (header + "1,Ana,Lopez,Clay\n").encode())]))
        assert in_class("Clay") == {"Ana"}

    def test_a_change_since_the_preview_asks_to_look_again(self, cast: School) -> None:
        upload = bundle(**TWO_CLASSES)
        digest = keep_upload(person=cast.head, bundle=upload, at=NOW)
        seen = plan_of(cast, upload).fingerprint()
        person(cast.head, Role.STUDENT, "Maya", "Okafor")  # takes the sign-in name
        with pytest.raises(Conflict, match="changed since you looked"):
            apply_roster(
                studio=cast.studio, by=cast.head, digest=digest, fingerprint=seen, today=TODAY
            )
        assert not Section.objects.filter(sourced_id="c1").exists(), "nothing was written"
        assert kept_upload(person=cast.head, digest=digest) == upload

    def test_a_change_that_does_not_matter_is_let_pass(self, cast: School) -> None:
        upload = bundle(**TWO_CLASSES)
        digest = keep_upload(person=cast.head, bundle=upload, at=NOW)
        seen = plan_of(cast, upload).fingerprint()
        person(cast.head, Role.STUDENT, "Somebody", "Else")
        move_student(
            student=cast.student,
            section=cast.section,
            to=cast.other_section,
            by=cast.head,
            on=TODAY,
        )
        apply_roster(studio=cast.studio, by=cast.head, digest=digest, fingerprint=seen, today=TODAY)
        assert in_class("c1") == {"Maya", "Liam"}

    def test_planning_takes_the_same_queries_for_any_size(
        self, cast: School, django_assert_num_queries: DjangoAssertNumQueries
    ) -> None:
        many = {
            "users": USERS + "".join(user(f"s{n}", "Ana", f"L{n}") for n in range(400)),
            "classes": CLASSES + "".join(section(f"c{n}", f"Clay {n}") for n in range(12)),
            "enrollments": ENROLMENTS
            + "".join(enrolment(f"c{n % 12}", f"s{n}") for n in range(400)),
        }
        apply(cast, bundle(**many))
        for files in (many, TWO_CLASSES):
            roster = roster_in(bundle(**files))
            with django_assert_num_queries(5):
                roster_plan(roster, cast.studio, TODAY)


def test_many_of_one_name_are_named_in_one_go(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A list of 19 000 alike took minutes, with the database's lock held."""
    tried: list[str] = []

    def watched(wanted: str) -> Iterator[str]:
        for name in names_like(wanted):
            tried.append(name)
            yield name

    monkeypatch.setattr(plan_module, "names_like", watched)
    rows = "".join(f"{9000 + n},Given,Family\n" for n in range(300))
    read = roster_in(bundle(students="id,given name,family name\n" + rows))
    named = [new.username for new in roster_plan(read, cast.studio, TODAY).new]
    assert (named[0], named[1], named[-1]) == ("given.family", "given.family2", "given.family300")
    assert len(tried) == len(set(tried)) == 300
