"""Looks where boxes on the photo of a sheet are cut in two.

Runs as a process of its own, `python -m planning.photos.halving_child SOURCE`, on an open file
given by its number; the boxes, x, y, width, height in pixels, come as JSON on standard input.
Answers one line of JSON. No Django, so that it starts fast.
"""

import json
import os
import sys
from collections.abc import Sequence
from typing import IO, Any

import numpy as np

from planning.splitting.boxes import Box
from planning.splitting.halving import halved
from studio.uploads.decode import hold_limits, picture

from .sheet_child import OPENED_PX, upright_size
from .telling import tell, within_memory


def in_halves(source: IO[bytes], boxes: Sequence[Box]) -> dict[str, Any]:
    """What `planning.splitting.halving` says of boxes in the pixels of a stored picture; raises
    NotTaken."""
    image, _, _ = picture(source, OPENED_PX)
    shrink = max(image.size) / max(upright_size(source, image.size))
    with within_memory():
        return {"halves": halved(np.asarray(image.convert("L")), boxes, shrink)}


def main(arguments: list[str]) -> None:
    boxes = json.load(sys.stdin)
    hold_limits()
    with os.fdopen(int(arguments[0]), "rb") as source:
        tell(lambda: in_halves(source, boxes))


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
