"""Jobs in the tests: their kinds, and asking for one."""

import uuid
from collections.abc import Callable
from datetime import datetime

import pytest
from pytest_django import Settings

from studio.jobs.models import Job
from studio.jobs.services import ask_for
from tests.cast import NOW, School
from tests.studio.jobs import kinds
from tests.studio.jobs.worker_settings import JOB_KINDS

Ask = Callable[..., Job]


@pytest.fixture(autouse=True)
def _kinds(settings: Settings) -> None:
    settings.JOB_KINDS = JOB_KINDS
    kinds.forget()


@pytest.fixture
def queued(settings: Settings) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}


@pytest.fixture
def ask(cast: School) -> Ask:
    def asked(kind: str, key: str = "once", at: datetime = NOW) -> Job:
        return ask_for(
            kind=kind,
            studio=cast.studio,
            by=cast.student,
            subjects=[uuid.uuid4()],
            unique_key=key,
            at=at,
        )

    return asked
