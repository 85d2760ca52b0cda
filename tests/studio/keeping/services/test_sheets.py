"""Sheets of drawings and what was cut out of them: kept in back-ups, gone with their student."""

from pathlib import Path

import pytest
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from planning.models import Sheet, Thumbnail
from planning.services.sheets import take_sheet
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.keeping.services import back_up, erase_person, restore
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.sheet_photos import BOXES, proposed, sent
from tests.planning.work import a_piece
from tests.studio.keeping.conftest import files_kept, files_named
from tests.studio.keeping.places import emptied, manifest_of

pytestmark = pytest.mark.both_databases


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def taken(cast: School) -> Sheet:
    """A sheet that a teacher scanned, taken and not cut out yet; another that waits."""
    piece = a_piece(cast)
    sheet = proposed(sent(piece, by=cast.teacher))
    take_sheet(sheet=sheet, by=cast.teacher, edition=1, at=NOW)
    proposed(sent(piece, 91))
    return sheet


def cut() -> None:
    run_job.call(str(Job.objects.get(kind="cut_sheet").pk))


@pytest.mark.django_db
@pytest.mark.parametrize("before", [False, True])
def test_erasing_a_student_deletes_their_sheets_and_what_was_cut_out(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks, before: bool
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        taken(cast)
        if before:
            cut()
        erase_person(person=cast.student, by=cast.head, at=NOW)
        if not before:
            cut()  # the job outlives them and finds nothing
    assert not Sheet.objects.exists()
    assert not Thumbnail.objects.exists()
    assert not StoredImage.objects.exists()
    assert not [name for name in files_kept() if name.startswith(("images/", "quarantine/"))]


@pytest.mark.django_db(transaction=True)
def test_a_back_up_between_taking_and_cutting_is_cut_out_where_it_is_restored(
    cast: School, tmp_path: Path, settings: Settings
) -> None:
    sheet = taken(cast)
    assert back_up(file=tmp_path / "all.zip", at=NOW).missing == []
    assert manifest_of(tmp_path / "all.zip").tables["planning.Sheet"].rows == 2
    emptied(tmp_path / "there", settings)
    restore(file=tmp_path / "all.zip", at=NOW)
    assert Sheet.objects.get(taken_at__isnull=True).boxes == BOXES
    job = Job.objects.get(kind="cut_sheet")
    run_job.call(str(job.pk))
    drawn = Thumbnail.objects.readable().filter(sheet=sheet.pk)
    assert [each.box for each in drawn] == BOXES
    assert files_named() <= files_kept()
