"""Why a picture shows no form that can be compared: every code, and what to do."""

from collections.abc import Mapping
from typing import Final

from planning.geometry.said import sentence

MESSAGES: Final[Mapping[str, str]] = {
    "nothing_drawn": sentence(
        "No drawing is found in this picture. Draw with a darker line, or take the photo again "
        "in better light."
    ),
    "too_small": sentence(
        "The drawing is too small in this picture. Go nearer, so that it fills the picture, and "
        "take the photo again."
    ),
    "cut_off": sentence(
        "The drawing runs out of the picture or over the edge of the paper. Keep all of it in the "
        "picture and take the photo again."
    ),
    "open_line": sentence(
        "The outline doesn't close, so that inside and outside can't be told apart. Join its ends "
        "and take the photo again."
    ),
}


class NoForm(Exception):  # noqa: N818 -- says what is wrong with the picture
    """The picture shows no form, for this reason; `code` is one of `MESSAGES`."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code
