"""Cuts drawings out of the photo of a sheet.

Runs as a process of its own, `python -m planning.photos.cut_child SOURCE FULL SMALL …`, on open
files given by their numbers, one FULL and one SMALL for each box; the boxes, x, y, width, height in
pixels, come as JSON on standard input. Answers one line of JSON. No Django, so that it starts fast.
"""

import sys
from collections.abc import Sequence
from typing import IO, Any, Final

import numpy as np
from PIL import Image

from studio.uploads.decode import FULL_PX, picture, write_both

from .telling import Pictures, tell_of_pictures, within_memory

MOUNT: Final = 0.1
"""Of a box's longer side: so much paper is laid around it. A line that touches the edge of a
picture reads as cut off, and neighbours and notes that reach into a box do so too."""


def cut(source: IO[bytes], boxes: Sequence[Sequence[int]], into: Pictures) -> dict[str, Any]:
    """Write each box of the picture in `source` as JPEG, full and small; raises NotTaken."""
    image, _, _ = picture(source, FULL_PX)
    sizes = []
    with within_memory():
        for (x, y, wide, high), (full, small) in zip(boxes, into, strict=True):
            mounted = _mounted(image.crop((x, y, x + wide, y + high)))
            write_both(mounted, full, small)
            sizes.append(mounted.size)
    return {"sizes": sizes}


def _mounted(drawing: Image.Image) -> Image.Image:
    """On paper of the colour that most of its edge has."""
    pixels = np.asarray(drawing)
    edge = np.concatenate((pixels[0], pixels[-1], pixels[:, 0], pixels[:, -1]))
    red, green, blue = (round(float(k)) for k in np.median(edge, axis=0))
    room = round(MOUNT * max(drawing.size))
    size = (drawing.width + 2 * room, drawing.height + 2 * room)
    paper = Image.new("RGB", size, (red, green, blue))
    paper.paste(drawing, (room, room))
    return paper


def main(arguments: list[str]) -> None:
    tell_of_pictures(arguments, cut)


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
