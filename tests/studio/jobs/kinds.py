"""Kinds of work for the tests; a worker in a process of its own finds them by their path."""

import os
from collections.abc import Callable
from pathlib import Path

from studio.errors import Refused
from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.work import Work

ran: list[tuple[str, int]] = []
given_up: list[str] = []


def _noted(then: Callable[[Work], None]) -> Callable[[Work], None]:
    def run(work: Work) -> None:
        ran.append((work.job.unique_key, work.attempt))
        then(work)

    return run


def _count(work: Work) -> None:
    work.progress(40, "counting")
    with work.finishing({"subjects": len(work.job.subjects)}):
        pass


def _refuse(_work: Work) -> None:
    raise Refused("There is no clay.")


def _break_off(_work: Work) -> None:
    raise RuntimeError("the wheel came off")


def _leave_open(_work: Work) -> None:
    """Nothing to write down."""


def _wait(work: Work) -> None:
    """Say so, wait on a pipe that nobody opens in a first attempt, then leave one line."""
    folder = Path(os.environ["TEST_FOLDER"])
    _say(f"started {work.attempt} {os.getpid()}")
    if work.attempt == 1 and "stuck" in work.job.unique_key:
        (folder / "pipe").read_bytes()
    with work.finishing({"attempt": work.attempt}), (folder / "finished").open("a") as out:
        out.write(f"{work.job.unique_key} {work.attempt}\n")
    _say(f"finished {work.attempt} {os.getpid()}")


def _say(line: str) -> None:
    os.write(1, f"{line}\n".encode())


COUNT = Kind(run=_noted(_count))
REFUSE = Kind(run=_noted(_refuse))
BREAK_OFF = Kind(run=_noted(_break_off), give_up=lambda job: given_up.append(job.unique_key))
LEAVE_OPEN = Kind(run=_noted(_leave_open))
WAIT = Kind(run=_wait)


def forget(_job: Job | None = None) -> None:
    ran.clear()
    given_up.clear()
