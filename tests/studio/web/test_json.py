"""What the API reads is JSON in whole characters, and moments that a time zone can move."""

import json
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from rest_framework.exceptions import ValidationError

from studio.web.api_fields import MomentField
from tests.cast import School, signed_in


def posted(client: Client, body: bytes) -> tuple[int, str]:
    answer = client.post(reverse("api_places"), body, content_type="application/json")
    return answer.status_code, answer.json().get("detail", "")


@pytest.mark.django_db
@pytest.mark.parametrize(
    "body",
    [
        # RFC 8259, section 8.2: an unpaired surrogate has no meaning in UTF-8.
        b'{"name": "Shelf", "kind": "\\ud800"}',
        b'{"name": "\\udc00 shelf", "kind": "shelf"}',
        b'{"name": "Shelf", "kind": "shelf", "\\ud800": 1}',
        b'{"name": "Shelf", "kind": "\xed\xa0\x80"}',
    ],
)
def test_half_a_character_is_refused(body: bytes, cast: School) -> None:
    status, said = posted(signed_in(cast.teacher), body)
    assert status == 400
    assert "cut in two" in said


@pytest.mark.django_db
def test_characters_beyond_the_first_plane_are_taken(cast: School) -> None:
    sent = json.dumps({"name": "Shelf \N{AMPHORA}", "kind": "shelf"})  # a surrogate pair in ASCII
    assert "\\ud83c" in sent
    assert posted(signed_in(cast.teacher), sent.encode())[0] == 201


@pytest.mark.parametrize(
    ("zone", "sent"),
    [("Europe/Amsterdam", "0001-01-01T00:00"), ("America/New_York", "9999-12-31T23:59")],
)
def test_a_moment_at_the_edge_of_the_calendar_is_refused(zone: str, sent: str) -> None:
    with timezone.override(ZoneInfo(zone)), pytest.raises(ValidationError, match="out of range"):
        MomentField().run_validation(sent)
