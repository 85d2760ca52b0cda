"""Two taps and two windows at one sheet at the same moment."""

from typing import Any

import pytest
from pytest_django import Settings

from planning.models import Sheet, Thumbnail
from planning.services import sheets
from planning.services.sheets import put_away, set_boxes, take_sheet
from studio.jobs.models import Job
from studio.jobs.work import claimed
from studio.uploads.made import keep_made
from studio.uploads.models import StoredImage
from studio.uploads.services import erase_image
from tests.cast import NOW, School
from tests.planning.sheet_photos import BOXES, proposed, sent
from tests.planning.work import a_piece
from tests.studio.keeping.conftest import files_kept
from tests.studio.ware.services.test_races import at_once

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]


@pytest.fixture(autouse=True)
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def a_sheet(cast: School) -> Sheet:
    return proposed(sent(a_piece(cast)))


def test_two_who_take_a_sheet_get_the_same_thumbnails(cast: School) -> None:
    sheet = a_sheet(cast)
    got: list[list[Thumbnail]] = []
    said = at_once(
        *[
            lambda by=by: got.append(take_sheet(sheet=sheet, by=by, edition=1, at=NOW))
            for by in (cast.student, cast.teacher, cast.student)
        ]
    )
    assert said == [""] * 3
    assert got[0] == got[1] == got[2] == list(Thumbnail.objects.all())
    assert (len(got[0]), Job.objects.filter(kind="cut_sheet").count()) == (4, 1)


def test_a_sheet_is_taken_as_it_was_or_changed_and_never_half(cast: School) -> None:
    sheet = a_sheet(cast)
    said = at_once(
        lambda: take_sheet(sheet=sheet, by=cast.student, edition=1, at=NOW),
        lambda: set_boxes(sheet=sheet, boxes=BOXES[:1], edition=1, by=cast.student),
    )
    sheet.refresh_from_db()
    if sheet.taken_at is None:
        changed = "The boxes changed meanwhile, perhaps in another window. Look again."
        assert said == ["", changed]
        assert (sheet.boxes, Thumbnail.objects.count()) == (BOXES[:1], 0)
    else:
        assert said == ["", "The drawings of this sheet are among the thumbnails already."]
        assert [each.box for each in Thumbnail.objects.all()] == sheet.boxes == BOXES


def test_a_sheet_is_taken_or_put_away(cast: School) -> None:
    sheet = a_sheet(cast)
    said = at_once(
        lambda: take_sheet(sheet=sheet, by=cast.student, edition=1, at=NOW),
        lambda: put_away(sheet=sheet, by=cast.student),
    )
    if Sheet.objects.exists():
        assert said == ["", "The drawings of this sheet are among the thumbnails already."]
        assert (Thumbnail.objects.count(), StoredImage.objects.count()) == (4, 5)
    else:
        assert said == ["", "This sheet was put away meanwhile, perhaps in another window."]
        assert not StoredImage.objects.exists()
        assert not Job.objects.filter(kind="cut_sheet").exists()


def test_the_same_photo_sent_twice_stays_one_sheet(cast: School) -> None:
    piece = a_piece(cast)
    said = at_once(lambda: sent(piece), lambda: sent(piece))
    assert said == ["", "This photo is here already."]
    assert (Sheet.objects.count(), StoredImage.objects.count()) == (1, 1)


def test_a_drawing_erased_while_it_is_cut_out_leaves_no_file(
    cast: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = a_sheet(cast)
    first, *others = take_sheet(sheet=sheet, by=cast.student, edition=1, at=NOW)
    stems = [first.image.stem]

    def slow(*args: Any) -> None:
        first.delete()
        erase_image(image=first.image)
        keep_made(*args)

    monkeypatch.setattr(sheets, "keep_made", slow)
    work = claimed(job_id=str(Job.objects.get(kind="cut_sheet").pk))
    assert work is not None
    sheets.cut_sheet(work)
    assert work.is_finished
    assert list(Thumbnail.objects.readable()) == others
    assert not _files_of(stems)
    assert len(_files_of([each.image.stem for each in others])) == 6


def _files_of(stems: list[str]) -> list[str]:

    return [name for name in files_kept() if any(stem in name for stem in stems)]
