"""Looks where boxes on the photo of a sheet are cut in two.

Runs as a process of its own, `python -m planning.photos.halving_child SOURCE`, on an open file
given by its number; the boxes, x, y, width, height in pixels, come as JSON on standard input.
Answers one line of JSON. No Django, so that it starts fast.
"""

import sys
from collections.abc import Sequence
from typing import IO, Any

import numpy as np

from planning.splitting.boxes import Box
from planning.splitting.halving import halved

from .opening import opened
from .sheet_child import OPENED_PX
from .telling import tell_of_photo, within_memory


def in_halves(source: IO[bytes], boxes: Sequence[Box]) -> dict[str, Any]:
    """What `planning.splitting.halving` says of boxes in the pixels of a stored picture; raises
    NotTaken."""
    photo = opened(source, OPENED_PX)
    with within_memory():
        return {"halves": halved(np.asarray(photo.image.convert("L")), boxes, photo.shrink)}


def main(arguments: list[str]) -> None:
    tell_of_photo(arguments, in_halves)


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
