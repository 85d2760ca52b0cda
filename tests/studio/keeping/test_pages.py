"""What the page of somebody who was erased still offers."""

import pytest
from django.urls import reverse

from studio.keeping.services import erase_person
from tests.cast import NOW, School, signed_in

pytestmark = pytest.mark.django_db
WAYS = ("Give a new first password", "Erase this person", "Correct the name")


def test_an_erased_student_gets_no_password_and_no_name_again(cast: School) -> None:
    browser, address = signed_in(cast.head), reverse("person", args=[cast.student.pk])
    before = browser.get(address).content.decode()
    assert all(way in before for way in WAYS)
    erase_person(person=cast.student, by=cast.head, at=NOW)
    after = browser.get(address).content.decode()
    assert not any(way in after for way in WAYS)
    assert "student · erased" in after
