"""A class's true-size prints: one PDF for who teaches it, and nothing of it left lying."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from planning.models import Assignment, Piece
from planning.plans.papers import Paper
from planning.services.plans import approve
from studio.board.services.class_sets import (
    FOLDER,
    ask_for_class_set,
    clear_class_sets,
    forget_class_sets,
    make_class_set,
)
from studio.errors import Refused
from studio.jobs.models import Job
from studio.jobs.services import sweep_jobs
from studio.jobs.tasks import MAX_ATTEMPTS
from studio.jobs.work import LEASE, RESULT_KEPT, LeaseLost, Work, claimed
from studio.keeping.services import erase_person
from studio.people.models import User
from studio.people.services import end_enrolment
from tests.cast import NOW, TODAY, School, signed_in
from tests.meanwhile import Meanwhile
from tests.planning.projects import a_brief, given
from tests.planning.work import piece_of, send
from tests.studio.paper.measuring import Print

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]
BOTH = (Paper.BASE, Paper.BENCH)


@pytest.fixture(autouse=True)
def _on_a_wednesday(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOW)


@pytest.fixture
def assignment(cast: School) -> Assignment:
    """The student's plan is approved, the classmate has none."""
    (made,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "A pair"))
    approve(plan=send(cast, piece_of(made, cast.student)), by=cast.teacher, at=NOW)
    return made


@pytest.fixture
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


def ask(cast: School, assignment: Assignment, **changed: Any) -> Job:
    wanted: dict[str, Any] = {
        "by": cast.teacher,
        "papers": BOTH,
        "page": "a4",
        "origin": "https://studio.example/",
        "at": NOW,
    }
    return ask_for_class_set(assignment=assignment, **(wanted | changed))


def begun(job: Job) -> Work:
    work = claimed(job_id=str(job.pk))
    assert work is not None
    return work


def made(cast: School, assignment: Assignment, **changed: Any) -> Job:
    job = ask(cast, assignment, **changed)
    make_class_set(begun(job))
    job.refresh_from_db()
    return job


def stored(settings: Settings) -> list[Path]:
    return [each for each in Path(settings.MEDIA_ROOT).glob(f"{FOLDER}/*") if each.is_file()]


def fetched(person: User, assignment: Assignment, job: Job) -> tuple[int, bytes]:
    """Status and content, read to its end."""
    got = signed_in(person).get(reverse("class_set_pdf", args=[assignment.pk, job.pk]))
    return got.status_code, got.getvalue()


def test_the_set_holds_who_has_a_plan_and_names_who_has_none(
    cast: School, assignment: Assignment
) -> None:
    job = made(cast, assignment)
    assert job.state == Job.State.DONE
    got = signed_in(cast.teacher).get(reverse("class_set_pdf", args=[assignment.pk, job.pk]))
    content = got.getvalue()
    assert got["Content-Type"] == "application/pdf"
    assert (got["X-Content-Type-Options"], got["Cache-Control"]) == ("nosniff", "no-store, private")
    read = Print(content)
    assert len(read.sizes_mm) == job.result["pages"]
    said = " ".join(read.text(number) for number in range(len(read.sizes_mm)))
    assert "Base outline" in said
    assert "By Mon 16 Mar: row" in said
    assert "Profile template" not in said
    html = signed_in(cast.teacher).get(reverse("class_set", args=[assignment.pk])).content.decode()
    lacking = piece_of(assignment, cast.classmate)
    named = html.partition("No plan sent yet: ")[2].partition("</p>")[0]
    assert f"{cast.classmate.short_name}, {lacking.code}</a>." in named
    assert f"{job.result['pages']} pages" in html


def test_only_who_teaches_the_class_fetches_it(cast: School, assignment: Assignment) -> None:
    job = made(cast, assignment)
    for person, status in (
        (cast.head, 200),
        (cast.other_teacher, 404),
        (cast.technician, 403),
        (cast.student, 403),
        (cast.elsewhere.head, 404),
    ):
        assert fetched(person, assignment, job)[0] == status, person
    (other,) = given(cast.teacher, cast.section, brief=a_brief(cast.teacher, "Another"))
    mixed = signed_in(cast.teacher).get(reverse("class_set_pdf", args=[other.pk, job.pk]))
    assert mixed.status_code == 404
    with pytest.raises(PermissionDenied):
        ask(cast, assignment, by=cast.other_teacher)
    with pytest.raises(PermissionDenied):
        ask(cast, assignment, by=cast.technician)


def test_the_page_asks_and_the_worker_makes_it(
    cast: School,
    assignment: Assignment,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    browser = signed_in(cast.teacher)
    address = reverse("class_set", args=[assignment.pk])
    with django_capture_on_commit_callbacks(execute=True):
        got = browser.post(address, {"papers": ["template", "bench"], "page": "tabloid"})
    assert got.status_code == 302
    job = Job.objects.get(kind="class_set")
    assert (job.state, job.wanted) == (
        Job.State.DONE,
        {"papers": ["template", "bench"], "page": "tabloid", "origin": "http://testserver/"},
    )
    sizes = Print(fetched(cast.teacher, assignment, job)[1]).sizes_mm
    assert {tuple(sorted(round(side, 1) for side in size)) for size in sizes} == {(279.4, 431.8)}
    html = browser.get(address).content.decode()
    assert "Profile template, Bench card; 11 × 17 in. Asked for today." in html


def test_nothing_chosen_is_said_at_the_field(cast: School, assignment: Assignment) -> None:
    browser = signed_in(cast.teacher)
    got = browser.post(reverse("class_set", args=[assignment.pk]), {"page": "a4"})
    assert got.status_code == 200
    assert "This can&#x27;t stay empty." in got.content.decode()
    with pytest.raises(Refused, match="Choose at least one print"):
        ask(cast, assignment, papers=[])
    assert not Job.objects.filter(kind="class_set").exists()


def test_asked_for_twice_while_it_waits_is_asked_for_once(
    cast: School, assignment: Assignment, queued: None
) -> None:
    first = ask(cast, assignment)
    assert ask(cast, assignment, papers=reversed_order(BOTH)) == first
    assert ask(cast, assignment, page="a3") != first
    assert ask(cast, assignment, papers=(Paper.BASE,)) != first


def reversed_order(papers: tuple[Paper, ...]) -> tuple[Paper, ...]:
    return papers[::-1]


def test_the_page_says_how_far_it_is(cast: School, assignment: Assignment, queued: None) -> None:
    job = ask(cast, assignment)
    browser = signed_in(cast.teacher)
    address = reverse("class_set_progress", args=[assignment.pk, job.pk])
    waiting = browser.get(address).content.decode()
    assert "Waiting to be made" in waiting
    assert 'hx-trigger="every 2s"' in waiting
    begun(job).progress(40, "K7-3F")
    assert "Being made, 40%" in browser.get(address).content.decode()
    Job.objects.filter(pk=job.pk).update(attempt=0, state=Job.State.WAITING)
    make_class_set(begun(job))
    ready = browser.get(address).content.decode()
    assert "hx-trigger" not in ready
    assert reverse("class_set_pdf", args=[assignment.pk, job.pk]) in ready


def test_a_class_without_a_plan_is_refused_in_words(
    cast: School, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    (assignment,) = given(cast.teacher, cast.section)
    with django_capture_on_commit_callbacks(execute=True):
        job = ask(cast, assignment)
    job.refresh_from_db()
    assert job.state == Job.State.REFUSED
    assert job.refusal.startswith("No plan of this class can be printed yet")
    html = signed_in(cast.teacher).get(reverse("class_set", args=[assignment.pk])).content.decode()
    assert job.refusal in html
    got = signed_in(cast.teacher).get(reverse("class_set_pdf", args=[assignment.pk, job.pk]))
    assert got.status_code == 422


def test_a_plan_that_can_be_computed_no_more_is_named(cast: School, assignment: Assignment) -> None:
    send(cast, piece_of(assignment, cast.classmate))
    Assignment.objects.filter(pk=assignment.pk).update(coil_mm=80, longest_coil_mm=100)
    job = ask(cast, assignment)
    with pytest.raises(Refused, match="No plan of this class"):
        make_class_set(begun(job))
    Assignment.objects.filter(pk=assignment.pk).update(coil_mm=14, longest_coil_mm=None)
    plan = piece_of(assignment, cast.classmate).plans.get()
    plan.inputs["base_mm"] = 500.0
    plan.save()
    done = made(cast, assignment, page="a3")
    assert done.result["missing"] == [{"piece": str(plan.piece_id), "why": "refused"}]
    html = signed_in(cast.teacher).get(reverse("class_set", args=[assignment.pk])).content.decode()
    assert "The plan can’t be computed any more: <a" in html


def test_who_left_while_it_was_made_is_not_in_it(
    cast: School, assignment: Assignment, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = begun(ask(cast, assignment))
    progress = work.progress

    def leave(percent: int, words: str = "") -> None:
        progress(percent, words)
        if words == "putting the pages together":
            end_enrolment(section=cast.section, student=cast.student, by=cast.head, on=TODAY)

    monkeypatch.setattr(work, "progress", leave)
    with pytest.raises(Refused, match="The class changed meanwhile"):
        make_class_set(work)
    assert stored(settings) == []


def test_an_attempt_that_was_overtaken_leaves_no_file(
    cast: School, assignment: Assignment, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = begun(ask(cast, assignment))
    progress = work.progress

    def overtaken(percent: int, words: str = "") -> None:
        progress(percent, words)
        if words == "putting the pages together":
            Job.objects.filter(pk=work.job.pk).update(attempt=2)

    monkeypatch.setattr(work, "progress", overtaken)
    with pytest.raises(LeaseLost):
        make_class_set(work)
    assert stored(settings) == []


def test_a_project_that_was_taken_back_meanwhile_is_no_failure(
    cast: School, assignment: Assignment
) -> None:
    work = begun(ask(cast, assignment))
    work.job.subjects = ["5f0c4a0e-6c0f-4f0e-9d8f-0d0f4a1b2c3d"]
    make_class_set(work)
    assert not work.is_finished


def test_a_file_is_kept_as_long_as_its_result(
    cast: School, assignment: Assignment, settings: Settings
) -> None:
    clear_class_sets(at=timezone.now())  # nothing was ever asked for
    job = made(cast, assignment)
    (file,) = stored(settings)
    written = default_storage.get_modified_time(f"{FOLDER}/{file.name}")
    clear_class_sets(at=written + RESULT_KEPT)
    assert stored(settings) == [file]
    clear_class_sets(at=written + RESULT_KEPT + timedelta(seconds=1))
    assert stored(settings) == []
    got = signed_in(cast.teacher).get(reverse("class_set_pdf", args=[assignment.pk, job.pk]))
    assert got.status_code == 422
    assert "These prints are no longer kept" in got.content.decode()


def test_housekeeping_lets_them_go(settings: Settings) -> None:
    assert "studio.board.services.class_sets.clear_class_sets" in settings.HOUSEKEEPING


def test_erasing_a_student_takes_every_set_with_their_name(
    cast: School,
    assignment: Assignment,
    settings: Settings,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    job = made(cast, assignment)
    default_storage.save(f"{FOLDER}/of-another-class.pdf", ContentFile(b"%PDF"))
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(person=cast.student, by=cast.head, at=NOW)
    assert [each.name for each in stored(settings)] == ["of-another-class.pdf"]
    assert not Job.objects.filter(pk=job.pk).exists()


@pytest.mark.django_db(transaction=True)
def test_a_set_that_is_finished_while_a_student_is_erased_keeps_no_name(
    cast: School, assignment: Assignment, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = begun(ask_on_queue(cast, assignment, settings))
    others: list[Meanwhile] = []

    def finished_meanwhile(pieces: list[Piece]) -> None:
        forget_class_sets(pieces)
        others.append(Meanwhile(lambda: make_class_set(work)))

    erasing = "studio.keeping.services.erasing"
    monkeypatch.setattr(f"{erasing}.forget_class_sets", finished_meanwhile)
    erase_person(person=cast.student, by=cast.head, at=NOW)
    assert isinstance(others[0].ended(), Refused)
    assert stored(settings) == []


@pytest.mark.django_db(transaction=True)
def test_a_student_who_is_erased_while_a_set_is_finished_is_not_left_in_it(
    cast: School, assignment: Assignment, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = begun(ask_on_queue(cast, assignment, settings))
    others: list[Meanwhile] = []

    @contextmanager
    def erased_meanwhile(result: dict[str, Any]) -> Iterator[None]:
        with finishing(result):
            yield
            others.append(
                Meanwhile(lambda: erase_person(person=cast.student, by=cast.head, at=NOW))
            )

    finishing = work.finishing
    monkeypatch.setattr(work, "finishing", erased_meanwhile)
    make_class_set(work)
    assert others[0].ended() is None
    assert stored(settings) == []
    assert not Job.objects.filter(pk=work.job.pk).exists()


def ask_on_queue(cast: School, assignment: Assignment, settings: Settings) -> Job:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    return ask(cast, assignment)


class Killed(BaseException):
    """As with kill -9, nobody tidies up."""


def killed_before_its_row(work: Work, monkeypatch: pytest.MonkeyPatch) -> None:
    def killed(_name: str) -> None:
        raise Killed

    with monkeypatch.context() as patched:
        patched.setattr(work, "finishing", killed)
        patched.setattr(default_storage, "delete", lambda _name: None)
        with pytest.raises(Killed):
            make_class_set(work)


def test_what_a_killed_attempt_left_goes_with_the_next(
    cast: School,
    assignment: Assignment,
    settings: Settings,
    queued: None,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    job = ask(cast, assignment)
    killed_before_its_row(begun(job), monkeypatch)
    (left,) = stored(settings)
    Job.objects.filter(pk=job.pk).update(state=Job.State.WAITING)
    make_class_set(begun(job))
    job.refresh_from_db()
    (kept,) = stored(settings)
    assert kept != left
    assert job.result["file"] == f"{FOLDER}/{kept.name}"


def test_what_the_last_attempt_left_goes_when_it_is_given_up(
    cast: School,
    assignment: Assignment,
    settings: Settings,
    monkeypatch: pytest.MonkeyPatch,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    job = ask_on_queue(cast, assignment, settings)
    Job.objects.filter(pk=job.pk).update(attempt=MAX_ATTEMPTS - 1)
    killed_before_its_row(begun(job), monkeypatch)
    assert len(stored(settings)) == 1
    with django_capture_on_commit_callbacks(execute=True):
        sweep_jobs(at=NOW + 2 * LEASE)
    job.refresh_from_db()
    assert job.state == Job.State.REFUSED
    assert stored(settings) == []
