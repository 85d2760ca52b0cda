"""Opens a photo of a drawing and reads the form that is drawn in it.

Runs as a process of its own, `python -m planning.photos.form_child SOURCE`, on an open file given
by its number, and answers one line of JSON: `form` and `strokes` (`planning.exploration.kept`, in
base 64) or `at`, `code` and `values` of why there is none. No Django, so that it starts fast.
"""

import sys
from base64 import b64encode
from typing import IO, Any

import numpy as np

from planning.exploration.kept import packed
from planning.exploration.reading import OPENED_PX, Unread, read
from studio.uploads.decode import NotTaken, picture

from .telling import tell_of_photo, within_memory


def form_of(source: IO[bytes]) -> dict[str, Any]:
    """What `planning.exploration.reading.read` says of a file."""
    try:
        image, _, _ = picture(source, OPENED_PX)
        with within_memory():
            found = read(np.asarray(image.convert("L")))
    except NotTaken as reason:
        found = Unread(reason.code, reason.values)
    if isinstance(found, Unread):
        return found.told
    return {name: b64encode(packed(getattr(found, name))).decode() for name in ("form", "strokes")}


def main(arguments: list[str]) -> None:
    tell_of_photo(arguments, lambda source, _asked: form_of(source))


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
