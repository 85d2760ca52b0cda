"""Opens a stranger's photo of a drawing and traces it.

Runs as a process of its own, `python -m planning.photos.child SOURCE`, on an open file given by
its number, reads what is asked (`Asked` as JSON) from standard input and answers one line of
JSON. No Django, so that it starts fast.
"""

import json
import os
import sys
from dataclasses import replace
from typing import IO, Any

import numpy as np
from PIL import Image

from planning.tracing.run import Asked, answer
from studio.uploads.decode import hold_limits, picture

from .telling import tell, within_memory


def traced(source: IO[bytes], asked: Asked) -> dict[str, Any]:
    """What `planning.tracing.run` answers of a file; raises NotTaken and BadScale.

    Points are in pixels of the picture as it was sent, upright; of a PDF as it is rendered here.
    """
    image, kind, focal_35mm = picture(source)
    asked = replace(asked, focal_35mm=asked.focal_35mm or focal_35mm)
    shrink = 1.0 if kind == "pdf" else max(image.size) / _long_side(source)
    with within_memory():
        return answer(np.asarray(image.convert("L")), asked, shrink)


def _long_side(source: IO[bytes]) -> int:
    source.seek(0)
    with Image.open(source) as image:  # its header only
        return max(image.size)


def main(arguments: list[str]) -> None:
    hold_limits()
    asked = Asked(**json.load(sys.stdin))
    with os.fdopen(int(arguments[0]), "rb") as source:
        tell(lambda: traced(source, asked))


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
