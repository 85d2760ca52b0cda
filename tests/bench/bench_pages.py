"""A class's shelves with 35 pieces against a bare page of the same bytes: what the page itself
costs, beside middleware, session and sign-in, which both go through.

Both are asked in turn in one process, on a throw-away SQLite file. Run:
python -m tests.bench.bench_pages
"""

import logging
import statistics
import sys
import time

from django.core.management import call_command
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext, override_settings
from django.urls import include, path

from tests.bench import FOLDER
from tests.cast import school, signed_in
from tests.planning.projects import given
from tests.school_size import fill

STUDENTS = 35
ROUNDS = 60
SAME_BYTES = {"body": b""}


def bare(request: HttpRequest) -> HttpResponse:
    """Looks up who asks, as every page does, and answers what it was given."""
    return HttpResponse(SAME_BYTES["body"] if request.user.is_authenticated else b"")


urlpatterns = [path("bare/", bare), path("", include("studio.config.urls"))]


def main() -> None:
    logging.disable(logging.WARNING)
    with override_settings(
        ROOT_URLCONF=__name__,
        ALLOWED_HOSTS=["testserver"],
        STATIC_ROOT=FOLDER.name,
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
    ):
        sys.stdout.write(_measured())


def _measured() -> str:
    client, address = _a_class()
    page = client.get(address)
    SAME_BYTES["body"] = page.content
    with CaptureQueriesContext(connection) as captured:
        client.get(address)
        queries = len(captured)
    shelves, plain = [], []
    for _ in range(ROUNDS):  # in turn, so that a busy machine slows both
        shelves.append(_seconds(client, address))
        plain.append(_seconds(client, "/bare/"))
    ratio = statistics.median(shelves) / statistics.median(plain)
    return (
        f"class shelves of {STUDENTS} pieces / bare page of the same {len(page.content):,} bytes: "
        f"{ratio:.1f} times as long ({statistics.median(shelves) * 1000:.1f} ms and "
        f"{statistics.median(plain) * 1000:.1f} ms, {queries} queries)\n"
    )


def _seconds(client: Client, address: str) -> float:
    start = time.perf_counter()
    client.get(address)
    return time.perf_counter() - start


def _a_class() -> tuple[Client, str]:
    call_command("migrate", verbosity=0)
    cast = school()
    (assignment,) = given(cast.teacher, cast.section)
    fill(assignment, STUDENTS - cast.section.enrolments.count())
    return signed_in(cast.teacher), f"/classes/{cast.section.pk}/"


if __name__ == "__main__":
    main()
