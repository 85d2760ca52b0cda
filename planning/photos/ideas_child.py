"""Opens strangers' photos of drawings and counts the ideas in them.

Runs as a process of its own, `python -m planning.photos.ideas_child SOURCE …`, on open files given
by their numbers, reads from standard input what already speaks against each (a code of
`studio.uploads.refusals`, or an empty string) and answers one line of JSON. No Django, so that it
starts fast.
"""

import json
import os
import sys
from collections.abc import Iterable, Iterator
from typing import IO, Any

import numpy as np

from planning.exploration.reading import OPENED_PX, Unread
from planning.exploration.run import answer
from planning.tracing.arrays import Gray
from studio.uploads.decode import NotTaken, hold_limits, picture

from .telling import tell, within_memory


def ideas(sources: Iterable[IO[bytes]], refused: Iterable[str]) -> dict[str, Any]:
    """What `planning.exploration.run` answers of files; raises NotTaken for all together."""
    with within_memory():
        return answer(_opened(sources, refused))


def _opened(sources: Iterable[IO[bytes]], refused: Iterable[str]) -> Iterator[Gray | Unread]:
    for source, code in zip(sources, refused, strict=True):
        with source:
            if code:
                yield Unread(code, {})
                continue
            try:
                image, _, _ = picture(source, OPENED_PX)
            except NotTaken as reason:
                yield Unread(reason.code, reason.values)
            else:
                yield np.asarray(image.convert("L"))


def main(arguments: list[str]) -> None:
    hold_limits()
    refused = json.load(sys.stdin)
    tell(lambda: ideas((os.fdopen(int(number), "rb") for number in arguments), refused))


if __name__ == "__main__":  # pragma: no cover -- in the child
    main(sys.argv[1:])
