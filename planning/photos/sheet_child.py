"""Opens a stranger's photo of a sheet of thumbnails and finds its drawings.

Runs as a process of its own, `python -m planning.photos.sheet_child SOURCE`, on an open file given
by its number, and answers one line of JSON. No Django, so that it starts fast.
"""

import os
import sys
from typing import IO, Any, Final

import numpy as np
from PIL import Image

from planning.splitting.page import WORKING_PX
from planning.splitting.run import answer
from studio.uploads.decode import hold_limits, picture

from .telling import tell, within_memory

OPENED_PX: Final = WORKING_PX
"""The long side to which a file is opened: what is finer would be thrown away."""


def taken_apart(source: IO[bytes]) -> dict[str, Any]:
    """What `planning.splitting.run` answers of a file; raises NotTaken.

    Boxes are in pixels of the picture as it was sent, upright; of a PDF as it is rendered here.
    """
    image, kind, _ = picture(source, OPENED_PX)
    sent = image.size if kind == "pdf" else upright_size(source, image.size)
    shrink = max(image.size) / max(sent)
    with within_memory():
        told = answer(np.asarray(image.convert("L")), shrink)
    # The shorter side was rounded when the picture was opened.
    return {**told, "width": sent[0], "height": sent[1]}


def upright_size(source: IO[bytes], opened: tuple[int, int]) -> tuple[int, int]:
    source.seek(0)
    with Image.open(source) as image:  # its header only
        wide, high = image.size
    on_its_side = (wide > high) != (opened[0] > opened[1]) and wide != high
    return (high, wide) if on_its_side else (wide, high)


def main(arguments: list[str]) -> None:
    hold_limits()
    with os.fdopen(int(arguments[0]), "rb") as source:
        tell(lambda: taken_apart(source))


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
