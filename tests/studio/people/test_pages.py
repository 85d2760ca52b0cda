"""The pages of people, as a browser uses them, without JavaScript."""

import re
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from studio.people.models import (
    Absence,
    ApiToken,
    Closure,
    Enrolment,
    Meeting,
    Section,
    SignInGuess,
    User,
)
from tests.cast import NOW, School, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]

LIST = "id,given name,family name,class\n1,Ana,Lopez,Clay\n2,Bo,Li,Clay\n3,,,Clay\n"


def shown(client: Client, path: str, data: dict[str, Any] | None = None) -> str:
    """The page's text, after a POST where there is data; redirects are followed."""
    answer = client.get(path) if data is None else client.post(path, data, follow=True)
    assert answer.status_code == 200, answer.status_code
    return re.sub(r"\s+", " ", answer.content.decode())


def today() -> date:
    """Where the cast's studio is, whatever the time zone of the machine."""
    return timezone.localdate(timezone=ZoneInfo("Europe/Amsterdam"))


def meet_today(section: Section) -> Meeting:
    meeting, _made = Meeting.objects.get_or_create(section=section, on=today())
    return meeting


class TestPeople:
    def test_everybody_is_found_by_part_of_a_name(self, cast: School) -> None:
        page = shown(signed_in(cast.head), "/people/?q=lindq")
        assert "Tomas Lindqvist" in page
        assert "Ode Amari" not in page
        assert "No student by that name" in page

    def test_a_head_makes_a_colleague_s_account(self, cast: School) -> None:
        client = signed_in(cast.head)
        page = shown(client, "/people/new/", {"role": "teacher", "given_name": "Ana"})
        colleague = User.objects.get(studio=cast.studio, given_name="Ana")
        [password] = re.findall(r"<strong>(\w{4}-\w{4})</strong>", page)
        assert colleague.check_password(password)

    def test_what_is_refused_stands_at_its_field(self, cast: School) -> None:
        typed = {"role": "teacher", "given_name": "Ana", "username": "ode.amari"}
        page = shown(signed_in(cast.head), "/people/new/", typed)
        assert "“ode.amari” is taken in this studio." in page
        assert 'value="ode.amari"' in page

    def test_a_teacher_resets_a_student_and_the_password_is_shown_once(self, cast: School) -> None:
        client, path = signed_in(cast.teacher), reverse("person", args=[cast.student.pk])
        answer = client.post(f"{path}reset/")
        assert "no-store" in answer.headers["Cache-Control"]
        [password] = re.findall(r"<strong>(\w{4}-\w{4})</strong>", answer.content.decode())
        cast.student.refresh_from_db()
        assert cast.student.check_password(password)
        assert password not in shown(client, path)
        assert "a first one, until" in shown(client, path)

    def test_a_paused_name_is_shown_and_unlocked(self, cast: School) -> None:
        client, path = signed_in(cast.teacher), reverse("person", args=[cast.student.pk])
        assert "Let them try again now" not in shown(client, path)
        SignInGuess.objects.create(
            name_key=str(cast.student.pk), address="203.0.113.7", wrong=5, last_at=NOW
        )
        assert "Let them try again now" in shown(client, path)
        assert "Ode Amari can try again at once." in shown(client, f"{path}unlock/", {})

    def test_a_head_corrects_a_name_and_closes_an_account(self, cast: School) -> None:
        client, path = signed_in(cast.head), reverse("person", args=[cast.student.pk])
        named = {"given_name": "Odette", "family_name": "Amari", "username": "ode.amari"}
        assert "Odette Amari" in shown(client, f"{path}edit/", named)
        assert "account closed" in shown(client, f"{path}account/", {"allowed": "no"})
        assert "account closed" not in shown(client, f"{path}account/", {"allowed": "yes"})


class TestAClass:
    def path(self, cast: School, end: str = "people/") -> str:
        return f"/classes/{cast.section.pk}/{end}"

    def test_it_is_made_and_then_asks_for_its_dates(self, cast: School) -> None:
        answer = signed_in(cast.teacher).post("/classes/new/", {"title": "Clay club"})
        made = Section.objects.get(title="Clay club")
        assert answer.headers["Location"] == f"/classes/{made.pk}/dates/"
        assert "No dates yet." in shown(signed_in(cast.teacher), answer.headers["Location"])
        page = shown(signed_in(cast.teacher), f"/classes/{made.pk}/people/")
        assert "Nobody is in this class yet" in page

    def test_a_head_says_who_teaches_it_and_a_teacher_isn_t_asked(self, cast: School) -> None:
        assert 'name="teachers"' not in shown(signed_in(cast.teacher), self.path(cast, "edit/"))
        typed = {"title": "Period 3", "code": "P3", "teachers": [cast.other_teacher.pk]}
        shown(signed_in(cast.head), self.path(cast, "edit/"), typed)
        assert list(cast.section.teachers.all()) == [cast.other_teacher]

    def test_absence_is_one_tap_and_the_next_takes_it_back(self, cast: School) -> None:
        meet_today(cast.section)
        client, path = signed_in(cast.teacher), self.path(cast, f"people/{cast.student.pk}/absent/")
        answer = client.post(path, {"absent": "yes"})
        assert answer.headers["Location"].endswith(f"#student-{cast.student.pk}")
        assert 'aria-pressed="true"' in shown(client, self.path(cast))
        assert "missed 1 lesson" in shown(client, self.path(cast))
        client.post(path, {"absent": "no"})
        assert not Absence.objects.exists()

    def test_on_a_day_without_a_lesson_nobody_is_marked(self, cast: School) -> None:
        Meeting.objects.filter(on=today()).delete()
        client = signed_in(cast.teacher)
        assert "doesn't meet today" in shown(client, self.path(cast)).replace("&#x27;", "'")
        path = self.path(cast, f"people/{cast.student.pk}/absent/")
        answer = client.post(path, {"absent": "yes"})
        assert answer.status_code == 422
        assert "Add the lesson under its dates." in answer.content.decode()

    def test_a_head_finds_and_enrols(self, cast: School) -> None:
        client = signed_in(cast.head)
        assert "Sunniva Kjeld" in shown(client, self.path(cast) + "?q=sunn")
        shown(client, self.path(cast, f"people/{cast.other_student.pk}/enrol/"), {})
        assert Enrolment.objects.current().filter(student=cast.other_student).count() == 2

    def test_a_teacher_finds_only_students_of_their_own(self, cast: School) -> None:
        page = shown(signed_in(cast.teacher), self.path(cast) + "?q=sunn")
        assert "Sunniva Kjeld" not in page
        assert "enrolled by a head" in page

    def test_a_new_student_is_added(self, cast: School) -> None:
        client = signed_in(cast.teacher)
        page = shown(client, self.path(cast, "people/new/"), {"given_name": "Ana"})
        assert ">Ana</a>" in page
        page = shown(client, self.path(cast, "people/new/"), {"given_name": ""})
        assert "1 thing" in page or "One thing needs another look" in page

    def test_a_student_moves_with_one_form(self, cast: School) -> None:
        path = self.path(cast, f"people/{cast.student.pk}/move/")
        page = shown(signed_in(cast.head), path, {"to": str(cast.other_section.pk)})
        assert "Ode Amari is in Period 5 now." in page
        current = Enrolment.objects.current().get(student=cast.student)
        assert current.section == cast.other_section

    @pytest.mark.parametrize("to", ["", "x", "\x00", "00000000-0000-0000-0000-000000000000"])
    def test_a_move_to_nowhere_is_refused(self, cast: School, to: str) -> None:
        path = self.path(cast, f"people/{cast.student.pk}/move/")
        assert signed_in(cast.head).post(path, {"to": to}).status_code == 422

    def test_a_student_leaves(self, cast: School) -> None:
        path = self.path(cast, f"people/{cast.student.pk}/leave/")
        page = shown(signed_in(cast.teacher), path, {})
        assert "Ode Amari has left Period 3. The work stays." in page


class TestDates:
    def path(self, cast: School, end: str = "") -> str:
        return f"/classes/{cast.section.pk}/dates/{end}"

    def test_weekdays_make_the_dates(self, cast: School) -> None:
        first = today()
        typed = {
            "kind": "weekdays",
            "weekdays-starts_on": f"{first}",
            "weekdays-ends_on": f"{first + timedelta(days=27)}",
            "weekdays-weekdays": ["0", "4"],
        }
        page = shown(signed_in(cast.teacher), self.path(cast), typed)
        assert "The dates are made." in page
        assert Meeting.objects.filter(section=cast.section).count() == 8

    def test_a_rotating_cycle_makes_the_dates(self, cast: School) -> None:
        first = today()
        typed = {
            "kind": "cycle",
            "cycle-starts_on": f"{first}",
            "cycle-ends_on": f"{first + timedelta(days=6)}",
            "cycle-length": "2",
            "cycle-meets_on": "1, 2",
            "cycle-counts_from": f"{first}",
            "cycle-first_day": "1",
            "cycle-school_week": [str(day) for day in range(7)],
        }
        page = shown(signed_in(cast.teacher), self.path(cast), typed)
        assert Meeting.objects.filter(section=cast.section).count() == 7
        assert "<details open>" in page

    def test_what_is_missing_is_told(self, cast: School) -> None:
        page = shown(signed_in(cast.teacher), self.path(cast), {"kind": "weekdays"})
        assert "Choose at least one weekday." in page
        typed = {"kind": "cycle", "cycle-meets_on": "one"}
        page = shown(signed_in(cast.teacher), self.path(cast), typed)
        assert "Type numbers with commas between" in page
        assert "<details open>" in page

    def test_a_lesson_is_added_moved_and_cancelled(self, cast: School) -> None:
        client, day = signed_in(cast.teacher), today() + timedelta(days=500)
        shown(client, self.path(cast, "new/"), {"on": f"{day}", "note": "Kiln talk"})
        meeting = Meeting.objects.get(section=cast.section, on=day)
        one = self.path(cast, f"{meeting.pk}/")
        assert 'value="Kiln talk"' in shown(client, one)
        shown(client, one, {"on": f"{day + timedelta(days=1)}", "note": ""})
        assert "falls out" in shown(client, f"{one}cancel/", {"cancelled": "yes"})
        shown(client, f"{one}cancel/", {"cancelled": "no"})
        meeting.refresh_from_db()
        assert (meeting.on, meeting.cancelled) == (day + timedelta(days=1), False)
        page = shown(client, self.path(cast, "new/"), {"on": f"{meeting.on}"})
        assert "The class meets on this date already." in page

    def test_a_lesson_of_another_class_is_not_found_under_this_one(self, cast: School) -> None:
        other = Meeting.objects.filter(section=cast.other_section).earliest("on")
        assert signed_in(cast.head).get(self.path(cast, f"{other.pk}/")).status_code == 404


class TestRoster:
    def upload(self, client: Client, content: str | bytes, name: str = "list.csv") -> Any:
        data = content if isinstance(content, bytes) else content.encode()
        return client.post("/roster/", {"uploads": [SimpleUploadedFile(name, data)]})

    def test_it_is_looked_at_and_then_applied(self, cast: School) -> None:
        client = signed_in(cast.head)
        answer = self.upload(client, LIST)
        page = shown(client, answer.headers["Location"])
        assert "New: 2. Changed: 0. Unchanged: 0. Leaving a class: 0. Rows left out: 1." in page
        assert "The name is empty." in page
        assert not User.objects.filter(given_name="Bo").exists(), "nothing is written by looking"
        [fingerprint] = re.findall(r'name="fingerprint" value="(\w{64})"', page)
        page = shown(client, f"{answer.headers['Location']}apply/", {"fingerprint": fingerprint})
        assert "New: 2. Changed: 0. Joined a class: 2. Left a class: 0." in page
        again = self.upload(client, LIST)
        assert "Nothing would change" in shown(client, again.headers["Location"])

    def test_applying_twice_or_blindly_writes_nothing_more(self, cast: School) -> None:
        client = signed_in(cast.head)
        path = self.upload(client, LIST).headers["Location"]
        page = shown(client, f"{path}apply/", {"fingerprint": "made up"})
        assert "Look again, then apply." in page
        [fingerprint] = re.findall(r'name="fingerprint" value="(\w{64})"', page)
        shown(client, f"{path}apply/", {"fingerprint": fingerprint})
        page = shown(client, f"{path}apply/", {"fingerprint": fingerprint})
        assert "This roster is no longer kept. Upload it again." in page
        assert User.objects.filter(given_name="Bo").count() == 1

    def test_a_head_of_another_studio_can_t_look_at_it(self, cast: School) -> None:
        path = self.upload(signed_in(cast.head), LIST).headers["Location"]
        assert signed_in(cast.elsewhere.head).get(path).status_code == 409

    @pytest.mark.parametrize(
        ("content", "sentence"),
        [
            (b"", "This file is empty."),
            (b"\x89PNG\r\n\x1a\n\x00\x00", "is not a text file"),
            (b"PK\x03\x04", "The zip can&#x27;t be opened."),
            (b"name\nAna\n", "needs a column “id”"),
        ],
    )
    def test_a_file_that_makes_no_sense_is_refused_at_its_field(
        self, cast: School, content: bytes, sentence: str
    ) -> None:
        answer = self.upload(signed_in(cast.head), content)
        assert answer.status_code == 200
        assert sentence in answer.content.decode()

    def test_no_file_at_all_is_told(self, cast: School) -> None:
        page = shown(signed_in(cast.head), "/roster/", {"csrfmiddlewaretoken": "x"})
        assert "Choose the roster&#x27;s files." in page

    def test_several_files_make_one_roster(self, cast: School) -> None:
        users = "sourcedId,enabledUser,role,givenName,familyName\ns1,true,student,Ana,Lopez\n"
        enrolments = "sourcedId,classSourcedId,userSourcedId,role\ne,c1,s1,student\n"
        classes = "sourcedId,title,classCode\nc1,Clay 1,C\n"
        files = {"users": users, "classes": classes, "enrollments": enrolments}
        uploads = [SimpleUploadedFile(f"{kind}.csv", text.encode()) for kind, text in files.items()]
        client = signed_in(cast.head)
        answer = client.post("/roster/", {"uploads": uploads})
        page = shown(client, answer.headers["Location"])
        assert "Clay 1" in page
        assert "ana.lopez" in page


class TestTheStudio:
    def test_settings_are_kept(self, cast: School) -> None:
        typed = {
            "name": "Brook",
            "time_zone": "America/New_York",
            "length_unit": "in",
            "mass_unit": "lb",
            "paper": "letter",
            "retention_years": "7",
        }
        assert "The settings are kept." in shown(signed_in(cast.head), "/settings/", typed)
        cast.studio.refresh_from_db()
        assert {key: str(getattr(cast.studio, key)) for key in typed} == typed

    def test_closed_days_come_and_go(self, cast: School) -> None:
        client, day = signed_in(cast.head), today()
        typed = {"closure-name": "Fair", "closure-starts_on": f"{day}", "closure-ends_on": f"{day}"}
        assert "Fair" in shown(client, "/settings/closures/", typed)
        [closure] = Closure.objects.all()
        page = shown(client, f"/settings/closures/{closure.pk}/end/", {})
        assert "No closed days yet" in page
        typed["closure-ends_on"] = f"{day - timedelta(days=1)}"
        page = shown(client, "/settings/closures/", typed)
        assert "The last day is before the first." in page

    def test_a_key_is_shown_once_and_ended(self, cast: School) -> None:
        client = signed_in(cast.technician)
        last = today() + timedelta(days=30)
        typed = {"name": "export", "scope": "read", "ends_at": f"{last}"}
        page = shown(client, "/tokens/", typed)
        [secret] = re.findall(r'<p class="code">(\S{43})</p>', page)
        assert (
            Client()
            .get("/api/me/", headers={"Authorization": f"Token {secret}"})
            .json()["given_name"]
            == "Joost"
        )
        assert secret not in shown(client, "/tokens/")
        [token] = ApiToken.objects.all()
        assert "You have no keys." in shown(client, f"/tokens/{token.pk}/end/", {})

    @pytest.mark.parametrize("last", ["2020-01-01", "9999-12-31", "0001-01-01", "2500-01-01"])
    def test_a_key_that_never_ends_is_refused(self, cast: School, last: str) -> None:
        typed = {"name": "export", "scope": "read", "ends_at": last}
        page = shown(signed_in(cast.head), "/tokens/", typed)
        assert "Choose an end date within the next 400 days." in page
