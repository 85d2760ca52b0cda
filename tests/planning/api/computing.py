"""What the tests of the compute calls have in common."""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from typing import Any
from uuid import UUID

import pytest

from studio.uploads import kinds
from studio.web.slots import Slots
from tests.studio.uploads import files

no_photo = pytest.mark.parametrize(
    ("photo", "words"),
    [
        (b"", "This file is empty."),
        (b"GIF89a", "This is not a picture that can be used here."),
        (b"\xff\xd8\xff" + bytes(kinds.MAX_BYTES), "This file is larger than 40 MB."),
        (files.photo()[:5000], "This file is damaged or incomplete."),
        (files.png_bomb(30_000, 30_000), "This picture has more than 60 megapixels."),
        (files.pdf(3), "This PDF has 3 pages"),
    ],
    ids=["empty", "gif", "too large", "cut off", "bomb", "pages"],
)
"""Files that no call takes as a photo, and how its refusal begins."""


def fields(response: Any) -> dict[str, str]:
    """Of a problem document (RFC 9457), what is said of each field."""
    assert response["Content-Type"] == "application/problem+json"
    return {each["field"]: each["detail"] for each in response.json()["errors"]}


@contextmanager
def busy(slots: Slots, people: Sequence[UUID]) -> Iterator[None]:
    """As if these had something under way."""
    with ExitStack() as stack:
        for person in people:
            stack.enter_context(slots.taken_by(person))
        yield
