"""What is left of a person, and what isn't."""

from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from importlib import import_module
from pathlib import Path

import pytest
from django.conf import settings as configured
from django.contrib.sessions.models import Session
from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from django.test import Client
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from assessments.models import Marking, Result
from planning.models import Adjustment, PlanVersion, Thumbnail
from studio.clay.models import Entry, SafetyTalk
from studio.errors import Conflict, Refused
from studio.jobs.models import Job
from studio.keeping.models import Erasure
from studio.keeping.services import erase_person, finish_erasures
from studio.people.models import (
    ApiToken,
    AuditEntry,
    Enrolment,
    IdempotencyKey,
    Role,
    SignInGuess,
    User,
)
from studio.people.services import let_sign_in
from studio.people.tokens import make_token
from studio.room.models import Kiln
from studio.uploads.models import StoredImage
from studio.uploads.services import receive_image
from studio.ware.models import Flaw, PotPhoto, StageEntry
from tests.assessments.work import mark
from tests.cast import NOW, PASSWORD, TODAY, School, person, signed_in
from tests.planning.work import a_piece, photo
from tests.studio.keeping.conftest import files_kept
from tests.studio.keeping.records import OUTLINE, SECRET, everything, fresh, line

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
NAMES = ("amari", "odelia", "ode amari", "ode.amari")
LATER = NOW + timedelta(days=30)


def erase(cast: School, run: DjangoCaptureOnCommitCallbacks, who: User | None = None) -> Erasure:
    with run(execute=True):
        return erase_person(person=who or cast.student, by=cast.head, at=LATER)


def a_kiln(cast: School, confirms: User) -> Kiln:
    whole_day = {"start_from": time(0), "start_until": time(23), "off_from": time(0)}
    return Kiln.objects.create(
        studio=cast.studio,
        name="Kiln by the door",
        shelf_shape="round",
        shelf_width_mm=400,
        shelf_depth_mm=400,
        shelf_thickness_mm=15,
        shelves=3,
        usable_height_mm=600,
        most_c=1280,
        off_until=time(23, 30),
        confirms_shut_off=confirms,
        **whole_day,
    )


class TestStudents:
    def test_no_name_and_no_word_of_theirs_is_left_anywhere(
        self,
        cast: School,
        all_that_is_kept: Callable[[], str],
        django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
    ) -> None:
        everything(cast)
        before = all_that_is_kept()
        assert [word for word in (*NAMES, SECRET) if word not in before] == []
        erase(cast, django_capture_on_commit_callbacks)
        after = all_that_is_kept()
        assert [word for word in (*NAMES, SECRET) if word in after] == []

    def test_their_pictures_are_gone_and_nobody_elses(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        everything(cast)
        other = receive_image(studio=cast.studio, by=cast.classmate, file=photo(1), at=NOW)
        assert len(files_kept()) > 1
        erase(cast, django_capture_on_commit_callbacks)
        assert files_kept() == {other.quarantine_file}
        assert list(StoredImage.objects.all()) == [other]
        assert not Thumbnail.objects.exists()
        assert not PotPhoto.objects.exists()
        assert Erasure.objects.get().files == []

    def test_what_they_made_stays_with_its_history_ledger_and_marks(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        pot = everything(cast)
        SafetyTalk.objects.create(student=cast.student, on=TODAY, by=cast.teacher)
        figures = PlanVersion.objects.get(piece=pot.piece).figures
        stages = StageEntry.objects.filter(pot=pot).count()
        erase(cast, django_capture_on_commit_callbacks)
        pot.refresh_from_db()
        assert pot.piece.student.name == "a former student"
        assert pot.piece.code
        assert PlanVersion.objects.get(piece=pot.piece).figures == figures
        assert StageEntry.objects.filter(pot=pot).count() == stages
        assert Entry.objects.get(pot=pot).grams == -500
        result = Result.objects.get(piece=pot.piece)
        [level] = result.levels
        assert (level["criterion"], level["points"], level["note"]) == ("Joints", "3.00", "")
        nothing: dict[str, list[object]] = {"sentences": [], "pictures": [], "silhouette": []}
        assert result.evidence == {
            "criteria": [{**nothing, "silhouette": OUTLINE}],
            "history": nothing,
            "lost": "",
        }
        assert Flaw.objects.get(pot=pot).what == ""
        assert Adjustment.objects.get().private_reason == ""
        assert SafetyTalk.objects.get().on == TODAY

    def test_a_marking_that_is_open_in_a_window_does_not_bring_its_words_back(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        piece = a_piece(cast)
        open_one = mark(piece, cast.teacher, comment="A quiet line.")
        erase(cast, django_capture_on_commit_callbacks)
        with pytest.raises(Conflict, match="in another window"):
            mark(piece, cast.teacher, comment="Ode, a quiet line.", edition=open_one.edition)
        assert Marking.objects.get().comment == ""

    def test_a_released_result_can_still_be_read_without_pictures_that_are_gone(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        pot = everything(cast)
        where = f"/pieces/{pot.piece_id}/result/"
        before = signed_in(cast.teacher).get(where).content.decode()
        assert "<img" in before
        erase(cast, django_capture_on_commit_callbacks)
        after = signed_in(cast.teacher).get(where).content.decode()
        assert "a former student" in after
        assert "Joints hold." in after
        assert "<img" not in after
        assert "<li></li>" not in after

    def test_they_are_in_no_class_any_more(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        erase(cast, django_capture_on_commit_callbacks)
        enrolment = Enrolment.objects.get(student=cast.student)
        assert enrolment.left_on == date(2026, 4, 10)
        assert not Enrolment.objects.current().filter(student=cast.student).exists()

    def test_nobody_signs_in_as_them_and_where_they_were_signed_in_it_ends(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        browser, other = signed_in(cast.student), signed_in(cast.classmate)
        SignInGuess.objects.create(
            name_key=str(cast.student.pk), address="192.0.2.7", wrong=1, last_at=NOW
        )
        erase(cast, django_capture_on_commit_callbacks)
        assert browser.get("/pieces/", follow=True).redirect_chain[-1][0].startswith("/sign-in/")
        assert other.get("/pieces/").status_code == 200
        assert Session.objects.count() == 1
        assert not SignInGuess.objects.exists()
        gone = fresh(cast.student)
        assert (gone.is_active, gone.has_usable_password(), gone.sourced_id) == (False, False, "")
        assert gone.username.startswith("former-")
        assert not Client().login(username=gone.username, password=PASSWORD, studio="brookfield")

    def test_answers_that_named_them_or_what_was_theirs_no_longer_do(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        pot = everything(cast)
        erase(cast, django_capture_on_commit_callbacks)
        his, his_marks = IdempotencyKey.objects.order_by("key")
        assert his.person == his_marks.person == cast.teacher
        assert his.answer == {"content": {"student": "a former student"}}
        assert his_marks.answer == {"content": [{"comment": "", "piece": str(pot.piece_id)}]}

    def test_the_audit_keeps_its_lines_without_the_names_in_them(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        everything(cast)
        lines = AuditEntry.objects.count()
        erase(cast, django_capture_on_commit_callbacks)
        assert AuditEntry.objects.count() == lines + 1
        assert line("flaw noted").after == {
            "what": "",
            "cause": "making",
            "nested": [{"note": ""}],
        }
        assert line("class list printed").after == {
            "people": ["a former student", "Bram Vos", "a former student"],
            "first": "a former student",
            "words": "Given to a former student at once.",
            "mode": "ode to clay",
        }
        assert line("person edited").before == {"given_name": "", "family_name": ""}
        erased = line("person erased")
        assert (erased.by, erased.subject_id) == (cast.head, str(cast.student.pk))
        assert erased.after["images"] > 0

    def test_a_namesake_in_another_studio_keeps_the_name(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        twin = person(cast.elsewhere.head, Role.STUDENT, "Ode", "Amari")
        erase(cast, django_capture_on_commit_callbacks)
        assert fresh(twin).name == "Ode Amari"
        made = AuditEntry.objects.get(action="person made", subject_id=str(twin.pk))
        assert made.after["family_name"] == "Amari"

    def test_they_are_remembered_by_id_and_time_and_nothing_else(
        self,
        cast: School,
        settings: Settings,
        django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
    ) -> None:
        erase(cast, django_capture_on_commit_callbacks)
        assert settings.ERASURES_FILE.read_text() == f"{LATER.isoformat()} {cast.student.pk}\n"

    def test_nobody_is_erased_twice(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        erase(cast, django_capture_on_commit_callbacks)
        with pytest.raises(Refused, match=r"This person is erased already\."):
            erase(cast, django_capture_on_commit_callbacks)


class TestStaff:
    def test_an_open_account_is_closed_first(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        with pytest.raises(Refused, match=r"still open\. Close it first"):
            erase(cast, django_capture_on_commit_callbacks, cast.teacher)

    def test_students_keep_what_a_colleague_wrote_and_photographed_for_them(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        pot = everything(cast)
        make_token(person=cast.teacher, name="Labels", scope="read", ends_at=LATER, at=NOW)
        loose = receive_image(studio=cast.studio, by=cast.teacher, file=photo(3), at=NOW)
        let_sign_in(person=cast.teacher, by=cast.head, allowed=False)
        erase(cast, django_capture_on_commit_callbacks, cast.teacher)
        image = PotPhoto.objects.get(pot=pot).image
        assert (image.by.name, image.original_name) == ("a former colleague", "")
        assert default_storage.exists(image.quarantine_file)
        assert Result.objects.get().comment == SECRET
        assert not StoredImage.objects.filter(pk=loose.pk).exists()
        assert not ApiToken.objects.exists()
        assert not cast.section.teachers.exists()
        assert not Job.objects.filter(by=cast.teacher).exclude(state__in=Job.OPEN).exists()
        assert fresh(cast.student).name == "Ode Amari"

    def test_whoever_confirms_a_shut_off_is_replaced_first(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        let_sign_in(person=cast.technician, by=cast.head, allowed=False)
        kiln = a_kiln(cast, cast.technician)
        with pytest.raises(Refused, match=r"confirms the shut-off of Kiln by the door\. Name"):
            erase(cast, django_capture_on_commit_callbacks, cast.technician)
        kiln.confirms_shut_off = cast.head
        kiln.save()
        erase(cast, django_capture_on_commit_callbacks, cast.technician)
        assert fresh(cast.technician).name == "a former colleague"

    def test_a_head_who_is_the_last_is_not_erased(self, cast: School) -> None:
        User.objects.filter(pk=cast.head.pk).update(is_active=False)
        with pytest.raises(Refused, match=r"last head of the studio\. Make another"):
            erase_person(person=cast.head, by=None, at=LATER)

    def test_an_account_without_a_studio_goes_too(
        self, cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
    ) -> None:
        with django_capture_on_commit_callbacks(execute=True):
            erase_person(person=cast.nobody, by=None, at=LATER)
        assert fresh(cast.nobody).username != "wanderer"


class TestWhoMay:
    @pytest.mark.parametrize("who", ["teacher", "technician", "student", "classmate"])
    def test_only_a_head(self, cast: School, who: str) -> None:
        with pytest.raises(PermissionDenied):
            erase_person(person=cast.student, by=getattr(cast, who), at=LATER)
        assert fresh(cast.student).name == "Ode Amari"

    def test_only_in_their_own_studio(self, cast: School) -> None:
        with pytest.raises(PermissionDenied):
            erase_person(person=cast.student, by=cast.elsewhere.head, at=LATER)

    def test_not_oneself(self, cast: School) -> None:
        with pytest.raises(Refused, match="You can't erase yourself"):
            erase_person(person=cast.head, by=cast.head, at=LATER)

    def test_nobody_where_it_could_not_be_remembered(
        self, cast: School, settings: Settings, tmp_path: Path
    ) -> None:
        (tmp_path / "a-file").write_text("")
        settings.ERASURES_FILE = tmp_path / "a-file" / "erasures"
        with pytest.raises(Refused, match=r"can't be (read|written to)"):
            erase_person(person=cast.student, by=cast.head, at=LATER)
        assert fresh(cast.student).name == "Ode Amari"


class TestBrokenOff:
    def test_the_housekeeping_finishes_what_a_killed_process_left(
        self, cast: School, settings: Settings
    ) -> None:
        """The transaction was committed, and nothing after it was done."""
        everything(cast)
        erase_person(person=cast.student, by=cast.head, at=LATER)
        assert files_kept()
        assert not settings.ERASURES_FILE.read_text()
        finish_erasures(at=LATER)
        assert files_kept() == set()
        assert str(cast.student.pk) in settings.ERASURES_FILE.read_text()
        assert Erasure.objects.get().files == []

    def test_a_list_that_can_no_longer_be_written_to_undoes_nothing(
        self,
        cast: School,
        settings: Settings,
        monkeypatch: pytest.MonkeyPatch,
        caplog: pytest.LogCaptureFixture,
        django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
    ) -> None:
        def full(*_: object) -> None:
            raise OSError("No space left on device")

        module = import_module("studio.keeping.services.erasing")
        monkeypatch.setattr(module, "remember", full)
        erase(cast, django_capture_on_commit_callbacks)
        assert fresh(cast.student).name == "a former student"
        assert "an erasure is finished later" in caplog.text

    def test_the_housekeeping_is_asked_to(self) -> None:
        assert "studio.keeping.services.finish_erasures" in configured.HOUSEKEEPING


def test_the_time_is_the_one_that_was_given(cast: School) -> None:
    at = datetime.fromisoformat("2026-05-01T12:00:00+00:00")
    assert erase_person(person=cast.student, by=cast.head, at=at).at == at
