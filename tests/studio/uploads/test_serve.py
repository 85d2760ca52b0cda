"""A stored image is shown as a picture and can do nothing else."""

import io

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import FileResponse, Http404
from django.http.response import HttpResponseBase
from django.test import RequestFactory
from PIL import Image
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from studio.people.models import User
from studio.uploads.models import StoredImage
from studio.uploads.serve import image_response
from studio.uploads.services import receive_image
from tests.cast import NOW, School
from tests.studio.uploads import files

pytestmark = pytest.mark.django_db


@pytest.fixture
def image(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> StoredImage:
    page = b"<html><script>alert('hello')</script></html>"
    data = files.saved(files.quarters(800, 600), comment=page) + page
    with django_capture_on_commit_callbacks(execute=True):
        image = receive_image(
            studio=cast.studio,
            by=cast.student,
            file=SimpleUploadedFile('x".html', data, "text/html"),
            at=NOW,
        )
    image.refresh_from_db()
    return image


def asked(person: User | AnonymousUser, image: StoredImage, **headers: str) -> HttpResponseBase:
    request = RequestFactory().get("/", headers=headers)
    request.user = person
    return image_response(request, image, "full")


def body(response: HttpResponseBase) -> bytes:
    assert isinstance(response, FileResponse)
    data = b"".join(response)
    response.close()
    return data


def test_a_picture_with_a_page_in_it_is_served_as_a_picture(
    cast: School, image: StoredImage
) -> None:
    response = asked(cast.teacher, image)
    assert response["Content-Type"] == "image/jpeg"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert response["Content-Disposition"] == 'inline; filename="picture.jpg"'
    data = body(response)
    assert b"script" not in data
    assert Image.open(io.BytesIO(data)).size == (800, 600)


def test_the_small_one_is_small(cast: School, image: StoredImage) -> None:
    request = RequestFactory().get("/")
    request.user = cast.teacher
    data = body(image_response(request, image, "small"))
    assert Image.open(io.BytesIO(data)).size == (480, 360)


def test_what_the_browser_has_already_is_not_sent_again(cast: School, image: StoredImage) -> None:
    first = asked(cast.teacher, image)
    first.close()
    again = asked(cast.teacher, image, if_none_match=first["ETag"])
    assert again.status_code == 304
    assert not again.streaming
    assert again["ETag"] == first["ETag"]
    other = asked(cast.teacher, image, if_none_match='"something else"')
    assert other.status_code == 200
    other.close()


@pytest.mark.parametrize("who", ["teacher", "student", "anonymous"])
def test_only_staff_keep_a_copy_and_ask_before_they_use_it(
    cast: School, image: StoredImage, who: str
) -> None:
    people: dict[str, User | AnonymousUser]
    people = {"teacher": cast.teacher, "student": cast.student, "anonymous": AnonymousUser()}
    response = asked(people[who], image)
    response.close()
    kept = response.headers.get("Cache-Control")
    assert kept == (None if who == "student" else "private, no-cache")


def test_an_image_that_is_not_ready_is_not_there(cast: School, settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    image = receive_image(
        studio=cast.studio,
        by=cast.student,
        file=SimpleUploadedFile("pot.jpg", files.photo()),
        at=NOW,
    )
    with pytest.raises(Http404):
        asked(cast.teacher, image)
