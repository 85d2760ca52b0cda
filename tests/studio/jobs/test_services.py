"""What is asked for is done once, or its refusal says why."""

import threading
import uuid
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import IntegrityError, connection, connections, transaction
from django.test.utils import CaptureQueriesContext
from django.utils import translation
from django_tasks_db.models import DBTaskResult
from pytest_django import DjangoCaptureOnCommitCallbacks

from studio.jobs.models import Job
from studio.jobs.services import ask_for, clear_finished_jobs, sweep_jobs
from studio.jobs.tasks import run_job
from studio.jobs.work import LEASE, RESULT_KEPT, claimed
from tests.cast import NOW, School
from tests.studio.jobs import kinds
from tests.studio.jobs.conftest import Ask

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
LATER = timedelta(seconds=1)


def run_queue() -> None:
    """What one worker does until the queue is empty."""
    while task := DBTaskResult.objects.ready().first():
        task.claim("a worker")
        run_job.call(*task.args_kwargs["args"])
        task.set_successful(None)


def test_a_job_commits_with_what_asks_for_it(ask: Ask, queued: None) -> None:
    with transaction.atomic():
        ask("count")
        transaction.set_rollback(True)
    assert not Job.objects.exists()
    assert not DBTaskResult.objects.exists()


def test_a_job_on_the_queue_remembers_who_asked_what(ask: Ask, cast: School, queued: None) -> None:
    with translation.override("fr"):
        job = ask("count")
    job.refresh_from_db()
    assert (job.studio, job.by, job.kind, job.language) == (
        cast.studio, cast.student, "count", "fr",
    )  # fmt: skip
    assert (job.state, job.attempt, job.progress) == (Job.State.WAITING, 0, 0)
    assert DBTaskResult.objects.get().pk == job.queue_id


def test_without_a_language_the_service_s_own_is_kept(ask: Ask, queued: None) -> None:
    with translation.override(None):
        assert ask("count").language == "en"


def test_a_queue_that_runs_at_once_waits_for_the_commit(
    ask: Ask, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    with django_capture_on_commit_callbacks() as callbacks:
        job = ask("count")
    assert kinds.ran == []
    for callback in callbacks:
        callback()
    job.refresh_from_db()
    assert (job.state, job.result) == (Job.State.DONE, {"subjects": 1})


def test_asking_twice_while_one_is_open_gives_the_same_job(ask: Ask, queued: None) -> None:
    first = ask("count")
    assert ask("count") == first
    assert ask("count", "another") != first
    assert ask("leave_open") != first
    run_queue()
    assert ask("count") != first
    assert kinds.ran.count(("once", 1)) == 2


def test_the_same_key_in_another_studio_is_another_job(
    ask: Ask, cast: School, queued: None
) -> None:
    there = ask_for(
        kind="count",
        studio=cast.elsewhere.studio,
        by=cast.elsewhere.student,
        subjects=[],
        unique_key="once",
        at=NOW,
    )
    assert ask("count") != there


def test_a_second_open_job_is_impossible_in_the_database(ask: Ask, queued: None) -> None:
    job = ask("count")
    job.pk = uuid.uuid4()
    with pytest.raises(IntegrityError), transaction.atomic():
        job.save(force_insert=True)


def test_a_person_sees_their_own_jobs(ask: Ask, cast: School, queued: None) -> None:
    job = ask("count")
    assert Job.objects.visible_to(cast.student).get() == job
    assert not Job.objects.visible_to(cast.classmate).exists()
    assert str(job) == "count waiting"


def test_a_lease_that_holds_is_left_alone(ask: Ask, queued: None) -> None:
    claimed(job_id=str(ask("count").pk))
    assert sweep_jobs(at=datetime.now(UTC)) == 0


def test_a_lost_attempt_is_taken_over_and_the_job_done_once(ask: Ask, queued: None) -> None:
    job = ask("count")
    DBTaskResult.objects.get().claim("a worker that is killed now")
    claimed(job_id=str(job.pk))
    at = datetime.now(UTC) + LEASE + LATER
    assert sweep_jobs(at=at) == 1
    assert sweep_jobs(at=at) == 0
    run_queue()
    job.refresh_from_db()
    assert (job.state, job.attempt) == (Job.State.DONE, 2)
    assert kinds.ran == [("once", 2)]


def test_a_worker_that_died_before_it_claimed_the_job_loses_nothing(ask: Ask, queued: None) -> None:
    ask("count")
    DBTaskResult.objects.get().claim("a worker that is killed now")
    assert sweep_jobs(at=NOW + LEASE - LATER) == 0
    assert sweep_jobs(at=NOW + LEASE + LATER) == 1
    run_queue()
    assert kinds.ran == [("once", 1)]


def test_a_long_queue_is_no_reason_to_ask_again(ask: Ask, queued: None) -> None:
    ask("count")
    assert sweep_jobs(at=NOW + timedelta(hours=5)) == 0
    assert DBTaskResult.objects.count() == 1


def test_after_three_lost_attempts_the_job_says_so(ask: Ask, queued: None) -> None:
    job = ask("break_off")
    for _attempt in range(3):
        claimed(job_id=str(job.pk))
        sweep_jobs(at=datetime.now(UTC) + LEASE + LATER)
    job.refresh_from_db()
    assert job.state == Job.State.REFUSED
    assert job.refusal.startswith("This did not work, though it was tried several times.")
    assert kinds.given_up == ["once"]


def test_a_sweep_that_finds_nothing_only_reads(ask: Ask, queued: None) -> None:
    """On SQLite a write would take the lock that the pages need."""
    ask("count")
    with CaptureQueriesContext(connection) as queries:
        sweep_jobs(at=NOW)
    assert [query["sql"].split()[0] for query in queries] == ["SELECT"]


def test_an_attempt_that_came_back_meanwhile_is_left_alone(
    ask: Ask, queued: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = ask("count")
    claimed(job_id=str(job.pk))
    at = datetime.now(UTC) + LEASE + LATER
    real = Job.objects.adrift

    def seen_then_extended(moment: datetime) -> Any:
        seen = list(real(moment).values_list("pk", flat=True))
        monkeypatch.undo()
        Job.objects.update(lease_until=moment + LEASE)
        return Job.objects.filter(pk__in=seen)

    monkeypatch.setattr(Job.objects, "adrift", seen_then_extended)
    assert sweep_jobs(at=at) == 1
    job.refresh_from_db()
    assert (job.state, job.attempt) == (Job.State.RUNNING, 1)


def test_results_go_when_they_have_expired_and_open_jobs_stay(ask: Ask, queued: None) -> None:
    done, waiting = ask("count", "done"), ask("count", "waiting")
    run_job.call(str(done.pk))
    now = datetime.now(UTC)
    clear_finished_jobs(at=now + RESULT_KEPT - LATER)
    assert Job.objects.count() == 2
    clear_finished_jobs(at=now + RESULT_KEPT + LATER)
    assert Job.objects.get() == waiting


def test_rows_of_the_queue_go_a_day_after_they_started(ask: Ask, queued: None) -> None:
    ask("count", "done")
    run_queue()
    ask("count", "waiting")
    now = datetime.now(UTC)
    clear_finished_jobs(at=now + timedelta(hours=23))
    assert DBTaskResult.objects.count() == 2
    clear_finished_jobs(at=now + timedelta(hours=25))
    assert DBTaskResult.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_many_claimers_one_gets_the_lease(ask: Ask, queued: None) -> None:
    job_id = str(ask("count").pk)
    start = threading.Barrier(4)
    got: list[bool] = []

    def claim() -> None:
        start.wait()
        got.append(claimed(job_id=job_id) is not None)
        connections.close_all()

    threads = [threading.Thread(target=claim) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(got) == [False, False, False, True]
    assert Job.objects.get().attempt == 1


@pytest.mark.django_db(transaction=True)
def test_of_many_who_ask_at_once_all_get_one_job(ask: Ask, queued: None) -> None:
    start = threading.Barrier(4)
    got: list[Job] = []

    def request() -> None:
        start.wait()
        got.append(ask("count"))
        connections.close_all()

    threads = [threading.Thread(target=request) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(got) == 4
    assert len({job.pk for job in got}) == 1
    assert DBTaskResult.objects.count() == 1
