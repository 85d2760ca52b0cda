"""Photos of full-size drawings are kept in back-ups and gone with their student."""

from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from pytest_django import DjangoCaptureOnCommitCallbacks

from planning.models import PlanPhoto
from studio.keeping.services import back_up, erase_person
from studio.uploads.models import StoredImage
from tests.cast import NOW, School
from tests.planning.plan_photos import chosen_piece, sent, traced
from tests.studio.keeping.places import manifest_of

pytestmark = pytest.mark.both_databases


def stored(cast: School) -> tuple[PlanPhoto, list[str]]:
    """A traced photo, and the names of its two files."""
    photo = traced(sent(chosen_piece(cast)))
    stem = photo.image.stem
    names = [f"images/{stem[:2]}/{stem}-1.jpg", f"images/{stem[:2]}/{stem}-1-small.jpg"]
    for name in names:
        default_storage.save(name, ContentFile(b"a picture"))
    StoredImage.objects.filter(pk=photo.image_id).update(full_file=names[0], small_file=names[1])
    return photo, names


@pytest.mark.django_db
def test_erasing_a_student_deletes_their_photos_whoever_sent_them(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    photo, names = stored(cast)
    StoredImage.objects.filter(pk=photo.image_id).update(by=cast.teacher)
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(person=cast.student, by=cast.head, at=NOW)
    assert not PlanPhoto.objects.exists()
    assert not StoredImage.objects.filter(pk=photo.image_id).exists()
    assert not any(default_storage.exists(name) for name in names)


@pytest.mark.django_db(transaction=True)
def test_a_back_up_has_the_photo_and_what_was_traced_in_it(cast: School, tmp_path: Path) -> None:
    _photo, names = stored(cast)
    back_up(file=tmp_path / "all.zip", at=NOW)
    manifest = manifest_of(tmp_path / "all.zip")
    assert manifest.tables["planning.PlanPhoto"].rows == 1
    assert set(names) <= set(manifest.files)
