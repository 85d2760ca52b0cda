"""What each reads of a plan over the API."""

import pytest

from planning.services.plans import send_back
from tests.cast import NOW, School, signed_in
from tests.planning.work import a_piece, send

pytestmark = pytest.mark.both_databases


def test_a_technician_does_not_read_what_a_teacher_wrote_to_the_student(cast: School) -> None:
    piece = a_piece(cast)
    note = "The neck is narrower than your hand."
    send_back(plan=send(cast, piece), by=cast.teacher, at=NOW, note=note)
    address = f"/api/pieces/{piece.pk}/plans/"
    read = {
        person: signed_in(person).get(address).json()["results"][0].get("note")
        for person in (cast.teacher, cast.head, cast.student, cast.technician)
    }
    assert read == {cast.teacher: note, cast.head: note, cast.student: note, cast.technician: None}
