"""Opens a stranger's photo of a sheet of thumbnails and finds its drawings.

Runs as a process of its own, `python -m planning.photos.sheet_child SOURCE`, on an open file given
by its number, and answers one line of JSON. No Django, so that it starts fast.
"""

import sys
from typing import IO, Any, Final

import numpy as np

from planning.splitting.page import WORKING_PX
from planning.splitting.run import answer

from .opening import opened
from .telling import tell_of_photo, within_memory

OPENED_PX: Final = WORKING_PX
"""The long side to which a file is opened: what is finer would be thrown away."""


def taken_apart(source: IO[bytes]) -> dict[str, Any]:
    """What `planning.splitting.run` answers of a file; raises NotTaken.

    Boxes are in pixels of the picture as it was sent, upright; of a PDF as it is rendered here.
    """
    photo = opened(source, OPENED_PX)
    with within_memory():
        told = answer(np.asarray(photo.image.convert("L")), photo.shrink)
    # The shorter side was rounded when the picture was opened.
    return {**told, "width": photo.sent[0], "height": photo.sent[1]}


def main(arguments: list[str]) -> None:
    tell_of_photo(arguments, lambda source, _asked: taken_apart(source))


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
