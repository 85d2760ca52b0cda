"""Opens a stranger's photo of a drawing and traces it.

Runs as a process of its own, `python -m planning.photos.child SOURCE`, on an open file given by
its number, reads what is asked (`Asked` as JSON) from standard input and answers one line of
JSON. No Django, so that it starts fast.
"""

import sys
from dataclasses import replace
from typing import IO, Any

import numpy as np

from planning.tracing.run import Asked, answer

from .opening import opened
from .telling import tell_of_photo, within_memory


def traced(source: IO[bytes], asked: Asked) -> dict[str, Any]:
    """What `planning.tracing.run` answers of a file; raises NotTaken and BadScale.

    Points are in pixels of the picture as it was sent, upright; of a PDF as it is rendered here.
    """
    photo = opened(source)
    asked = replace(asked, focal_35mm=asked.focal_35mm or photo.focal_35mm)
    with within_memory():
        return answer(np.asarray(photo.image.convert("L")), asked, photo.shrink)


def main(arguments: list[str]) -> None:
    tell_of_photo(arguments, lambda source, asked: traced(source, Asked(**asked)))


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
