"""Workers are processes, and any of them may be killed at any moment."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from django.conf import settings as django_settings
from django.db import connection
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from studio.jobs.models import Job
from studio.jobs.services import sweep_jobs
from studio.jobs.work import LEASE
from tests.cast import NOW
from tests.studio.jobs.conftest import Ask

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.both_databases,
    pytest.mark.usefixtures("queued"),
]
WORKER = ["-m", "studio.jobs.worker"]
WORK = ["manage.py", "work", "--skip-checks", "--workers", "2"]


def _address() -> str:
    """DATABASE_URL of the database that this test runs on."""
    at = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{at['NAME']}"
    who = f"{at['USER']}:{at['PASSWORD']}@" if at["USER"] else ""
    return f"postgres://{who}{at['HOST'].replace('/', '%2F')}:{at['PORT']}/{at['NAME']}"


@contextmanager
def started(
    arguments: list[str], folder: Path, tasks: str = "database"
) -> Iterator[subprocess.Popen[str]]:
    """A process of ours on this database; its lines on stdout are what the jobs say."""
    complaints = (folder / "complaints").open("w+")
    process = subprocess.Popen(
        [sys.executable, *arguments],
        cwd=django_settings.BASE_DIR,
        env={
            **os.environ,
            "DATABASE_URL": _address(),
            "DJANGO_SETTINGS_MODULE": "tests.studio.jobs.worker_settings",
            "TASKS": tasks,
            "TEST_FOLDER": str(folder),
        },
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=complaints,
        text=True,
    )
    with complaints, process:
        try:
            yield process
        finally:
            process.kill()
            complaints.seek(0)
            sys.stderr.write(complaints.read())  # shown where a test fails


def said(process: subprocess.Popen[str]) -> list[str]:
    """The next line, in words; it waits for as long as that takes."""
    assert process.stdout is not None
    return process.stdout.readline().split()


def silent_at_last(process: subprocess.Popen[str]) -> bool:
    """Whether nobody is left who could say something: the pipe closes with its last holder."""
    assert process.stdout is not None
    return process.stdout.read() == ""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    os.mkfifo(tmp_path / "pipe")
    return tmp_path


def test_a_job_whose_worker_was_killed_is_finished_once_and_only_once(
    ask: Ask, folder: Path
) -> None:
    job = ask("wait", "stuck", datetime.now(UTC))
    with started(WORKER, folder) as worker:
        assert said(worker)[:2] == ["started", "1"]
        worker.kill()
        worker.wait()
    job.refresh_from_db()
    assert (job.state, job.attempt) == (Job.State.RUNNING, 1)
    # The queue's own row stays as it is for ever, which is why there is a sweep.
    assert DBTaskResult.objects.get().status == TaskResultStatus.RUNNING
    assert sweep_jobs(at=datetime.now(UTC)) == 0
    overdue = datetime.now(UTC) + LEASE + timedelta(seconds=1)
    assert sweep_jobs(at=overdue) == 1
    assert sweep_jobs(at=overdue) == 0
    with started(WORKER, folder) as worker:
        assert said(worker)[:2] == ["started", "2"]
        assert said(worker)[:2] == ["finished", "2"]
        assert worker.stdin is not None
        worker.stdin.close()
        assert worker.wait() == 0
    job.refresh_from_db()
    assert (job.state, job.result) == (Job.State.DONE, {"attempt": 2})
    assert sweep_jobs(at=overdue + timedelta(days=1)) == 0
    assert (folder / "finished").read_text() == "stuck 2\n"


def test_the_work_command_replaces_a_killed_worker_and_ends_cleanly(ask: Ask, folder: Path) -> None:
    now = datetime.now(UTC)
    with started(WORK, folder) as work:
        ask("wait", "stuck", now)
        _, _, first = said(work)
        ask("wait", "stuck too", now)
        _, _, second = said(work)
        assert first != second
        os.kill(int(first), signal.SIGKILL)
        # The other one is stuck, so whoever answers now is new.
        ask("wait", "easy", now)
        started_line, finished_line = said(work), said(work)
        assert started_line[0] == "started"
        assert finished_line[0] == "finished"
        assert started_line[2] not in {first, second}
        os.kill(int(second), signal.SIGKILL)
        work.send_signal(signal.SIGTERM)
        assert work.wait() == 0
        assert silent_at_last(work)


def test_workers_end_with_a_work_command_that_was_killed(ask: Ask, folder: Path) -> None:
    with started(WORK, folder) as work:
        ask("wait", "easy", datetime.now(UTC))
        assert said(work)[0] == "started"
        assert said(work)[0] == "finished"
        work.kill()
        work.wait()
        assert silent_at_last(work)


def test_a_worker_that_is_told_to_stop_ends_without_a_word(ask: Ask, folder: Path) -> None:
    ask("wait", "easy", datetime.now(UTC))
    with started(WORKER, folder) as worker:
        assert said(worker)[0] == "started"
        assert said(worker)[0] == "finished"
        worker.terminate()
        assert worker.wait() == 0
    complaints = (folder / "complaints").read_text()
    assert "Traceback" not in complaints
    assert "Fatal" not in complaints


def test_what_was_lost_before_a_queue_without_workers_ran_it_is_done_by_the_sweep(
    ask: Ask, folder: Path
) -> None:
    """Its process died between the commit and the run."""
    job = ask("wait", "easy", NOW)
    DBTaskResult.objects.all().delete()
    with started(WORK, folder, tasks="immediate") as work:
        assert said(work)[:2] == ["started", "1"]
        assert said(work)[:2] == ["finished", "1"]
        work.send_signal(signal.SIGTERM)
        assert work.wait() == 0
    job.refresh_from_db()
    assert job.state == Job.State.DONE


def test_work_asks_for_a_sensible_number_of_workers(folder: Path) -> None:
    with started(["manage.py", "work", "--workers", "0"], folder) as work:
        assert work.wait() == 2
    complaints = (folder / "complaints").read_text()
    assert complaints.endswith("argument --workers: Ask for 1 to 64 workers.\n")
