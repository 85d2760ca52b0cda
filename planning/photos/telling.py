"""How a process of its own that opens strangers' files tells what came of it. No Django."""

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from planning.tracing.opencv import cv2
from studio.uploads.decode import NotTaken


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
