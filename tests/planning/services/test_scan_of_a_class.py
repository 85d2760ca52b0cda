"""Thirty sheets in one PDF, as a copier makes it: how long, how much memory; and kill -9."""

import json
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import cv2
import numpy as np
import pytest
from django.conf import settings as django_settings
from pytest_django import Settings

from planning.models import Scan, Sheet
from planning.services.pieces import start_missing_pieces
from planning.services.scans import add_scan
from studio.jobs.models import Job
from studio.jobs.tasks import run_job
from tests.cast import NOW, School, pupil
from tests.planning.projects import given
from tests.planning.scanned import blank_page, drawn_on, of_piece, pdf_of, printed, scan_file

pytestmark = pytest.mark.slow

PAGES = 30
MOST_MB = 300


class Watched:
    """The most memory that a process of ours held while the block ran, in MB (Linux, proc(5):
    VmHWM, the peak resident set size)."""

    def __enter__(self) -> "Watched":
        self.peak_mb, self._over = 0.0, threading.Event()
        self._thread = threading.Thread(target=self._watch)
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()

    def _watch(self) -> None:
        while not self._over.wait(0.01):
            for task in Path("/proc/self/task").iterdir():
                for child in _read(task / "children").split():
                    self._look(f"/proc/{child}")

    def _look(self, process: str) -> None:
        if "scan_child" not in _read(Path(process) / "cmdline"):
            return
        for line in _read(Path(process) / "status").splitlines():
            if line.startswith("VmHWM:"):
                self.peak_mb = max(self.peak_mb, int(line.split()[1]) / 1000)


def _read(file: Path) -> str:
    try:
        return file.read_text()
    except (FileNotFoundError, ProcessLookupError):  # over meanwhile
        return ""


@pytest.mark.django_db
def test_the_sheets_of_a_class_are_sorted_in_little_memory(
    cast: School, settings: Settings, capsys: pytest.CaptureFixture[str]
) -> None:
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    (assignment,) = given(cast.teacher, cast.section)
    for number in range(PAGES - 2):
        pupil(cast.head, cast.section, f"Student{number}", "Example")
    start_missing_pieces(assignment=assignment, by=cast.teacher, at=NOW)
    pieces = list(assignment.pieces.select_related("student", "assignment__section"))
    drawn = drawn_on(np.ones_like(printed(of_piece(pieces[0]))), 8, 3)[0]
    drawings = np.asarray(235 * cv2.resize(drawn, (1654, 2339), interpolation=cv2.INTER_AREA))
    sheets = []
    for number, piece in enumerate(pieces):
        page = np.minimum(blank_page(of_piece(piece), 200)[:2339, :1654], drawings)
        sheets.append(np.rot90(page.astype(np.uint8), 2 * (number % 2)))
    file = scan_file(pdf_of(sheets, 200))
    add_scan(assignment=assignment, by=cast.teacher, file=file, at=NOW)
    begun = time.perf_counter()
    with Watched() as watched:
        run_job.call(str(Job.objects.get(kind="read_scan").pk))
    took_s = time.perf_counter() - begun
    with capsys.disabled():
        said = f"{PAGES} pages: {took_s:.1f} s, child at most {watched.peak_mb:.0f} MB"
        print(f"\n{said}")  # noqa: T201 -- measured
    scan = Scan.objects.get()
    sorted_to = {page.number: page.piece for page in scan.read_pages.filter(state="sheet")}
    assert sorted_to == dict(enumerate(pieces, start=1))
    assert Sheet.objects.count() == PAGES
    assert 0 < watched.peak_mb < MOST_MB


BEGIN = """
from django.core.files.base import ContentFile
from planning.services.scans import add_scan
from studio.jobs.models import Job
from tests.cast import NOW, school
from tests.planning.scanned import blank_page, of_piece, pdf_of, without_code
from tests.planning.work import a_piece
import numpy as np

cast = school()
piece = a_piece(cast)
pages = [np.maximum(blank_page(of_piece(piece)), 4 * n) for n in range(3)] + [without_code()]
file = ContentFile(pdf_of(pages), name="class.pdf")
add_scan(assignment=piece.assignment, by=cast.teacher, file=file, at=NOW)
"""
# Dies with the page written and its transaction open, or with it closed.
READ = """
import os, signal
from django.db import transaction
from planning.services import scans
from studio.jobs.models import Job
from studio.jobs.tasks import hand_on, run_job

dies_at, committed = {dies_at}, {committed}
usual = scans._write_down

def write(*args):
    if args[1].number != dies_at:
        return usual(*args)
    with transaction.atomic():
        usual(*args)
        if not committed:
            os.kill(os.getpid(), signal.SIGKILL)
    os.kill(os.getpid(), signal.SIGKILL)

scans._write_down = write
with transaction.atomic():
    job = Job.objects.select_for_update().get(kind="read_scan")
    if job.state == Job.State.RUNNING:
        hand_on(job)
run_job.call(str(job.pk))
"""
COUNT = """
import json
from django.core.files.storage import default_storage
from planning.models import Scan, ScanPage, Sheet
from studio.uploads.models import StoredImage
pages = ScanPage.objects.order_by("number")
print(json.dumps({
    "scan": Scan.objects.get().state,
    "pages": list(pages.values_list("number", "state")),
    "sheets": Sheet.objects.count(),
    "images": StoredImage.objects.count(),
    "files": len(default_storage.listdir("images")[0]),
}))
"""


def test_kill_9_in_the_middle_of_a_page_leaves_none_out_and_makes_none_twice(
    tmp_path: Path,
) -> None:
    def run(program: str) -> subprocess.CompletedProcess[str]:
        environment = {
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "studio.config.settings",
            "DATABASE_URL": f"sqlite:///{tmp_path / 'killed.sqlite3'}",
            "MEDIA_ROOT": str(tmp_path / "media"),
        }
        return subprocess.run(
            [sys.executable, "-c", f"import django; django.setup()\n{program}"],
            cwd=django_settings.BASE_DIR,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )

    migrate = (
        "from django.core.management import call_command; call_command('migrate', verbosity=0)"
    )
    assert run(f"{migrate}\n{BEGIN}").stderr == ""
    for dies_at, committed in ((2, False), (3, True)):
        assert run(READ.format(dies_at=dies_at, committed=committed)).returncode == -9
    assert run(READ.format(dies_at=0, committed=False)).returncode == 0
    assert json.loads(run(COUNT).stdout) == {
        "scan": "read",
        "pages": [*([number, "sheet"] for number in range(1, 4)), [4, "waiting"]],
        "sheets": 3,
        "images": 4,
        "files": 1,
    }
