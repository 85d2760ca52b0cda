"""The compute API of a photographed sheet, over sheets whose drawings are known."""

from datetime import timedelta
from functools import cache
from typing import Any

import cv2
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from planning.api.compute_sheet import SheetCompute
from studio.people.models import ApiToken
from studio.people.tokens import make_token
from tests.cast import School
from tests.planning.api.computing import busy, fields, no_photo
from tests.planning.splitting.counting import SAME, boxes_of, overlap
from tests.planning.splitting.sheets import Sheet, sheet
from tests.studio.uploads import files

ADDRESS = "/api/compute/sheet/"


@cache
def photographed() -> Sheet:
    return sheet(3, "ruled", count=6)


def post(client: Client, photo: bytes | None) -> Any:
    body = {} if photo is None else {"sheet": SimpleUploadedFile("sheet.jpg", photo)}
    return client.post(ADDRESS, body)


def test_the_drawings_on_a_sheet_are_boxed_in_the_order_of_reading(
    client_of_nobody: Client,
) -> None:
    truth = photographed()
    answer = post(client_of_nobody, cv2.imencode(".jpg", truth.picture)[1].tobytes()).json()
    assert (answer["height"], answer["width"]) == truth.picture.shape
    found = boxes_of(answer)
    assert len(found) == len(truth.boxes) == 6
    assert overlap(truth.boxes, found).diagonal().min() > SAME


@pytest.mark.parametrize(
    "photo",
    [files.HEIC.read_bytes(), files.saved(files.quarters(900, 700), "PNG"), files.pdf(1)],
    ids=["heic", "png", "pdf"],
)
def test_any_picture_is_taken_and_where_nothing_is_drawn_there_is_no_box(
    client_of_nobody: Client, photo: bytes
) -> None:
    answer = post(client_of_nobody, photo)
    assert answer.status_code == 200
    assert len(answer.json()["drawings"]) == (photo == files.HEIC.read_bytes())


@no_photo
def test_what_is_no_photo_is_refused_at_its_field(
    client_of_nobody: Client, photo: bytes, words: str
) -> None:
    response = post(client_of_nobody, photo)
    assert response.status_code == 422
    assert fields(response)["sheet"].startswith(words)


def test_a_missing_sheet_is_told_at_its_field(client_of_nobody: Client) -> None:
    response = post(client_of_nobody, None)
    assert response.status_code == 400
    assert set(fields(response)) == {"sheet"}
    response = client_of_nobody.post(ADDRESS, {"sheet": "text"})
    assert response.status_code == 400
    assert set(fields(response)) == {"sheet"}


def test_whoever_has_two_under_way_or_finds_it_full_is_told_to_wait(
    client_of_nobody: Client, cast: School
) -> None:
    for people in ([cast.nobody.pk] * 2, [cast.student.pk, cast.student.pk, cast.teacher.pk]):
        with busy(SheetCompute.slots, people):
            response = post(client_of_nobody, files.photo())
        assert response.status_code == 503
        assert response["Retry-After"] == "1"
        assert response.json()["detail"].startswith("Too much is being computed at once.")
    assert post(client_of_nobody, files.photo()).status_code == 200


def test_a_token_that_may_only_read_may_ask_and_whoever_is_signed_out_may_not(
    client: Client, cast: School
) -> None:
    assert post(client, files.photo()).status_code == 401
    now = timezone.now()
    _token, secret = make_token(
        person=cast.teacher,
        name="Reader",
        scope=ApiToken.Scope.READ,
        ends_at=now + timedelta(days=1),
        at=now,
    )
    program = Client(headers={"authorization": f"Token {secret}"})
    assert post(program, files.photo()).status_code == 200


def test_only_a_form_with_a_file_is_read(client_of_nobody: Client) -> None:
    response = client_of_nobody.post(ADDRESS, "{}", content_type="application/json")
    assert response.status_code == 415
