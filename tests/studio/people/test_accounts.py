"""Studios, accounts, names, passwords, sign-in cards."""

import io
from datetime import timedelta

import pypdfium2
import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from studio.errors import Conflict, Refused
from studio.paper.pages import A4, LETTER, Words
from studio.people.first_passwords import LETTERS, first_password
from studio.people.models import AuditEntry, Role, Studio, User
from studio.people.names import sign_in_name_from, tidy, unique_name
from studio.people.services import (
    create_person,
    create_studio,
    edit_person,
    enrol_new_student,
    give_first_passwords,
    let_sign_in,
    prepare_first_passwords,
    reset_password,
    set_own_password,
    set_settings,
)
from studio.people.sheets.sign_in_cards import PER_PAGE, Card, sign_in_sheets
from tests.cast import NOW, PASSWORD, TODAY, School, signed_in

pytestmark = pytest.mark.both_databases


@pytest.mark.parametrize(
    ("given", "family", "name"),
    [
        ("Zoë", "Ångström-Lee", "zoe.angstromlee"),
        ("Søren", "Weiß", "soren.weiss"),
        ("Łukasz", "O'Brien", "lukasz.obrien"),
        ("Maya", "", "maya"),
        ("", "", "person"),
        ("美咲", "田中", "美咲.田中"),
        ("A" * 80, "B" * 80, "a" * 24 + "." + "b" * 24),
    ],
)
def test_a_sign_in_name_is_made_from_the_name(given: str, family: str, name: str) -> None:
    assert sign_in_name_from(given, family) == name


def test_the_first_free_name_is_taken() -> None:
    assert unique_name("ana", {"bo"}) == "ana"
    assert unique_name("ana", {"ana", "ana2", "ana4"}) == "ana3"
    assert len(unique_name("a" * 150, {"a" * 150})) <= 150


def test_names_are_one_tidy_line() -> None:
    assert tidy("  Ana\n\tMaria \x00\x07 Lo\u0301pez\ud800 ") == "Ana Maria López"


def test_first_passwords_hold_nothing_that_is_misread() -> None:
    made = {first_password() for _ in range(300)}
    assert len(made) == 300
    assert not set("".join(made)) & set("0oO1iIlL2zZ5sS6bB8gq9uv")
    assert {len(each) for each in made} == {9}
    assert set("".join(made)) <= {*LETTERS, "-"}


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("given", "family", "short"),
    [("Inés", "Calderón", "Inés C."), ("Inés", "", "Inés"), ("", "Suryani", "Suryani")],
)
def test_a_shelf_shows_one_initial_but_all_of_an_only_name(
    given: str, family: str, short: str
) -> None:
    assert User(given_name=given, family_name=family, username="x").short_name == short


class TestAccounts:
    def test_a_studio_s_short_name_is_its_own(self, cast: School) -> None:
        with pytest.raises(Refused, match=r"“brookfield” is taken") as refusal:
            create_studio(name="B", slug="Brookfield", head_given_name="X", at=NOW)
        assert refusal.value.problems[0].field == "slug"

    def test_a_bad_studio_is_refused_at_its_fields(self, db: None) -> None:
        with pytest.raises(Refused) as refusal:
            create_studio(
                name="", slug="no spaces", head_given_name="X", time_zone="Mars/North", at=NOW
            )
        assert {each.field for each in refusal.value.problems} == {"name", "slug", "time_zone"}
        assert not Studio.objects.exists()

    def test_staff_get_a_first_password_and_students_none(self, cast: School) -> None:
        made = create_person(
            studio=cast.studio, by=cast.head, role=Role.TEACHER, given_name="Ana", at=NOW
        )
        assert made.first_password
        assert made.person.check_password(made.first_password)
        assert made.person.must_change_password
        assert made.person.first_password_ends_at == NOW + timedelta(days=14)
        pupil = create_person(
            studio=cast.studio, by=cast.head, role=Role.STUDENT, given_name="Bo", at=NOW
        )
        assert pupil.first_password is None
        assert not pupil.person.has_usable_password()

    def test_create_user_makes_a_usable_account_without_a_studio(self, db: None) -> None:
        person = User.objects.create_user(username="ana", password="seven-grey-pots")
        assert person.check_password("seven-grey-pots")
        assert (person.studio, person.role, person.must_change_password) == (None, "", False)

    @pytest.mark.parametrize("taken", ["ode.amari", "ODE.Amari "])
    def test_a_sign_in_name_is_unique_in_its_studio(self, cast: School, taken: str) -> None:
        with pytest.raises(Refused, match="is taken in this studio"):
            create_person(
                studio=cast.studio,
                by=cast.head,
                role=Role.STUDENT,
                given_name="X",
                username=taken,
                at=NOW,
            )
        other = create_person(
            studio=cast.elsewhere.studio,
            by=cast.elsewhere.head,
            role=Role.STUDENT,
            given_name="X",
            username=taken,
            at=NOW,
        )
        assert other.person.username == "ode.amari"

    @pytest.mark.parametrize(
        ("field", "value", "sentence"),
        [
            ("username", "two words", "A sign-in name has letters, digits"),
            ("username", "x" * 151, "at most 150 characters"),
            ("given_name", "x" * 81, "at most 80 characters"),
            ("given_name", " \x00 ", "Type a name."),
            ("sourced_id", "x" * 256, "at most 255 characters"),
        ],
    )
    def test_bad_fields_are_refused_where_they_stand(
        self, cast: School, field: str, value: str, sentence: str
    ) -> None:
        typed = {"given_name": "Ana"} | {field: value}
        with pytest.raises(Refused, match=sentence) as refusal:
            create_person(studio=cast.studio, by=cast.head, role=Role.STUDENT, at=NOW, **typed)
        assert refusal.value.problems[0].field == field

    def test_a_roster_id_belongs_to_one_person(self, cast: School) -> None:
        for person, clashes in ((cast.student, False), (cast.classmate, True)):
            named = {
                "given_name": person.given_name,
                "family_name": person.family_name,
                "username": person.username,
                "sourced_id": "77",
            }
            if clashes:
                with pytest.raises(Refused, match="Somebody else has this roster id"):
                    edit_person(person=person, by=cast.head, **named)
            else:
                edit_person(person=person, by=cast.head, **named)
        line = AuditEntry.objects.get(action="person edited")
        assert (line.before["sourced_id"], line.after["sourced_id"]) == ("", "77")

    def test_nobody_closes_their_own_account(self, cast: School) -> None:
        with pytest.raises(Refused, match="Ask another head"):
            let_sign_in(person=cast.head, by=cast.head, allowed=False)
        let_sign_in(person=cast.teacher, by=cast.head, allowed=False)
        assert signed_in(cast.teacher).get("/password/").status_code == 302

    def test_settings_are_checked_and_kept_with_what_was(self, cast: School) -> None:
        with pytest.raises(Refused, match="is not a time zone"):
            set_settings(studio=cast.studio, by=cast.head, time_zone="Mars/North")
        set_settings(studio=cast.studio, by=cast.head, paper="letter")
        line = AuditEntry.objects.get(action="settings changed")
        assert (line.before, line.after) == ({"paper": "a4"}, {"paper": "letter"})

    def test_what_is_no_setting_is_refused(self, cast: School) -> None:
        with pytest.raises(Conflict, match="not settings of a studio"):
            set_settings(studio=cast.studio, by=cast.head, slug="new")

    def test_saying_what_stands_leaves_no_line(self, cast: School) -> None:
        before = AuditEntry.objects.count()
        set_settings(studio=cast.studio, by=cast.head, paper="a4")
        let_sign_in(person=cast.teacher, by=cast.head, allowed=True)
        edit_person(
            person=cast.student,
            by=cast.head,
            given_name="Ode",
            family_name="Amari",
            username="ode.amari",
            sourced_id="",
        )
        assert AuditEntry.objects.count() == before

    def test_a_person_without_a_studio_sets_an_own_password(self, cast: School) -> None:
        set_own_password(person=cast.nobody, current=PASSWORD, new="seven-grey-pots")
        cast.nobody.refresh_from_db()
        assert cast.nobody.check_password("seven-grey-pots")

    def test_an_own_password_changed_meanwhile_is_a_conflict(self, cast: School) -> None:
        stale = User.objects.get(pk=cast.student.pk)
        reset_password(person=cast.student, by=cast.teacher, at=NOW)
        with pytest.raises(Conflict, match="changed just now"):
            set_own_password(person=stale, current=PASSWORD, new="seven-grey-pots")

    def test_the_command_makes_a_studio_and_prints_a_first_password(self, db: None) -> None:
        out = io.StringIO()
        call_command(
            "create_studio",
            "--name=Hill School",
            "--slug=hill",
            "--head=Ana Maria Lopez",
            "--time-zone=Europe/Madrid",
            stdout=out,
        )
        head = User.objects.get(studio__slug="hill")
        assert (head.given_name, head.family_name, head.role) == ("Ana Maria", "Lopez", "head")
        assert head.check_password(out.getvalue().split()[-1])
        with pytest.raises(CommandError, match="“hill” is taken"):
            call_command("create_studio", "--name=H", "--slug=hill", "--head=Ana", stdout=out)


def cards(count: int) -> list[Card]:
    return [
        Card(
            name=f"Student Number{n}",
            section="Period 3",
            studio="Brookfield School studio",
            slug="brookfield",
            address="https://studio.example/sign-in/brookfield/",
            sign_in_name=f"student.number{n}",
            password=f"k7mf-3w{n:02}",
            until="Wednesday 25 March 2026",
        )
        for n in range(count)
    ]


@pytest.mark.parametrize("page", [A4, LETTER])
@pytest.mark.parametrize("count", [1, PER_PAGE, PER_PAGE + 1, 35])
def test_cards_fill_pages_and_nothing_leaves_the_paper(page, count: int) -> None:  # type: ignore[no-untyped-def]
    sheets = sign_in_sheets(cards(count), page)
    assert len(sheets) == -(-count // PER_PAGE)
    for sheet in sheets:
        for mark in sheet.marks:
            if isinstance(mark, Words):
                assert 5 <= mark.x_mm <= page.width_mm - 5
                assert 5 <= mark.y_mm <= page.height_mm - 5


@pytest.mark.django_db
class TestCards:
    def new_students(self, cast: School, count: int) -> list[User]:
        return [
            enrol_new_student(
                section=cast.section, by=cast.teacher, given_name=f"Ana{n}", at=NOW, on=TODAY
            )
            for n in range(count)
        ]

    def printed(self, cast: School, paper: str = "a4") -> list[str]:
        path = f"/classes/{cast.section.pk}/cards/"
        answer = signed_in(cast.teacher).post(path, {"paper": paper})
        assert answer.headers["Content-Type"] == "application/pdf"
        assert "no-store" in answer.headers["Cache-Control"]
        document = pypdfium2.PdfDocument(answer.content)
        return [page.get_textpage().get_text_range() for page in document]

    def test_the_printed_password_signs_in_and_is_to_be_changed(self, cast: School) -> None:
        [student] = self.new_students(cast, 1)
        [text] = self.printed(cast)
        assert "Ana0" in text
        assert "http://testserver/sign-in/brookfield/" in text.replace("\r\n", "\n")
        lines = text.split()
        password = lines[lines.index("password") + 1]
        student.refresh_from_db()
        assert student.check_password(password)
        assert student.must_change_password
        assert student.first_password_ends_at is not None
        left = student.first_password_ends_at - timezone.now()
        assert timedelta(days=13, hours=23) < left <= timedelta(days=14)

    def test_students_with_a_password_of_their_own_are_skipped(self, cast: School) -> None:
        self.new_students(cast, PER_PAGE + 1)
        pages = self.printed(cast, "letter")
        assert len(pages) == 2
        assert "Ode" not in "".join(pages)
        cast.student.refresh_from_db()
        assert cast.student.check_password(PASSWORD)

    def test_printing_again_replaces_first_passwords_but_no_chosen_one(self, cast: School) -> None:
        first, _other = self.new_students(cast, 2)
        self.printed(cast)
        first.refresh_from_db()
        set_own_password(person=first, current=None, new="seven-grey-pots")
        text = "".join(self.printed(cast))
        assert "Ana1" in text
        assert "Ana0" not in text

    def test_a_class_that_needs_none_says_so(self, cast: School) -> None:
        with pytest.raises(Refused, match="Everybody in this class has set a password"):
            prepare_first_passwords(section=cast.section, by=cast.teacher)
        page = signed_in(cast.teacher).get(f"/classes/{cast.section.pk}/cards/")
        assert "No cards are needed" in page.content.decode()
        answer = signed_in(cast.teacher).post(f"/classes/{cast.section.pk}/cards/", {"paper": "a4"})
        assert answer.status_code == 422

    def test_somebody_who_chose_a_password_meanwhile_stops_the_print(self, cast: School) -> None:
        first, second = self.new_students(cast, 2)
        prepared = prepare_first_passwords(section=cast.section, by=cast.teacher)
        reset_password(person=first, by=cast.teacher, at=NOW)
        first.refresh_from_db()
        set_own_password(person=first, current=None, new="seven-grey-pots")
        with pytest.raises(Conflict, match="Print the cards again"):
            give_first_passwords(section=cast.section, by=cast.teacher, prepared=prepared, at=NOW)
        second.refresh_from_db()
        assert not second.has_usable_password(), "all come into force together, or none"

    def test_nothing_of_the_cards_is_stored(self, cast: School, settings) -> None:  # type: ignore[no-untyped-def]
        self.new_students(cast, 1)
        self.printed(cast)
        assert not settings.MEDIA_ROOT.exists()
        line = AuditEntry.objects.get(action="sign-in cards printed")
        assert set(line.after) == {"people"}
