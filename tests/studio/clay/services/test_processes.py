"""Several processes want the last of a lot at the same moment."""

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager

import pytest
from django.conf import settings
from django.db import connection
from django.db.models import Sum

from studio.clay.models import Entry, EntryKind, Lot
from tests.cast import School, school
from tests.studio.clay.room import a_lot, left_g

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both_databases]
PROCESSES = 8


def address() -> str:
    """DATABASE_URL of the database that this test runs on."""
    at = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{at['NAME']}"
    who = f"{at['USER']}:{at['PASSWORD']}@" if at["USER"] else ""
    return f"postgres://{who}{at['HOST'].replace('/', '%2F')}:{at['PORT']}/{at['NAME']}"


@contextmanager
def started(cast: School, lot: Lot, *arguments: str) -> Iterator[subprocess.Popen[str]]:
    who = (str(lot.pk), str(cast.section.pk), str(cast.teacher.pk))
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.studio.clay.services.one_of_many", *who, *arguments],
        cwd=settings.BASE_DIR,
        env={
            **os.environ,
            "DATABASE_URL": address(),
            "DJANGO_SETTINGS_MODULE": "studio.config.settings",
        },
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with process:
        try:
            yield process
        finally:
            process.kill()


def all_at_once(cast: School, lot: Lot, *arguments: str) -> list[str]:
    """What each of the processes read, let go together once all of them stand ready."""
    with ExitStack() as stack:
        running = [
            stack.enter_context(started(cast, lot, *arguments)) for _number in range(PROCESSES)
        ]
        for process in running:
            assert process.stdout is not None
            assert process.stdout.readline() == "ready\n"
        for process in running:
            assert process.stdin is not None
            process.stdin.write("go\n")
            process.stdin.flush()
        said = [
            line.strip() for process in running for line in process.communicate()[0].split("\n")
        ]
        assert [process.returncode for process in running] == [0] * PROCESSES
    return [line for line in said if line]


def test_a_lot_gives_exactly_what_it_holds_to_processes_that_ask_for_more() -> None:
    cast = school()
    lot = a_lot(cast, bags=0, bag_g=None, loose_g=23_400)
    said = all_at_once(cast, lot, "1000", "5", "")
    counted = Counter(line.split()[0] for line in said)
    assert counted == {"issued": 23, "refused": 5 * PROCESSES - 23}
    assert {line for line in said if line.startswith("refused")} == {
        (
            "refused There are 0.40\u00a0kg left of Grogged stoneware Note 2207; you asked for "
            "1.00\u00a0kg. Take the rest from another lot."
        )
    }
    issues = Entry.objects.filter(kind=EntryKind.ISSUE)
    assert len({line for line in said if line.startswith("issued")}) == issues.count() == 23
    assert left_g(lot) == 400 == Entry.objects.aggregate(all_g=Sum("grams"))["all_g"]
    # Each saw what the one before it had left: no two the same, none left out.
    left = sorted(issues.values_list("balance_after_g", flat=True))
    assert left == list(range(400, 23_400, 1000))


def test_a_repeated_key_posts_once_from_all_processes() -> None:
    cast = school()
    lot = a_lot(cast, bags=0, bag_g=None, loose_g=23_400)
    said = all_at_once(cast, lot, "1000", "3", "the-same-key")
    entry = Entry.objects.get(kind=EntryKind.ISSUE)
    assert said == [f"issued {entry.pk}"] * (3 * PROCESSES)
    assert left_g(lot) == 22_400
