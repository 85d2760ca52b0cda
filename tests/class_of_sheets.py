"""A class that photographs its sheets at once, on the service as it runs for a school."""

import http.client
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from http import HTTPStatus
from pathlib import Path
from typing import Any, Final, Self

import cv2
import dj_database_url
from django.conf import settings as django_settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db.utils import ConnectionHandler
from django.test.client import BOUNDARY, MULTIPART_CONTENT, encode_multipart

from tests.own_server import Environment, Server, own_place, told
from tests.planning.splitting.sheets import sheet

LONG_PX: Final = 4000
"""Of a photo; 4000 by 2900 or so are the 12 megapixels of a phone."""

SECRET: Final = "c" * 32
_WARM: Final = 8
"""Pages opened before, so that each process has imported what it needs."""

BEGIN: Final = """
import json
from django.db.models import F
from tests.cast import school, signed_in
from tests.planning.projects import given
from tests.school_size import fill

cast = school()
(assignment,) = given(cast.teacher, cast.section)
session = lambda person: signed_in(person).cookies["sessionid"].value
print(json.dumps({
    "teacher": [session(cast.teacher), str(assignment.pk)],
    "students": [[session(piece.student), str(piece.pk)] for piece in fill(assignment, STUDENTS)],
}))
"""
COUNT: Final = """
import json
from pathlib import Path
from django.conf import settings
from planning.models import Sheet
from studio.jobs.models import Job
from studio.uploads.models import StoredImage

sheets = Sheet.objects.select_related("image")
media = Path(settings.MEDIA_ROOT)
files = [path for path in media.rglob("*") if path.is_file()]
mine = [name for each in sheets for name in (each.image.full_file, each.image.small_file)]
print(json.dumps({
    "drawings": sorted(len(each.boxes or []) for each in sheets),
    "pieces": len({each.piece_id for each in sheets}),
    "editions": sorted(each.edition for each in sheets),
    "jobs": sorted([job.kind, job.state] for job in Job.objects.exclude(kind="compare_ideas")),
    "files": sorted(str(path.relative_to(media)) for path in files) == sorted(mine),
}))
"""
LEASES_OVER: Final = """
from django.utils import timezone
from studio.jobs.models import Job
Job.objects.filter(state=Job.State.RUNNING).update(lease_until=timezone.now())
print("null")
"""


@dataclass(frozen=True)
class Seen:
    """`acknowledged_s` and `apart_s` count from the first upload to the last answer and to the last
    sheet that was taken apart, `slowest_s` is the slowest of the `pages` that the teacher opened
    meanwhile, `largest_mb` the most memory that one process held, `rows` what `COUNT` found.
    """

    answers: list[int]
    acknowledged_s: float
    apart_s: float
    slowest_s: float
    pages: int
    largest_mb: float
    rows: dict[str, Any]


def photographed_at_once(folder: Path, students: int, *, killed: bool) -> Seen:
    """So many students send a sheet each; the workers may be killed once a third is apart."""
    photos = [_photo(seed) for seed in (1, 2)]
    with own_place(folder, tasks="database") as environment:
        known = told(environment, BEGIN.replace("STUDENTS", str(students)))
        server = Server(environment, workers=2, threads=8)
        try:
            with _Work(environment) as work, ThreadPoolExecutor(students) as phones:
                watch = _Watch(environment, server.port, *known["teacher"])
                began = time.perf_counter()
                sent = [
                    phones.submit(_send, server.port, session, piece, photos[n % len(photos)])
                    for n, (session, piece) in enumerate(known["students"])
                ]
                if killed:
                    watch.until(students // 3)
                    work.kill_and_start()
                watch.until(students)
                apart = time.perf_counter()
                answers = [each.result() for each in sent]
        finally:
            server.close()
        return Seen(
            [status for status, _at in answers],
            max(at for _status, at in answers) - began,
            apart - began,
            max(watch.pages_s),
            len(watch.pages_s),
            watch.largest_mb,
            told(environment, COUNT),
        )


def _photo(seed: int) -> bytes:
    made = sheet(seed, "plain").picture
    scale = LONG_PX / max(made.shape)
    large = cv2.resize(made, None, fx=scale, fy=scale, interpolation=cv2.INTER_CUBIC)
    return cv2.imencode(".jpg", large)[1].tobytes()


def _send(port: int, session: str, piece: str, photo: bytes) -> tuple[int, float]:
    """The answer's status, and when it came."""
    file = SimpleUploadedFile("sheet.jpg", photo, content_type="image/jpeg")
    body = encode_multipart(BOUNDARY, {"csrfmiddlewaretoken": SECRET, "sheet": file})
    status = _asked(port, session, f"/pieces/{piece}/sheets/", body)
    return status, time.perf_counter()


def _asked(port: int, session: str, path: str, body: bytes = b"") -> int:
    """The status of what comes back: of a page, or of a form that is sent."""
    headers = {"Cookie": f"sessionid={session}; csrftoken={SECRET}"}
    if body:
        headers["Content-Type"] = MULTIPART_CONTENT
    with closing(http.client.HTTPConnection("127.0.0.1", port, timeout=300)) as line:
        line.request("POST" if body else "GET", path, body, headers)
        answer = line.getresponse()
        answer.read()
        return answer.status


class _Work:
    """`manage.py work` with two workers."""

    def __init__(self, environment: Environment) -> None:
        self.environment = environment

    def __enter__(self) -> Self:
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "work", "--workers", "2"],
            cwd=django_settings.BASE_DIR,
            env=self.environment,
        )
        return self

    def kill_and_start(self) -> None:
        """The workers and who watches over them at once; what they held is taken over now and not
        once its time is over."""
        for pid in (self.process.pid, *_children(self.process.pid)):
            os.kill(pid, signal.SIGKILL)
        self.process.wait()
        told(self.environment, LEASES_OVER)
        self.__enter__()

    def __exit__(self, *_: object) -> None:
        self.process.terminate()
        self.process.wait()


class _Watch:
    """Opens the class's page again and again, and sees how far the sheets are meanwhile."""

    def __init__(self, environment: Environment, port: int, session: str, assignment: str) -> None:
        self.address = environment["DATABASE_URL"]
        self.open = partial(_asked, port, session, f"/assignments/{assignment}/")
        self.pages_s: list[float] = []
        self.largest_mb = 0.0
        for _ in range(_WARM):
            self.open()

    def until(self, apart: int) -> None:
        places = ConnectionHandler({"default": dj_database_url.parse(self.address)})
        with closing(places["default"]) as place, place.cursor() as rows:
            while True:
                began = time.perf_counter()
                assert self.open() == HTTPStatus.OK
                self.pages_s.append(time.perf_counter() - began)
                self.largest_mb = max(self.largest_mb, _largest_mb(self.address))
                rows.execute("SELECT count(*) FROM planning_sheet WHERE boxes IS NOT NULL")
                if rows.fetchone()[0] >= apart:
                    return


def _largest_mb(address: str) -> float:
    """The most memory that any process which works on this database has held, in MB."""
    most = 0
    for process in Path("/proc").glob("[0-9]*"):
        try:
            if f"DATABASE_URL={address}\0" in (process / "environ").read_text():
                said = (process / "status").read_text()
                most = max(most, int(said.partition("VmHWM:")[2].split()[0]))
        except (OSError, IndexError, UnicodeDecodeError):
            continue  # it ended, or is somebody else's
    return most / 1024


def _children(pid: int) -> list[int]:
    task = Path(f"/proc/{pid}/task/{pid}/children")
    return [int(each) for each in task.read_text().split()]
