"""How a process of its own that opens strangers' files tells what came of it. No Django."""

import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from typing import IO, Any

from planning.tracing.opencv import cv2
from studio.uploads.decode import NotTaken, hold_limits

Pictures = Sequence[tuple[IO[bytes], IO[bytes]]]
"""Open files for pictures that are written, full and small."""


@contextmanager
def within_memory() -> Iterator[None]:
    """What finds no room in the memory that `hold_limits` leaves raises NotTaken("too_heavy")."""
    try:
        yield
    except (MemoryError, cv2.error) as error:
        if isinstance(error, cv2.error) and error.code != cv2.Error.StsNoMem:
            raise
        raise NotTaken("too_heavy") from None


def tell(answer: Callable[[], dict[str, Any]]) -> None:
    """Write an answer, or why there is none, as one line of JSON."""
    try:
        told = answer()
    except NotTaken as reason:
        told = {"refused": reason.code, "values": reason.values}
    sys.stdout.write(json.dumps(told) + "\n")


def tell_of_photo(
    arguments: Sequence[str], made: Callable[[IO[bytes], Any], dict[str, Any]]
) -> None:
    """Tell what was made of one photo: `arguments` is the number of its open file; what is asked of
    it is JSON on standard input."""
    asked = json.load(sys.stdin)
    hold_limits()
    with os.fdopen(int(arguments[0]), "rb") as source:
        tell(lambda: made(source, asked))


def tell_of_pictures(
    arguments: Sequence[str], made: Callable[[IO[bytes], Any, Pictures], dict[str, Any]]
) -> None:
    """Tell what came of a source out of which pictures are made: `arguments` are the numbers of
    its open file and of theirs, SOURCE FULL SMALL …; what is asked of it is JSON on standard input.
    """
    asked = json.load(sys.stdin)
    hold_limits()
    with ExitStack() as stack:
        source, *written = (
            stack.enter_context(os.fdopen(int(number), "wb" if place else "rb"))
            for place, number in enumerate(arguments)
        )
        into = list(zip(written[::2], written[1::2], strict=True))
        tell(lambda: made(source, asked, into))
