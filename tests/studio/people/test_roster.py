"""Rosters: nasty files, what they would change, and applying just that.

Column names: OneRoster 1.1 and 1.2, CSV binding (1EdTech).
"""

import io
import zipfile
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from django.core.files.storage import default_storage
from pytest_django import DjangoAssertNumQueries

from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry, Enrolment, Role, Section, Teaching, User
from studio.people.names import names_like
from studio.people.roster import plan as plan_module
from studio.people.roster.apply import apply_roster
from studio.people.roster.changes import RosterPlan
from studio.people.roster.files import MOST_IN_A_FILE, MOST_UPLOADED, packed
from studio.people.roster.kept import drop_old_uploads, keep_upload, kept_upload
from studio.people.roster.plan import roster_plan
from studio.people.roster.reading import roster_in
from studio.people.roster.rows import Roster
from studio.people.services import enrol, move_student
from tests.cast import NOW, TODAY, School, person

USERS = (
    "sourcedId,status,dateLastModified,enabledUser,orgSourcedIds,role,username,userIds,givenName,"
    "familyName,middleName,identifier,email,sms,phone,agentSourcedIds,grades,password\n"
)
CLASSES = (
    "sourcedId,status,dateLastModified,title,grades,courseSourcedId,classCode,classType,location,"
    "schoolSourcedId,termSourcedIds,subjects,subjectCodes,periods\n"
)
ENROLMENTS = (
    "sourcedId,status,dateLastModified,classSourcedId,schoolSourcedId,userSourcedId,role,primary,"
    "beginDate,endDate\n"
)


def user(sourced_id: str, given: str, family: str, role: str = "student", **more: str) -> str:
    cells = {"status": "", "when": "", "enabled": "true", "username": ""} | more
    return (
        f"{sourced_id},{cells['status']},{cells['when']},{cells['enabled']},o1,{role},"
        f"{cells['username']},,{given},{family},,,,,,,,letmein\n"
    )


def section(sourced_id: str, title: str, code: str = "", status: str = "") -> str:
    return f"{sourced_id},{status},,{title},,co1,{code},scheduled,,o1,t1,,,\n"


def enrolment(class_id: str, user_id: str, role: str = "student", **more: str) -> str:
    cells = {"status": "", "when": "", "begin": "", "end": ""} | more
    return (
        f"e-{class_id}-{user_id},{cells['status']},{cells['when']},{class_id},o1,{user_id},{role},"
        f"false,{cells['begin']},{cells['end']}\n"
    )


def bundle(**files: str | bytes) -> bytes:
    """Uploaded single files, by kind."""
    return packed(
        [
            (f"{kind}.csv", text.encode() if isinstance(text, str) else text)
            for kind, text in files.items()
        ]
    )


def zipped(files: dict[str, str | bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as opened:
        for name, text in files.items():
            opened.writestr(name, text)
    return out.getvalue()


def plain(text: str | bytes, name: str = "list.csv") -> Roster:
    return roster_in(packed([(name, text.encode() if isinstance(text, str) else text)]))


TWO_CLASSES = {
    "users": USERS
    + user("s1", "Maya", "Okafor", username="maya.okafor")
    + user("s2", "Liam", "Byrne")
    + user("s3", "Zoë", "Ångström"),
    "classes": CLASSES + section("c1", "Clay 1", "CL1") + section("c2", "Clay 2"),
    "enrollments": ENROLMENTS
    + enrolment("c1", "s1")
    + enrolment("c1", "s2", begin="2026-02-02")
    + enrolment("c2", "s3"),
}


def plan_of(cast: School, upload: bytes, today: date = TODAY) -> RosterPlan:
    return roster_plan(roster_in(upload), cast.studio, today)


def apply(cast: School, upload: bytes, today: date = TODAY) -> RosterPlan:
    digest = keep_upload(person=cast.head, bundle=upload, at=NOW)
    fingerprint = plan_of(cast, upload, today).fingerprint()
    return apply_roster(
        studio=cast.studio, by=cast.head, digest=digest, fingerprint=fingerprint, today=today
    )


def in_class(sourced_id: str) -> set[str]:
    found = Enrolment.objects.current().filter(section__sourced_id=sourced_id)
    return set(found.values_list("student__given_name", flat=True))


class TestReading:
    def test_a_plain_list_is_read_whatever_its_columns_are_called(self) -> None:
        roster = plain("Student ID,First Name,SURNAME,Class Name,Username\n7,Ana,Lopez,Clay 1,\n")
        [row] = roster.people.values()
        assert (row.sourced_id, row.given_name, row.family_name) == ("7", "Ana", "Lopez")
        assert set(roster.enrolments) == {("Clay 1", "7")}
        assert roster.whole_classes == {"Clay 1"}

    HEADER = "id;given name;family name;class"

    @pytest.mark.parametrize(
        "content",
        [
            f"{HEADER}\n1;Zoë;Ångström;Clay\n".encode(),
            f"\ufeff{HEADER}\r\n1;Zoë;Ångström;Clay\r\n".encode(),
            f"{HEADER}\n1;Zoë;Ångström;Clay".encode("cp1252"),
            f"{HEADER}\r1;Zoë;Ångström;Clay\r".encode(),
            f"sep=;\r\n{HEADER}\r\n1;Zoë;Ångström;Clay\r\n".encode(),
            f"{HEADER}\n1;Zoë;Ångström;Clay\n".replace(";", "\t").encode("utf-16"),
            f"{HEADER}\n1;Zoë;Ångström;Clay\n".replace(";", ",").encode(),
            f"\n\n{HEADER}\n\n;;;\n1; Zoë ;Ångström;Clay;;\n\n".encode(),
            f'{HEADER}\n"1";"Zoe\u0308";"Ångström";"Clay"\n'.encode(),
        ],
        ids=["utf-8", "mark", "cp1252", "cr", "sep", "utf-16", "comma", "blank", "composed"],
    )
    def test_one_student_whatever_wrote_the_file(self, content: bytes) -> None:
        roster = plain(content)
        assert not roster.bad
        [row] = roster.people.values()
        assert (row.given_name, row.family_name) == ("Zoë", "Ångström")
        assert set(roster.enrolments) == {("Clay", "1")}

    def test_lines_are_counted_through_quoted_newlines_and_blank_ones(self) -> None:
        roster = plain('id,given name,family name\n1,"Ana\nMaria",Lopez\n\n2,,\n3,Bo,Li\n')
        assert roster.people["1"].given_name == "Ana Maria"
        [bad] = roster.bad
        assert (bad.file, bad.line, bad.reason) == ("list.csv", 5, "The name is empty.")

    @pytest.mark.parametrize(
        ("row", "reason"),
        [
            (",Ana,Lopez,Clay,", "“id” is empty."),
            ("1,,,Clay,", "The name is empty."),
            ("1,Ana,Lopez,Clay,,extra", "This row has more cells than the header."),
            (f"1,{'A' * 81},Lopez,Clay,", "“given name” is longer than 80 characters."),
            (f"{'1' * 256},Ana,Lopez,Clay,", "“id” is longer than 255 characters."),
            (f"1,Ana,Lopez,{'C' * 121},", "“class” is longer than 120 characters."),
            ("1,Ana,Lopez,Clay,ana lopez", "“ana lopez” can't be a sign-in name"),
            ("9,Ana,Lopez,Clay,", "Line 2 says something else about the same id."),
        ],
    )
    def test_a_bad_row_is_told_with_its_line_and_the_others_go_on(
        self, row: str, reason: str
    ) -> None:
        roster = plain(
            f"id,given name,family name,class,sign-in name\n9,Bo,Li,Clay,\n{row}\n8,Cy,Ma,Clay,\n"
        )
        [bad] = roster.bad
        assert bad.line == 3
        assert bad.reason.startswith(reason)
        assert set(roster.people) == {"9", "8"}

    @pytest.mark.parametrize(
        ("content", "sentence"),
        [
            (b"", "list.csv is empty. Export it again."),
            (b"\n\n ; ;\n", "list.csv is empty. Export it again."),
            (b"given name,family name\nAna,Lopez\n", "needs a column “id”"),
            (b"id,class\n1,Clay\n", "needs the columns “given name” and “family name”"),
            (b"id,Id,given name\n1,2,A\n", "has the column “id” twice"),
            (b"id,given name\n1,\x00\n", "is not a text file"),
            (bytes(range(256)), "is not a text file"),
            (b'id,given name\n1,Ana\n2,"Bo\n3,Cy\n', "line 3: a quotation mark is opened"),
            (b'id,given name\n1,"Ana"x\n', "line 2: a quotation mark is opened"),
            (b"id,given name\n1," + b"A" * 200_000, "line 2: a quotation mark is opened"),
            (b"id,given name\n" + b"1,A\n" * 20_001, "has more than 20000 rows"),
            (b"id," * 300, "has more than 200 columns"),
        ],
    )
    def test_a_file_that_makes_no_sense_is_refused_in_words(
        self, content: bytes, sentence: str
    ) -> None:
        with pytest.raises(Refused) as refusal:
            plain(content)
        assert sentence in str(refusal.value)
        assert refusal.value.problems[0].field == "uploads"

    def test_a_missing_column_is_named(self) -> None:
        with pytest.raises(Refused, match=r"users\.csv: the column “familyName” is missing"):
            roster_in(bundle(users="sourcedId,givenName,role\n1,Ana,student\n"))

    def test_a_single_file_is_known_by_its_header(self) -> None:
        roster = plain(USERS + user("s1", "Maya", "Okafor"), "export (3).csv")
        assert set(roster.people) == {"s1"}
        assert not roster.classes

    def test_other_files_of_the_bundle_and_hidden_ones_are_passed_over(self) -> None:
        files: dict[str, str | bytes] = {f"{kind}.csv": text for kind, text in TWO_CLASSES.items()}
        extra: dict[str, str | bytes] = {
            "orgs.csv": "\0",
            "__MACOSX/._users.csv": b"\xff",
            "readme.md": "hello",
        }
        roster = roster_in(zipped(files | extra))
        assert set(roster.people) == {"s1", "s2", "s3"}
        assert not roster.bad

    def test_files_in_a_folder_of_the_zip_are_found(self) -> None:
        files: dict[str, str | bytes] = {f"term/{k}.csv": text for k, text in TWO_CLASSES.items()}
        assert set(roster_in(zipped(files)).classes) == {"c1", "c2"}

    def test_passwords_in_the_file_are_never_read(self) -> None:
        assert "letmein" not in str(roster_in(bundle(**TWO_CLASSES)))

    def test_version_1_2_has_its_roles_in_their_own_file(self) -> None:
        roster = roster_in(
            bundle(
                users=(
                    "sourcedId,status,dateLastModified,enabledUser,username,givenName,familyName,"
                    "preferredGivenName\n"
                    "s1,,,true,maya,Mayowa,Okafor,Maya\nt1,,,true,tom,Tom,Berg,\n"
                    "x1,,,true,x,Xi,Wu,\n"
                ),
                roles=(
                    "sourcedId,status,dateLastModified,userSourcedId,roleType,role,beginDate,"
                    "endDate,orgSourcedId\n"
                    "r1,,,s1,primary,student,,,o1\nr2,,,t1,primary,teacher,,,o1\n"
                ),
            )
        )
        assert {key: row.is_student for key, row in roster.people.items()} == {
            "s1": True,
            "t1": False,
        }
        assert roster.people["s1"].given_name == "Maya"
        [bad] = roster.bad
        assert (bad.line, bad.reason) == (
            4,
            "No file says whether this is a student. Add the role.",
        )

    @pytest.mark.parametrize(
        ("files", "reason"),
        [
            ({"users": USERS + user("s1", "", "")}, "The name is empty."),
            (
                {"users": USERS + user("s1", "Ana", "L", status="gone")},
                "The status is “gone”. It may be empty, active or tobedeleted.",
            ),
            (
                {"classes": CLASSES + section("c1", "Clay", status="tobedeleted")},
                "The file deletes this class. Classes are ended by hand, on their own page.",
            ),
        ],
    )
    def test_rows_of_a_bundle_are_read_strictly(self, files: dict[str, str], reason: str) -> None:
        [bad] = roster_in(bundle(**files)).bad
        assert (bad.line, bad.reason) == (2, reason)

    def test_other_roles_in_a_class_are_passed_over(self) -> None:
        roster = roster_in(bundle(enrollments=ENROLMENTS + enrolment("c1", "a1", "proctor")))
        assert not roster.enrolments
        assert not roster.teaching
        assert not roster.bad

    @pytest.mark.parametrize("kind", ["users", "classes", "enrollments"])
    def test_each_file_is_known_by_its_header_alone(self, kind: str) -> None:
        roster = plain(TWO_CLASSES[kind], "export.csv")
        found = {
            "users": roster.people,
            "classes": roster.classes,
            "enrollments": roster.enrolments,
        }
        assert [name for name, rows in found.items() if rows] == [kind]

    def test_two_files_of_a_kind_are_refused(self) -> None:
        twice = packed([("users.csv", USERS.encode()), ("users (1).csv", USERS.encode())])
        with pytest.raises(Refused, match="two files of users"):
            roster_in(twice)

    def test_of_two_rows_with_one_id_the_later_change_holds(self) -> None:
        early, late = "2026-01-10T08:00:00Z", "2026-01-10T09:30:00+01:00"
        roster = roster_in(
            bundle(
                users=USERS
                + user("s1", "Maya", "Okafor", when=late)
                + user("s1", "May", "Okafor", when=early)
                + user("s2", "Liam", "Byrne")
                + user("s2", "Liam", "Byrne")
                + user("s3", "Zoe", "A")
                + user("s3", "Zoë", "A")
            )
        )
        assert roster.people["s1"].given_name == "Maya"
        [bad] = roster.bad
        assert (bad.line, bad.reason) == (7, "Line 6 says something else about the same id.")


class TestBundles:
    def test_a_bomb_is_refused_before_it_unpacks(self) -> None:
        bomb = zipped({"users.csv": b"0" * (MOST_IN_A_FILE + 1)})
        assert len(bomb) < 100_000
        with pytest.raises(Refused, match="larger than 20 MB"):
            roster_in(bomb)

    def test_many_files_that_are_large_together_are_refused(self) -> None:
        half = b"0" * (MOST_IN_A_FILE // 2 + 1)
        with pytest.raises(Refused, match="larger than 20 MB"):
            roster_in(zipped({"users.csv": half, "classes.csv": half}))

    def test_an_upload_too_large_is_refused(self) -> None:
        with pytest.raises(Refused, match="larger than 10 MB"):
            packed([("list.csv", b"0" * (MOST_UPLOADED + 1))])

    def test_a_zip_of_too_many_files_is_refused(self) -> None:
        with pytest.raises(Refused, match="more than 200 files"):
            roster_in(zipped({f"{number}.csv": "" for number in range(201)}))

    @pytest.mark.parametrize(
        "broken",
        [
            b"PK\x03\x04 not really",
            zipped({"users.csv": USERS})[:-30],
            zipped({"users.csv": USERS * 50}).replace(b"users.csv", b"users.csv", 1)[:60]
            + b"\0" * 40
            + zipped({"users.csv": USERS * 50})[100:],
        ],
    )
    def test_a_broken_zip_is_refused(self, broken: bytes) -> None:
        with pytest.raises(Refused, match="The zip can't be opened"):
            roster_in(broken)

    def test_a_zip_with_a_password_is_refused(self) -> None:
        locked = bytearray(zipped({"users.csv": USERS}))
        for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
            locked[locked.index(mark) + offset] |= 1
        with pytest.raises(Refused, match="without a password"):
            roster_in(bytes(locked))

    def test_a_name_twice_is_refused(self) -> None:
        with pytest.raises(Refused, match=r"“users\.csv” is in the zip twice"):
            roster_in(zipped({"a/users.csv": USERS, "b/users.csv": USERS}))

    def test_a_zip_without_a_roster_is_refused(self) -> None:
        with pytest.raises(Refused, match="No roster was found"):
            roster_in(zipped({"orgs.csv": "sourcedId,name\n", "demographics.csv": "a\n"}))
        with pytest.raises(Refused, match="No roster was found"):
            roster_in(zipped({"picture.png": b"\x89PNG"}))

    def test_the_same_files_make_the_same_bytes(self) -> None:
        assert bundle(**TWO_CLASSES) == bundle(**TWO_CLASSES)

    def test_a_zip_beside_other_files_is_refused(self) -> None:
        with pytest.raises(Refused, match="either one zip or single files"):
            packed([("a.zip", zipped({"users.csv": USERS})), ("classes.csv", b"x")])


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

    def test_an_upload_is_its_person_s_own_and_goes_when_applied(self, cast: School) -> None:
        upload = bundle(**TWO_CLASSES)
        digest = keep_upload(person=cast.head, bundle=upload, at=NOW)
        with pytest.raises(Conflict, match="no longer kept"):
            kept_upload(person=cast.elsewhere.head, digest=digest)
        apply(cast, upload)
        with pytest.raises(Conflict, match="Upload it again"):
            kept_upload(person=cast.head, digest=digest)

    @pytest.mark.parametrize("digest", ["", "../../etc/passwd", "0" * 63, "G" * 64, "\0" * 64])
    def test_a_made_up_digest_is_refused(self, cast: School, digest: str) -> None:
        with pytest.raises(Conflict, match="no longer kept"):
            kept_upload(person=cast.head, digest=digest)

    def test_bytes_changed_on_disk_are_not_applied(self, cast: School) -> None:
        digest = keep_upload(person=cast.head, bundle=bundle(**TWO_CLASSES), at=NOW)
        Path(default_storage.path(f"roster/{cast.head.pk.hex}-{digest}.zip")).write_bytes(b"PK")
        with pytest.raises(Conflict, match="no longer kept"):
            kept_upload(person=cast.head, digest=digest)

    def test_uploads_that_nobody_applied_go_after_a_day(self, cast: School) -> None:
        digest = keep_upload(person=cast.head, bundle=bundle(**TWO_CLASSES), at=NOW)
        name = f"roster/{cast.head.pk.hex}-{digest}.zip"
        written = default_storage.get_modified_time(name)
        drop_old_uploads(at=written + timedelta(hours=23))
        assert default_storage.exists(name)
        drop_old_uploads(at=written + timedelta(hours=25))
        assert not default_storage.exists(name)

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
