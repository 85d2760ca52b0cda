"""Only the attempt that holds the lease writes its result."""

import logging
from datetime import UTC, date, datetime

import pytest
from django.utils import timezone

from studio.jobs.kinds import Kind
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from studio.jobs.work import LEASE, RESULT_KEPT, LeaseLost, Work, claimed
from studio.people.models import Studio
from tests.studio.jobs import kinds
from tests.studio.jobs.conftest import Ask

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases, pytest.mark.usefixtures("queued")]


def held(job: Job) -> Work:
    work = claimed(job_id=str(job.pk))
    assert work is not None
    return work


def test_progress_is_kept_and_extends_the_lease(ask: Ask) -> None:
    work = held(ask("count"))
    Job.objects.update(lease_until=datetime(2026, 1, 1, tzinfo=UTC))
    before = datetime.now(UTC)
    work.progress(40, "row 4 of 10")
    job = Job.objects.get()
    assert (job.progress, job.words) == (40, "row 4 of 10")
    assert job.lease_until >= before + LEASE


def test_a_result_closes_the_job_with_an_expiry(ask: Ask) -> None:
    work = held(ask("count"))
    with work.finishing({"pages": 3}):
        pass
    job = Job.objects.get()
    assert (job.state, job.progress, job.result) == (Job.State.DONE, 100, {"pages": 3})
    assert job.finished_at is not None
    assert job.expires_at == job.finished_at + RESULT_KEPT


def test_an_attempt_that_was_overtaken_writes_nothing(ask: Ask) -> None:
    job = ask("count")
    slow = held(job)
    Job.objects.update(state=Job.State.WAITING)
    quick = held(job)
    wrote = False
    with pytest.raises(LeaseLost), slow.finishing({"by": "slow"}):
        wrote = True
    with pytest.raises(LeaseLost):
        slow.progress(90)
    with pytest.raises(LeaseLost):
        slow.refuse("No.")
    assert not wrote
    with quick.finishing({"by": "quick"}):
        pass
    assert Job.objects.get().result == {"by": "quick"}


def test_an_attempt_whose_job_is_gone_writes_nothing(ask: Ask) -> None:
    work = held(ask("count"))
    Job.objects.all().delete()
    with pytest.raises(LeaseLost), work.finishing():
        pass


def test_what_fails_while_it_is_written_down_leaves_the_job_open(ask: Ask) -> None:
    work = held(ask("count"))
    with pytest.raises(ValueError, match="no room"), work.finishing():
        raise ValueError("no room")
    assert Job.objects.get().state == Job.State.RUNNING
    assert not work.is_finished


def test_a_refusal_is_kept_in_its_words(ask: Ask) -> None:
    run_job.call(str(ask("refuse").pk))
    job = Job.objects.get()
    assert (job.state, job.refusal) == (Job.State.REFUSED, "There is no clay.")
    assert job.attempt == 1


def test_work_that_writes_nothing_down_is_done_all_the_same(ask: Ask) -> None:
    run_job.call(str(ask("leave_open").pk))
    assert Job.objects.get().state == Job.State.DONE


def test_a_job_that_is_done_is_not_done_again(ask: Ask) -> None:
    job = ask("count")
    run_job.call(str(job.pk))
    run_job.call(str(job.pk))
    assert kinds.ran == [("once", 1)]


def test_its_days_are_those_of_the_studio(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    """At 20:00 UTC it is the next day already in Auckland, 13 hours ahead in summer."""
    job = ask("count", at=datetime(2026, 1, 14, 20, tzinfo=UTC))
    Studio.objects.update(time_zone="Pacific/Auckland")
    days: list[date] = []
    noted = Kind(run=lambda work: days.append(timezone.localdate(work.job.asked_at)))
    monkeypatch.setattr("tests.studio.jobs.kinds.COUNT", noted)
    run_job.call(str(job.pk))
    assert days == [date(2026, 1, 15)]


def test_what_breaks_off_goes_back_on_the_queue(ask: Ask, caplog: pytest.LogCaptureFixture) -> None:
    job = ask("break_off")
    first = job.queue_id
    run_job.call(str(job.pk))
    job.refresh_from_db()
    assert (job.state, job.attempt) == (Job.State.WAITING, 1)
    assert job.queue_id != first
    assert caplog.record_tuples == [
        ("studio.jobs.tasks", logging.ERROR, f"job {job.pk}: attempt 1 broke off")
    ]


def test_what_breaks_off_three_times_ends_in_words(ask: Ask) -> None:
    job = ask("break_off")
    for _attempt in range(3):
        run_job.call(str(job.pk))
    job.refresh_from_db()
    assert job.state == Job.State.REFUSED
    assert job.refusal.startswith("This did not work, though it was tried several times.")
    assert kinds.ran == [("once", 1), ("once", 2), ("once", 3)]
    assert kinds.given_up == ["once"]


def test_an_attempt_that_breaks_off_after_it_was_overtaken_changes_nothing(
    ask: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = ask("break_off")

    def overtaken(_work: Work) -> None:
        Job.objects.update(attempt=2)
        raise RuntimeError("too late")

    monkeypatch.setattr("tests.studio.jobs.kinds.BREAK_OFF", Kind(run=overtaken))
    run_job.call(str(job.pk))
    job.refresh_from_db()
    assert (job.state, job.attempt) == (Job.State.RUNNING, 2)


def test_an_attempt_that_finds_itself_overtaken_only_says_so(
    ask: Ask, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    job = ask("count")

    def overtaken(work: Work) -> None:
        Job.objects.update(attempt=2)
        work.progress(50)

    monkeypatch.setattr("tests.studio.jobs.kinds.COUNT", Kind(run=overtaken))
    run_job.call(str(job.pk))
    assert caplog.messages == [f"job {job.pk}: attempt 1 was overtaken"]
