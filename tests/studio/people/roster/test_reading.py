"""Rosters: nasty files, read row by row."""

import pytest

from studio.errors import Refused
from studio.people.roster.files import packed
from studio.people.roster.reading import roster_in
from tests.studio.people.roster.rosters import (
    CLASSES,
    ENROLMENTS,
    TWO_CLASSES,
    USERS,
    bundle,
    enrolment,
    plain,
    section,
    user,
    zipped,
)


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
