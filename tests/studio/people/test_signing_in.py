"""Signing in, guesses, first passwords. Who may help whom stands in test_refusals."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from unittest import mock

import pytest
from django.contrib.auth import authenticate
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from studio.errors import Refused
from studio.people.addresses import UNKNOWN, address_of
from studio.people.guessing import wait_after
from studio.people.models import AuditEntry, SignInGuess, Studio, User
from studio.people.services import (
    TooManyGuesses,
    check_sign_in,
    reset_password,
    unlock_sign_in,
)
from tests.cast import NOW, PASSWORD, School, school, signed_in

pytestmark = pytest.mark.both_databases

HERE, THERE = "203.0.113.7", "203.0.113.8"


def attempt(
    password: str = "wrong",  # noqa: S107
    *,
    address: str = HERE,
    after_s: float = 0,
    **who: str,
) -> User:
    named = {"studio_slug": "brookfield", "username": "ode.amari"} | who
    at = NOW + timedelta(seconds=after_s)
    return check_sign_in(**named, password=password, address=address, at=at)


def guess_wrong(times: int, **where: str) -> None:
    for _ in range(times):
        with pytest.raises(Refused, match="don't go together"):
            attempt("wrong", address=HERE, after_s=0, **where)


def test_a_name_is_read_whatever_its_capitals_and_spaces(cast: School) -> None:
    assert attempt(PASSWORD, username=" Ode.Amari ", studio_slug=" Brookfield ") == cast.student


def test_an_account_without_a_studio_signs_in_without_one(cast: School) -> None:
    assert attempt(PASSWORD, username="wanderer", studio_slug="") == cast.nobody


def test_with_several_studios_the_short_name_is_needed(cast: School) -> None:
    with pytest.raises(Refused, match="don't go together"):
        attempt(PASSWORD, studio_slug="")


def test_a_closed_account_stays_out(cast: School) -> None:
    User.objects.filter(pk=cast.student.pk).update(is_active=False)
    with pytest.raises(Refused, match="don't go together"):
        attempt(PASSWORD)


def test_five_wrong_passwords_make_a_pause_even_for_the_right_one(cast: School) -> None:
    guess_wrong(5)
    with pytest.raises(TooManyGuesses, match=r"Try again in 30 seconds, or ask a teacher"):
        attempt(PASSWORD)
    assert attempt(PASSWORD, after_s=30) == cast.student


def test_the_pause_doubles_up_to_a_quarter_of_an_hour() -> None:
    waits = [wait_after(wrong).total_seconds() for wrong in range(4, 13)]
    assert waits == [0, 30, 60, 120, 240, 480, 900, 900, 900]
    assert wait_after(10**9) == timedelta(minutes=15)


def test_a_try_within_the_pause_does_not_lengthen_it(cast: School) -> None:
    guess_wrong(5)
    for second in range(1, 30):
        with pytest.raises(TooManyGuesses):
            attempt(after_s=second)
    assert attempt(PASSWORD, after_s=30) == cast.student


def test_a_minute_and_more_is_said_in_minutes(cast: School) -> None:
    guess_wrong(5)
    for wait in (30, 90, 210):
        with pytest.raises(Refused, match="don't go together"):
            attempt(after_s=wait)
    with pytest.raises(TooManyGuesses, match="Try again in 4 minutes"):
        attempt(after_s=211)


def test_one_pupil_guessing_locks_nobody_else_out_of_the_same_address(cast: School) -> None:
    guess_wrong(5)
    assert attempt(PASSWORD, username="bram.vos") == cast.classmate


def test_guesses_from_one_address_leave_the_owner_in_at_another(cast: School) -> None:
    guess_wrong(5)
    assert attempt(PASSWORD, address=THERE) == cast.student


def test_writing_the_name_or_the_studio_differently_starts_no_new_count(cast: School) -> None:
    guess_wrong(2, username="ODE.AMARI")
    guess_wrong(3, username=" ode.amari", studio_slug="BROOKFIELD")
    with pytest.raises(TooManyGuesses):
        attempt()


def test_a_name_that_nobody_has_is_slowed_in_the_same_way(cast: School) -> None:
    guess_wrong(5, username="no.such.person")
    with pytest.raises(TooManyGuesses, match="Too many wrong passwords for this name"):
        attempt(username="no.such.person")


def test_signing_in_forgets_the_wrong_guesses(cast: School) -> None:
    guess_wrong(4)
    attempt(PASSWORD)
    guess_wrong(5)


def test_guesses_are_forgotten_after_a_day(cast: School) -> None:
    guess_wrong(5)
    day_s = 24 * 3600
    for _ in range(5):
        with pytest.raises(Refused, match="don't go together"):
            attempt(after_s=day_s)
    attempt(PASSWORD, username="bram.vos", after_s=4 * day_s)
    assert SignInGuess.objects.count() == 1


def test_a_teacher_unlocks_and_it_is_kept(cast: School) -> None:
    guess_wrong(5)
    unlock_sign_in(person=cast.student, by=cast.teacher)
    assert attempt(PASSWORD) == cast.student
    line = AuditEntry.objects.get(action="sign-in unlocked")
    assert (line.by, line.subject_id) == (cast.teacher, str(cast.student.pk))


def test_a_first_password_signs_in_until_its_fourteenth_day(cast: School) -> None:
    given = reset_password(person=cast.student, by=cast.teacher, at=NOW)
    fourteen_days_s = 14 * 24 * 3600
    assert attempt(given, after_s=fourteen_days_s - 1) == cast.student
    with pytest.raises(Refused, match=r"has ended\. Ask your teacher for a new one"):
        attempt(given, after_s=fourteen_days_s)


@pytest.mark.parametrize("written", ["k7mf3wpx", "K7MF-3WPX", " k7mf 3wpx "])
def test_a_first_password_is_read_however_a_phone_writes_it(cast: School, written: str) -> None:
    cast.student.set_password("k7mf-3wpx")
    cast.student.must_change_password = True
    cast.student.save()
    assert attempt(written) == cast.student
    User.objects.filter(pk=cast.student.pk).update(must_change_password=False)
    with pytest.raises(Refused, match="don't go together"):
        attempt(written)


def test_staff_ask_a_head_for_a_new_first_password(cast: School) -> None:
    given = reset_password(person=cast.teacher, by=cast.head, at=NOW - timedelta(days=30))
    with pytest.raises(Refused, match="Ask a head of your studio"):
        attempt(given, username=cast.teacher.username)


def test_a_sign_in_without_name_or_password_finds_nobody(cast: School) -> None:
    assert authenticate(username="ode.amari") is None


def test_a_wrong_password_says_nothing_about_a_first_one_that_ended(cast: School) -> None:
    reset_password(person=cast.student, by=cast.teacher, at=NOW - timedelta(days=30))
    with pytest.raises(Refused, match="don't go together"):
        attempt()


@pytest.mark.parametrize(
    ("remote", "counted"),
    [
        ("203.0.113.7", "203.0.113.7"),
        ("::ffff:203.0.113.7", "203.0.113.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
        ("", UNKNOWN),
        ("unix:", UNKNOWN),
    ],
)
def test_an_address_is_counted_as_the_household_it_is(remote: str, counted: str) -> None:
    assert address_of(remote) == counted


@pytest.mark.django_db(transaction=True)
def test_guesses_at_the_same_time_do_not_slip_through() -> None:
    """Twenty at once on one name: exactly five passwords are looked at."""
    school()
    looked_at = []

    def look(**typed: str) -> None:
        looked_at.append(typed["password"])

    def guess(number: int) -> str:
        try:
            attempt(f"guess {number}")
        except TooManyGuesses:
            return "paused"
        except Refused:
            return "wrong"
        finally:
            connection.close()
        return "in"

    with (
        mock.patch("studio.people.services.signing_in.authenticate", side_effect=look),
        ThreadPoolExecutor(10) as pool,
    ):
        answers = list(pool.map(guess, range(20)))
    assert sorted(answers) == ["paused"] * 15 + ["wrong"] * 5
    assert len(looked_at) == 5


class TestThePage:
    def post(self, client: Client, address: str = "/sign-in/", **typed: str) -> object:
        return client.post(address, {"password": PASSWORD} | typed)

    def test_it_asks_for_the_studio_only_where_it_must(self, cast: School, client: Client) -> None:
        assert b'name="studio"' in client.get("/sign-in/").content
        shown = client.get("/sign-in/brookfield/").content.decode()
        assert 'name="studio"' not in shown
        assert "Brookfield School studio" in shown

    def test_a_studio_alone_is_not_asked_for(self, db: None, client: Client) -> None:
        Studio.objects.create(name="Alone", slug="alone")
        assert b'name="studio"' not in client.get("/sign-in/").content

    def test_a_card_s_address_signs_its_student_in(self, cast: School, client: Client) -> None:
        answer = client.post(
            "/sign-in/brookfield/", {"username": "ode.amari", "password": PASSWORD}
        )
        assert answer.headers["Location"] == reverse("home")
        assert client.session["_auth_user_id"] == str(cast.student.pk)

    def test_an_unknown_studio_is_not_found(self, cast: School, client: Client) -> None:
        assert client.get("/sign-in/nowhere/").status_code == 404

    def test_a_pause_answers_with_how_long_it_lasts(self, cast: School, client: Client) -> None:
        typed = {"username": "ode.amari", "password": "wrong"}
        for _ in range(5):
            assert client.post("/sign-in/brookfield/", typed).status_code == 200
        answer = client.post("/sign-in/brookfield/", typed)
        assert answer.status_code == 429
        assert 1 <= int(answer.headers["Retry-After"]) <= 31
        assert "ask a teacher to unlock it" in answer.content.decode()

    def test_a_forwarded_address_is_not_believed(self, cast: School, client: Client) -> None:
        typed = {"username": "ode.amari", "password": "wrong"}
        for number in range(6):
            answer = client.post(
                "/sign-in/brookfield/", typed, headers={"X-Forwarded-For": f"198.51.100.{number}"}
            )
        assert answer.status_code == 429

    @pytest.mark.parametrize(
        ("wanted", "reached"),
        [
            ("/classes/", "/classes/"),
            ("https://elsewhere.example/", "/"),
            ("//elsewhere.example", "/"),
            ("javascript:alert(1)", "/"),
            ("/\\elsewhere.example", "/"),
        ],
    )
    def test_it_goes_on_to_our_own_pages_only(
        self, cast: School, client: Client, wanted: str, reached: str
    ) -> None:
        typed = {"username": "ode.amari", "password": PASSWORD, "next": wanted}
        assert client.post("/sign-in/brookfield/", typed).headers["Location"] == reached

    @pytest.mark.parametrize("bad", ["\x00", "a\x00b", "x" * 5000, "😀", "%", "' OR 1=1"])
    def test_hostile_text_is_refused_in_words(self, cast: School, client: Client, bad: str) -> None:
        typed = {"username": bad, "password": bad, "studio": bad, "next": bad}
        answer = client.post("/sign-in/", typed)
        assert answer.status_code == 200
        assert "_auth_user_id" not in client.session

    def test_a_student_s_session_ends_with_the_browser_and_after_the_school_day(
        self, cast: School, client: Client
    ) -> None:
        client.post("/sign-in/brookfield/", {"username": "ode.amari", "password": PASSWORD})
        assert client.session.get_expire_at_browser_close()
        assert client.get("/password/").status_code == 200
        session = client.session
        left_s = session["ends_at"] - timezone.now().timestamp()
        assert 8 * 3600 - 60 < left_s <= 8 * 3600
        session["ends_at"] = timezone.now().timestamp() - 1
        session.save()
        answer = client.get("/password/")
        assert answer.headers["Location"].startswith("/sign-in/")
        assert "_auth_user_id" not in client.session

    def test_a_teacher_s_session_lasts(self, cast: School, client: Client) -> None:
        client.post(
            "/sign-in/brookfield/", {"username": cast.teacher.username, "password": PASSWORD}
        )
        assert not client.session.get_expire_at_browser_close()

    def test_a_student_s_pages_are_kept_by_no_browser(self, cast: School) -> None:
        assert "no-store" in signed_in(cast.student).get("/password/").headers["Cache-Control"]

    def test_signing_out_takes_a_post(self, cast: School) -> None:
        client = signed_in(cast.student)
        assert client.get("/sign-out/").status_code == 405
        assert client.post("/sign-out/").headers["Location"] == "/sign-in/"
        assert "_auth_user_id" not in client.session


class TestTheFirstPassword:
    def test_it_leads_to_the_password_page_and_nowhere_else(self, cast: School) -> None:
        given = reset_password(person=cast.student, by=cast.teacher, at=timezone.now())
        client = Client()
        client.post("/sign-in/brookfield/", {"username": "ode.amari", "password": given})
        assert client.get("/people/").headers["Location"] == "/password/"
        assert "Choose your own password" in client.get("/password/").content.decode()
        new = {"new": "seven-grey-pots", "again": "seven-grey-pots"}
        assert client.post("/password/", new).headers["Location"] == reverse("home")
        assert attempt("seven-grey-pots") == cast.student
        assert client.get("/password/").status_code == 200, "this device stays signed in"

    def test_choosing_it_again_is_refused(self, cast: School) -> None:
        given = reset_password(person=cast.student, by=cast.teacher, at=NOW)
        client = signed_in(User.objects.get(pk=cast.student.pk))
        answer = client.post("/password/", {"new": given, "again": given})
        assert "Choose another password than the one you have." in answer.content.decode()

    def test_a_reset_signs_the_old_session_out(self, cast: School) -> None:
        client = signed_in(cast.student)
        reset_password(person=cast.student, by=cast.teacher, at=NOW)
        assert client.get("/password/").headers["Location"].startswith("/sign-in/")


class TestAnOwnPassword:
    def change(self, person: User, current: str, new: str, again: str = "") -> str:
        typed = {"current": current, "new": new, "again": again or new}
        return signed_in(person).post("/password/", typed).content.decode()

    def test_it_needs_the_current_one(self, cast: School) -> None:
        assert "This is not your current password." in self.change(
            cast.teacher, "guess", "seven-grey-pots"
        )

    def test_it_is_typed_twice_alike(self, cast: School) -> None:
        assert "The two passwords differ." in self.change(
            cast.teacher, PASSWORD, "seven-grey-pots", "seven-gray-pots"
        )

    @pytest.mark.parametrize("weak", ["short", "password1", "tomas.lindqvist"])
    def test_a_weak_one_is_refused_at_its_field(self, cast: School, weak: str) -> None:
        shown = self.change(cast.teacher, PASSWORD, weak)
        assert "password is too" in shown
        cast.teacher.refresh_from_db()
        assert cast.teacher.check_password(PASSWORD)
