"""The compute API of distinct ideas, over drawings whose ideas are known."""

from collections.abc import Sequence
from datetime import timedelta
from functools import cache
from typing import Any

import cv2
import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from planning.api import compute_exploration
from planning.api.compute_exploration import ExplorationCompute
from studio.people.models import ApiToken
from studio.people.tokens import make_token
from studio.uploads import kinds
from studio.uploads.reading import Unreadable
from tests.cast import School
from tests.planning.api.computing import busy
from tests.planning.exploration.drawn import Way, drawn
from tests.planning.exploration.ideas import UNSEEN, idea, redrawn
from tests.studio.uploads import files

ADDRESS = "/api/compute/exploration/"


@cache
def picture(form: int, time: int) -> bytes:
    """A made-up form, drawn some time or other, as PNG."""
    rng = np.random.default_rng((form, time))
    way = Way(tool=("pencil", "pen")[time % 2], turn_deg=float(rng.normal(0, 3)))
    gray = drawn(redrawn(idea(form, UNSEEN), rng, 0.7), way, rng)
    return cv2.imencode(".png", gray)[1].tobytes()


def post(client: Client, pictures: Sequence[bytes]) -> Any:
    return client.post(
        ADDRESS, {"drawings": [SimpleUploadedFile("drawing.png", each) for each in pictures]}
    )


def errors(response: Any) -> list[dict[str, str]]:
    assert response["Content-Type"] == "application/problem+json"
    told: list[dict[str, str]] = response.json()["errors"]
    return told


def test_drawings_are_grouped_by_idea_copies_set_aside_and_what_is_no_drawing_told(
    client_of_nobody: Client,
) -> None:
    sent = [
        picture(11, 0),
        picture(12, 0),
        b"GIF89a",
        picture(11, 1),
        picture(11, 0),
        files.saved(np_paper(), "PNG"),
        b"",
    ]
    answer = post(client_of_nobody, sent).json()
    assert answer["count"] == 7
    assert answer["readable"] == [0, 1, 3, 4]
    assert answer["groups"] == [[0, 3], [1]]
    assert answer["copies"] == [[0, 4]]
    assert answer["distinct"] == pytest.approx(2, abs=0.2)
    assert answer["distinct_low"] <= answer["distinct"] <= answer["distinct_high"]
    assert [each["index"] for each in answer["unreadable"]] == [2, 5, 6]
    assert [each["reason_code"] for each in answer["unreadable"]] == [
        "kind",
        "nothing_drawn",
        "empty",
    ]
    assert answer["unreadable"][1]["reason"].startswith("No drawing is found in this picture.")
    similarity = np.array(answer["similarity"])
    assert similarity.shape == (4, 4)
    assert np.diag(similarity) == pytest.approx(np.ones(4))
    assert similarity == pytest.approx(similarity.T)
    values = np.linalg.eigvalsh(similarity / 4)
    assert values.min() > -1e-9
    values = values[values > 0]
    # Friedman and Dieng 2022, The Vendi Score, definition 3.1.
    assert answer["vendi"] == pytest.approx(np.exp(-(values * np.log(values)).sum()), abs=1e-6)


def np_paper() -> Any:
    """A photo of blank paper."""
    return files.quarters(900, 700).resize((1, 1)).resize((900, 700))


def test_a_drawing_as_heic_or_pdf_is_read_as_any_other(client_of_nobody: Client) -> None:
    answer = post(client_of_nobody, [files.HEIC.read_bytes(), files.pdf(1), files.pdf(2)]).json()
    assert answer["readable"] == [0]
    assert answer["distinct"] == pytest.approx(1)
    assert [each["reason_code"] for each in answer["unreadable"]][1] == "pdf_pages"


def test_nothing_that_can_be_read_is_no_idea(client_of_nobody: Client) -> None:
    large = b"\xff\xd8\xff" + bytes(kinds.MAX_BYTES)
    answer = post(client_of_nobody, [large, files.png_bomb(30_000, 30_000)]).json()
    assert (answer["distinct"], answer["vendi"], answer["groups"]) == (0, 0, [])
    assert [each["reason_code"] for each in answer["unreadable"]] == [
        "too_large",
        "too_many_pixels",
    ]


def test_no_drawing_and_more_than_sixty_are_refused(client_of_nobody: Client) -> None:
    response = post(client_of_nobody, [])
    assert response.status_code == 400
    assert {each["field"] for each in errors(response)} == {"drawings"}
    response = post(client_of_nobody, [b"GIF89a"] * 61)
    assert response.status_code == 400
    assert errors(response)[0]["field"].startswith("drawings")
    assert errors(response)[0]["detail"] == "Send at most sixty pictures at once."
    response = client_of_nobody.post(ADDRESS, {"drawings": "text"})
    assert response.status_code == 400


def test_pictures_that_are_too_heavy_together_are_refused_together(
    client_of_nobody: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_files: object) -> None:
        raise Unreadable("too_heavy", {})

    monkeypatch.setattr(compute_exploration, "ideas_of_photos", fail)
    response = post(client_of_nobody, [picture(11, 0)])
    assert response.status_code == 422
    assert "Send fewer at once" in errors(response)[0]["detail"]
    assert errors(response)[0]["field"] == "drawings"


def test_whoever_has_one_under_way_or_finds_it_full_is_told_to_wait(
    client_of_nobody: Client, cast: School
) -> None:
    for people in ([cast.nobody.pk], [cast.student.pk, cast.teacher.pk]):
        with busy(ExplorationCompute.slots, people):
            response = post(client_of_nobody, [b"GIF89a"])
        assert response.status_code == 503
        assert response["Retry-After"] == "1"
    assert post(client_of_nobody, [b"GIF89a"]).status_code == 200


def test_a_token_that_may_only_read_may_ask_and_whoever_is_signed_out_may_not(
    client: Client, cast: School
) -> None:
    assert post(client, [b"GIF89a"]).status_code == 401
    now = timezone.now()
    _token, secret = make_token(
        person=cast.teacher,
        name="Reader",
        scope=ApiToken.Scope.READ,
        ends_at=now + timedelta(days=1),
        at=now,
    )
    program = Client(headers={"authorization": f"Token {secret}"})
    assert post(program, [b"GIF89a"]).status_code == 200


def test_only_a_form_with_files_is_read(client_of_nobody: Client) -> None:
    response = client_of_nobody.post(ADDRESS, "{}", content_type="application/json")
    assert response.status_code == 415
