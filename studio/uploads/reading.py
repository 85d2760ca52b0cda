"""Runs `decode` in a process of its own, so that a hostile file can only harm that one."""

import tempfile
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from typing import IO, Any

from .child import answer_of_child
from .kinds import Kind

# Beside the bound on processor time that the child sets itself, for one that only waits.
TIMEOUT_SECONDS = 90


class Unreadable(Exception):  # noqa: N818 -- says what the file is
    """The file was not taken; `code` is one of `refusals.CODES`."""

    def __init__(self, code: str, values: dict[str, Any]) -> None:
        super().__init__(code)
        self.code = code
        self.values = values


@dataclass(frozen=True)
class Picture:
    """A picture written anew, pixels upright: two JPEG files that last as long as the block.

    `focal_35mm` is the focal length in mm on a 36 mm wide frame, None if the file didn't say.
    """

    kind: Kind
    width: int
    height: int
    focal_35mm: float | None
    full: IO[bytes]
    small: IO[bytes]


@contextmanager
def picture_read(chunks: Iterable[bytes]) -> Iterator[Picture]:
    """Read a stranger's file; raises `Unreadable` with the reason.

    The files have no name, so a killed worker leaves none of them behind.
    """
    with ExitStack() as stack:
        source, full, small = (stack.enter_context(tempfile.TemporaryFile()) for _ in range(3))
        source.writelines(chunks)
        source.seek(0)
        answer = answer_of_child(
            "studio.uploads.decode", (source, full, small), timeout_s=TIMEOUT_SECONDS
        )
        if "refused" in answer:
            raise Unreadable(answer["refused"], answer["values"])
        full.seek(0)
        small.seek(0)
        yield Picture(full=full, small=small, **answer)
