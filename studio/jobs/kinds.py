"""What a kind of job is. Subjects above define theirs; the settings say where each one is."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from django.conf import settings
from django.utils.module_loading import import_string

from .models import Job
from .work import Work


def _nothing(_job: Job) -> None:
    """Most kinds leave nothing half done."""


@dataclass(frozen=True)
class Kind:
    """`run` does the work outside any transaction and may run more than once for one job.

    `give_up` runs in the transaction that refuses the job, after its last attempt broke off. What
    nobody looks at a page for has a `priority` below 0 (-100 to 100) and comes after the others.
    """

    run: Callable[[Work], None]
    give_up: Callable[[Job], None] = _nothing
    priority: int = 0


def kind_named(name: str) -> Kind:
    """The kind behind a name of `settings.JOB_KINDS`; KeyError for a name that isn't there."""
    return cast("Kind", import_string(settings.JOB_KINDS[name]))
