"""Runs a module of ours in a process of its own, so that a hostile file can only harm that one."""

import json
import logging
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any, Final

logger = logging.getLogger(__name__)
_ROOT: Final = Path(__file__).resolve().parents[2]
_ENVIRONMENT: Final = {
    # No secrets for the child; one arena and one thread keep its address space small.
    "MALLOC_ARENA_MAX": "1",
    "OPENBLAS_NUM_THREADS": "1",
}


def answer_of_child(
    module: str, files: Sequence[IO[bytes]], *, timeout_s: float, asked: object = None
) -> dict[str, Any]:
    """The JSON that `python -m module` prints, given the numbers of open files and, on its
    standard input, what is asked as JSON.

    The module bounds itself (`decode.hold_limits`). One that takes too long, or that a signal
    ends, answers {"refused": "too_heavy", "values": {}}. Raises RuntimeError for a fault of ours.
    """
    handles = [file.fileno() for file in files]
    try:
        done = subprocess.run(  # noqa: S603 -- our own module, and numbers
            [sys.executable, "-m", module, *map(str, handles)],
            cwd=_ROOT,
            env=_ENVIRONMENT,
            input=json.dumps(asked).encode(),
            capture_output=True,
            pass_fds=handles,
            timeout=timeout_s,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return {"refused": "too_heavy", "values": {}}
    if done.returncode < 0:
        # Ended by a signal: its bound on time, or a library that gives up without memory.
        logger.warning("%s ended by signal %d", module, -done.returncode)
        return {"refused": "too_heavy", "values": {}}
    if done.returncode:
        raise RuntimeError(done.stderr.decode(errors="replace"))
    answer: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return answer
