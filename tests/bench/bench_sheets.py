"""A class of thirty that sends a photographed sheet each at the same moment, to the service as
`make serve` runs it: two processes that answer, two that work.

Run: python -m tests.bench.bench_sheets
"""

import sys
import tempfile
from pathlib import Path

import tests.bench  # noqa: F401 -- readies Django
from tests.class_of_sheets import photographed_at_once

STUDENTS = 30


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        seen = photographed_at_once(Path(folder), STUDENTS, killed=False)
    taken = sum(status == 302 for status in seen.answers)
    sys.stdout.write(
        f"{STUDENTS} sheets of 12 megapixels sent at once: {taken} acknowledged within "
        f"{seen.acknowledged_s:.1f} s, all apart after {seen.apart_s:.0f} s; "
        f"the slowest of {seen.pages} pages meanwhile {seen.slowest_s:.1f} s; "
        f"the largest process {seen.largest_mb:.0f} MB\n"
    )


if __name__ == "__main__":
    main()
