"""A class photographs its sheets at the same moment, and the workers are killed meanwhile."""

from http import HTTPStatus
from pathlib import Path

import pytest

from tests.class_of_sheets import photographed_at_once

pytestmark = [pytest.mark.slow, pytest.mark.django_db]

STUDENTS = 4
MOST_MB = 400
"""For each process; the photos take up to 300."""


def test_killed_workers_lose_no_sheet_and_take_none_apart_twice(tmp_path: Path) -> None:
    seen = photographed_at_once(tmp_path, STUDENTS, killed=True)
    assert seen.answers == [HTTPStatus.FOUND] * STUDENTS
    assert seen.rows["pieces"] == len(seen.rows["drawings"]) == STUDENTS
    assert min(seen.rows["drawings"]) > 1
    assert seen.rows["editions"] == [1] * STUDENTS
    done = [["read_image", "done"]] * STUDENTS + [["take_sheet_apart", "done"]] * STUDENTS
    assert seen.rows["jobs"] == done
    assert seen.rows["files"]
    assert seen.largest_mb < MOST_MB
