"""Photos of pots."""

import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import SimpleUploadedFile

from studio.errors import Refused
from studio.people.models import AuditEntry
from studio.uploads.models import StoredImage
from studio.ware.models import PotPhoto
from studio.ware.services import add_pot_photo, lose_pots
from tests.cast import NOW, School
from tests.planning.work import photo
from tests.studio.ware.pots import a_pot

pytestmark = pytest.mark.both_databases


def test_a_student_adds_photos_of_their_pot_also_of_a_broken_one(cast: School) -> None:
    pot = a_pot(cast)
    add_pot_photo(pot=pot, occasion="building", file=photo(1), by=cast.student, at=NOW)
    lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
    made = add_pot_photo(pot=pot, occasion="building", file=photo(2), by=cast.student, at=NOW)
    assert (made.pot, made.image.by) == (pot, cast.student)
    assert AuditEntry.objects.filter(action="photo of a pot added").count() == 2


def test_the_same_photo_stays_one_unless_it_could_not_be_read(cast: School) -> None:
    pot = a_pot(cast)
    add_pot_photo(pot=pot, occasion="building", file=photo(1), by=cast.student, at=NOW)
    with pytest.raises(Refused, match="This photo is here already") as refused:
        add_pot_photo(pot=pot, occasion="finished", file=photo(1), by=cast.teacher, at=NOW)
    assert refused.value.problems[0].field == "photos"
    StoredImage.objects.filter(pot_photo__pot=pot).update(
        state=StoredImage.State.REFUSED, refusal_code="broken", full_file="", small_file=""
    )
    add_pot_photo(pot=pot, occasion="finished", file=photo(1), by=cast.teacher, at=NOW)
    assert PotPhoto.objects.count() == 2


def test_what_is_no_photo_or_no_occasion_is_refused(cast: School) -> None:
    pot = a_pot(cast)
    text = SimpleUploadedFile("a.jpg", b"words")
    with pytest.raises(Refused):
        add_pot_photo(pot=pot, occasion="building", file=text, by=cast.student, at=NOW)
    with pytest.raises(Refused, match="Say when the photo was taken"):
        add_pot_photo(pot=pot, occasion="at night", file=photo(), by=cast.student, at=NOW)
    assert not StoredImage.objects.filter(pot_photo__isnull=False).exists()


def test_a_pot_holds_so_many_and_no_more(cast: School, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("studio.ware.services.photos.MOST_PHOTOS", 1)
    pot = a_pot(cast)
    add_pot_photo(pot=pot, occasion="building", file=photo(1), by=cast.student, at=NOW)
    with pytest.raises(Refused, match="holds at most 1 photos"):
        add_pot_photo(pot=pot, occasion="building", file=photo(2), by=cast.student, at=NOW)


def test_nobody_adds_photos_of_a_pot_that_they_don_t_see(cast: School) -> None:
    pot = a_pot(cast)
    for by in (cast.classmate, cast.other_teacher, cast.elsewhere.teacher):
        with pytest.raises(PermissionDenied):
            add_pot_photo(pot=pot, occasion="building", file=photo(1), by=by, at=NOW)
    assert not PotPhoto.objects.exists()
