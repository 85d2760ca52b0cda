"""The compute API of a photographed drawing, over drawings whose measures are known."""

import json
from datetime import timedelta
from functools import cache
from typing import Any

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from planning.api.compute_drawing import DrawingCompute
from studio.people.models import ApiToken
from studio.people.tokens import make_token
from tests.cast import School
from tests.planning.api.computing import busy, fields, no_photo
from tests.planning.tracing.bases import base
from tests.planning.tracing.drawn import Drawn, Sheet, drawn
from tests.planning.tracing.scene import Camera
from tests.studio.uploads import files

ADDRESS = "/api/compute/drawing/"
CARD = {"kind": "card"}
SHEET = Sheet(height_mm=240, widest_mm=70, ruled_mm=8, axis=True)
CAMERA = Camera(3000, tilt_deg=14, towards_deg=70, shadow=0.4)
"""Ruled paper, uneven light, nearly as oblique as a photo may be."""


@cache
def photographed() -> Drawn:
    return drawn(SHEET, CAMERA, 5)


def post(client: Client, photo: bytes | None, scale: Any = None, **more: Any) -> Any:
    body: dict[str, Any] = {**more}
    if photo is not None:
        body["photo"] = SimpleUploadedFile("drawing.jpg", photo)
    if scale is not None:
        body["scale"] = scale if isinstance(scale, str) else json.dumps(scale)
    return client.post(ADDRESS, body)


def missed(answer: dict[str, Any], truth: Drawn) -> np.ndarray[Any, np.dtype[Any]]:
    """How far both half-widths are off at each height line, in mm."""
    rows = answer["profile"]
    heights = np.minimum([row["height_mm"] for row in rows], truth.height_mm)
    left = np.array([row["left_mm"] for row in rows]) - truth.left(heights)
    right = np.array([row["right_mm"] for row in rows]) - truth.right(heights)
    return np.concatenate((left, right))


def tapped(truth: Drawn, *places: tuple[float, float]) -> dict[str, Any]:
    """Points whose places are mm right of the axis and above the table, tapped to the pixel."""
    paper = np.array(places)
    seen = truth.photo.seen(paper * (1, -1) + truth.axis_and_table)
    return {"kind": "points", "image": np.round(seen).tolist(), "paper_mm": paper.tolist()}


def test_a_drawing_is_read_by_its_card_to_half_a_millimetre(client_of_nobody: Client) -> None:
    """RMS under 0.5 mm, the worst under 1.5 mm, the height within 1 mm."""
    truth = photographed()
    answer = post(client_of_nobody, truth.photo.jpeg, CARD).json()
    assert (answer["trusted"], answer["reason"], answer["rough"]) == (True, None, False)
    off = missed(answer, truth)
    assert np.sqrt(np.mean(off**2)) < 0.5
    assert np.abs(off).max() < 1.5
    assert answer["profile"][0]["height_mm"] == 0
    assert answer["profile"][-1]["height_mm"] == pytest.approx(240, abs=1)
    heights = np.arange(0, 241, 20)
    apart = float(np.abs(truth.left(heights) - truth.right(heights)).max())
    assert answer["asymmetry_mm"] == pytest.approx(apart, abs=1)
    assert (answer["spacing_mm"], answer["shows"], answer["points"]) == (20, "whole", [])


def test_the_ends_of_two_height_lines_do_instead_of_a_card(client_of_nobody: Client) -> None:
    truth = photographed()
    scale = tapped(truth, (-60, 0), (60, 0), (60, 200), (-60, 200))
    answer = post(client_of_nobody, truth.photo.jpeg, scale, spacing_mm="20", shows="whole").json()
    assert (answer["trusted"], answer["rough"]) == (True, False)
    off = missed(answer, truth)
    assert np.sqrt(np.mean(off**2)) < 0.5
    assert np.abs(off).max() < 1.5


def test_two_points_do_and_are_called_rough(client_of_nobody: Client) -> None:
    truth = photographed()
    scale = tapped(truth, (0, 0), (0, 200))
    answer = post(client_of_nobody, truth.photo.jpeg, scale, spacing_mm=20).json()
    assert (answer["trusted"], answer["rough"]) == (True, True)
    # Common practice, no source: a rough measure is good to a couple of millimetres.
    assert np.abs(missed(answer, truth)).max() < 3


def test_a_base_is_answered_as_the_points_of_an_outline(client_of_nobody: Client) -> None:
    truth = base("leaf", Camera(1800), 3)
    answer = post(client_of_nobody, truth.photo.jpeg, CARD, what="outline").json()
    assert answer["trusted"]
    # The lens of `bases`: 120 mm from tip to tip, half as deep.
    assert np.ptp(np.array(answer["points"]), axis=0) == pytest.approx((120, 60), abs=1)
    assert answer["profile"] == []


@pytest.mark.parametrize(
    "photo",
    [files.HEIC.read_bytes(), files.saved(files.quarters(900, 700), "PNG"), files.pdf(1)],
    ids=["heic", "png", "pdf"],
)
def test_a_photo_without_a_card_says_so_and_gives_no_numbers(
    client_of_nobody: Client, photo: bytes
) -> None:
    answer = post(client_of_nobody, photo, CARD).json()
    assert answer["trusted"] is False
    assert answer["reason_code"] in ("no_card", "too_small")
    assert answer["reason"].endswith("take the photo again.")
    assert (answer["profile"], answer["asymmetry_mm"]) == ([], None)


@pytest.mark.parametrize(
    ("scale", "field", "words"),
    [
        (None, "scale", "required"),
        ("card", "scale", "can't be read as JSON"),
        ("[" * 20_000, "scale", "can't be read as JSON"),
        ("[]", "scale", 'Send {"kind": "card"}'),
        ({"kind": "ruler"}, "scale.kind", "The kind of a scale is"),
        ({"kind": "points"}, "scale.image", "Give two or four points."),
        (
            {"kind": "points", "image": [[0, 0], [0, "1"]], "paper_mm": [[0, 0], [0, 9]]},
            "scale.image.1",
            "A point is two ordinary numbers.",
        ),
        (
            {"kind": "points", "image": [[0, 0], [0, 10**400]], "paper_mm": [[0, 0], [0, 9]]},
            "scale.image.1",
            "A point is two ordinary numbers.",
        ),
        (
            {"kind": "points", "image": [[0, 0], [0, 1]], "paper_mm": [[0, 0]] * 4},
            "scale.paper_mm",
            "Give as many places on paper",
        ),
    ],
)
def test_a_bad_scale_is_told_at_its_field(
    client_of_nobody: Client, scale: Any, field: str, words: str
) -> None:
    response = post(client_of_nobody, files.photo(), scale)
    assert response.status_code == 400
    assert words in fields(response)[field]


def test_every_other_field_that_is_wrong_is_told_at_once(client_of_nobody: Client) -> None:
    response = post(client_of_nobody, None, CARD, what="cup", spacing_mm="nan", shows="most")
    assert response.status_code == 400
    assert set(fields(response)) == {"photo", "what", "spacing_mm", "shows"}
    for spacing in ("0", "1e9", "-20", "inf", "wide"):
        assert set(fields(post(client_of_nobody, None, CARD, spacing_mm=spacing))) == {
            "photo",
            "spacing_mm",
        }
    response = client_of_nobody.post(ADDRESS, {"photo": "text", "scale": json.dumps(CARD)})
    assert set(fields(response)) == {"photo"}


@no_photo
def test_what_is_no_photo_is_refused_at_its_field(
    client_of_nobody: Client, photo: bytes, words: str
) -> None:
    response = post(client_of_nobody, photo, CARD)
    assert response.status_code == 422
    assert fields(response)["photo"].startswith(words)


def test_points_that_span_nothing_are_not_trusted(client_of_nobody: Client) -> None:
    same = {"kind": "points", "image": [[5, 5]] * 4, "paper_mm": [[0, 0], [0, 9], [9, 9], [9, 0]]}
    photo = files.saved(files.quarters(900, 700), "PNG")
    answer = post(client_of_nobody, photo, same).json()
    assert (answer["trusted"], answer["reason_code"]) == (False, "points_dont_fit")
    assert answer["points_homography"] is None


def test_whoever_has_two_under_way_or_finds_it_full_is_told_to_wait(
    client_of_nobody: Client, cast: School
) -> None:
    for people in ([cast.nobody.pk] * 2, [cast.student.pk, cast.student.pk, cast.teacher.pk]):
        with busy(DrawingCompute.slots, people):
            response = post(client_of_nobody, files.photo(), CARD)
        assert response.status_code == 503
        assert response["Retry-After"] == "1"
        assert response.json()["detail"].startswith("Too much is being computed at once.")
    assert post(client_of_nobody, files.photo(), CARD).status_code == 200


def test_a_token_that_may_only_read_may_ask_and_whoever_is_signed_out_may_not(
    client: Client, cast: School
) -> None:
    assert post(client, files.photo(), CARD).status_code == 401
    now = timezone.now()
    _token, secret = make_token(
        person=cast.teacher,
        name="Reader",
        scope=ApiToken.Scope.READ,
        ends_at=now + timedelta(days=1),
        at=now,
    )
    program = Client(headers={"authorization": f"Token {secret}"})
    assert post(program, files.photo(), CARD).status_code == 200


def test_only_a_form_with_a_file_is_read(client_of_nobody: Client) -> None:
    response = client_of_nobody.post(ADDRESS, "{}", content_type="application/json")
    assert response.status_code == 415
