"""Runs `decode` in a process of its own, so that a hostile file can only harm that one."""

import json
import logging
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from .kinds import Kind

logger = logging.getLogger(__name__)
# Beside the bound on processor time that the child sets itself, for one that only waits.
TIMEOUT_SECONDS = 90
_ROOT = Path(__file__).resolve().parents[2]


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
        answer = _answer_of_child(source, full, small)
        if "refused" in answer:
            raise Unreadable(answer["refused"], answer["values"])
        full.seek(0)
        small.seek(0)
        yield Picture(full=full, small=small, **answer)


def _answer_of_child(*files: IO[bytes]) -> dict[str, Any]:
    handles = [file.fileno() for file in files]
    try:
        done = subprocess.run(  # noqa: S603 -- our own module, and numbers
            [sys.executable, "-m", "studio.uploads.decode", *map(str, handles)],
            cwd=_ROOT,
            # No secrets for the child; one arena keeps its address space small.
            env={"MALLOC_ARENA_MAX": "1"},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            pass_fds=handles,
            timeout=TIMEOUT_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return {"refused": "too_heavy", "values": {}}
    if done.returncode < 0:
        # Ended by a signal: its bound on time, or a library that gives up without memory.
        logger.warning("decoding ended by signal %d", -done.returncode)
        return {"refused": "too_heavy", "values": {}}
    if done.returncode:
        raise RuntimeError(done.stderr.decode(errors="replace"))
    answer: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return answer
