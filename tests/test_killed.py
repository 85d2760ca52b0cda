"""kill -9 of the web process at any moment: what was acknowledged is there, nothing is there twice.

A real server on a database of its own, killed fifty times while a person hands out clay and moves
pots; each request is tried again after the server is back, as a phone does. Both databases.
"""

import http.client
import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as django_settings
from django.db import connection

pytestmark = [pytest.mark.slow]

KILLS = 50
LOT_G, EACH_G = 4_000_000, 10
BEGIN = """
import json
from studio.clay.services import receive_delivery
from studio.people.models import ApiToken
from studio.people.tokens import make_token
from studio.ware.services import add_place, begin_pot
from planning.services.plans import approve
from tests.cast import NOW, TODAY, school
from tests.planning.work import a_piece_with_a_plan
from datetime import timedelta
from django.utils import timezone

cast = school()
plan = a_piece_with_a_plan(cast, "Killed")
approve(plan=plan, by=cast.teacher, at=NOW)
pot = begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)
lot = receive_delivery(
    studio=cast.studio, body=plan.piece.assignment.clay_body, bags=200, bag_g=20000,
    label="", came_on=TODAY, by=cast.head, at=NOW,
)
_token, secret = make_token(
    person=cast.head, name="killed", scope=ApiToken.Scope.WRITE,
    ends_at=timezone.now() + timedelta(days=2), at=timezone.now(),
)
print(json.dumps({"secret": secret, "lot": str(lot.pk), "pot": str(pot.pk)}))
"""
COUNT = """
import json
from django.db.models import Count, Sum
from studio.clay.models import Entry, Lot
from studio.people.models import AuditEntry
from studio.ware.models import Flaw
issues = Entry.objects.filter(kind="issue")
audits = AuditEntry.objects.filter(subject_kind="clay.entry", action__contains="issue")
lot = Lot.objects.get()
print(json.dumps({
    "tables": sorted(issues.values_list("table", flat=True)),
    "balance": lot.balance_g,
    "sum": Entry.objects.aggregate(sum=Sum("grams"))["sum"],
    "audits": audits.count(),
    "flaws": sorted(Flaw.objects.values_list("what", flat=True)),
}))
"""


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """DATABASE_URL of an empty database beside the one that tests run on."""
    at = connection.settings_dict
    if connection.vendor == "sqlite":
        yield f"sqlite:///{tmp_path / 'killed.sqlite3'}"
        return
    name = f"killed_{os.getpid()}"
    server = f"postgres://{at['USER']}:{at['PASSWORD']}@{at['HOST']}:{at['PORT']}"
    _on_server(at, f'DROP DATABASE IF EXISTS "{name}"')
    _on_server(at, f'CREATE DATABASE "{name}"')
    yield f"{server}/{name}"
    _on_server(at, f'DROP DATABASE "{name}" WITH (FORCE)')


def _on_server(at: dict[str, Any], statement: str) -> None:
    import psycopg  # noqa: PLC0415 -- only where there is a server

    known = {"user": at["USER"], "password": at["PASSWORD"], "host": at["HOST"]}
    with psycopg.connect(dbname="postgres", port=at["PORT"], autocommit=True, **known) as server:
        server.execute(statement)


class Server:
    """gunicorn, which may be killed and started again. The listening socket is ours and stays: who
    connects meanwhile waits in its queue, who was being answered is cut off.
    """

    def __init__(self, environment: dict[str, str]) -> None:
        self.environment = environment
        self.listening = socket.create_server(("127.0.0.1", 0), backlog=64)
        self.start()

    @property
    def port(self) -> int:
        return int(self.listening.getsockname()[1])

    def start(self) -> None:
        descriptor = self.listening.fileno()
        self.process = subprocess.Popen(
            [
                sys.executable, "-m", "gunicorn", "studio.config.wsgi", "--workers", "1",
                "--threads", "4", "--bind", f"fd://{descriptor}", "--log-level", "critical",
            ],
            cwd=django_settings.BASE_DIR,
            env=self.environment,
            pass_fds=[descriptor],
            start_new_session=True,
        )  # fmt: skip

    def kill(self) -> None:
        """The master and its worker at once, with no word to either."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def kill_and_start(self) -> None:
        self.kill()
        self.start()


class Phone:
    """Sends each thing until somebody answers, with the same key, as a phone does."""

    def __init__(self, server: Server, secret: str) -> None:
        self.server, self.secret = server, secret
        self.cut_off = 0

    def send(self, path: str, body: dict[str, Any], key: str) -> int:
        while True:
            try:
                return self._once(path, body, key)
            except (OSError, http.client.HTTPException):
                # Cut off in the middle: whether it was done, the phone can't tell.
                self.cut_off += 1

    def _once(self, path: str, body: dict[str, Any], key: str) -> int:
        line = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60)
        headers = {
            "Authorization": f"Token {self.secret}",
            "Content-Type": "application/json",
            "Idempotency-Key": key,
        }
        with closing(line):
            line.request("POST", path, json.dumps(body), headers)
            return line.getresponse().status


def _run(program: str, environment: dict[str, str]) -> Any:
    done = subprocess.run(
        [sys.executable, "manage.py", "shell", "--no-imports", "-c", program],
        cwd=django_settings.BASE_DIR,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(done.stdout.splitlines()[-1])


def test_fifty_kills_lose_nothing_acknowledged_and_post_nothing_twice(
    address: str, tmp_path: Path
) -> None:
    environment = {
        **os.environ,
        "DATABASE_URL": address,
        "MEDIA_ROOT": str(tmp_path / "media"),
        "TASKS": "immediate",
        "SECRET_KEY": "killed",
    }
    subprocess.run(
        [sys.executable, "manage.py", "migrate", "--verbosity", "0"],
        cwd=django_settings.BASE_DIR,
        env=environment,
        check=True,
    )
    known = _run(BEGIN, environment)
    server = Server(environment)
    phone = Phone(server, known["secret"])
    rng = random.Random(4000)
    acknowledged: list[str] = []
    try:
        for _kill in range(KILLS):
            killer = threading.Timer(rng.uniform(0, 0.3), server.kill_and_start)
            killer.start()
            while killer.is_alive():
                acknowledged.append(_hand_out(phone, known, len(acknowledged)))
            acknowledged.append(_hand_out(phone, known, len(acknowledged)))
    finally:
        server.kill()
        server.listening.close()
    found = _run(COUNT, environment)
    assert found["tables"] == found["flaws"] == acknowledged
    assert found["balance"] == found["sum"] == LOT_G - EACH_G * len(acknowledged)
    assert found["audits"] == len(acknowledged)
    assert phone.cut_off > 0


def _hand_out(phone: Phone, known: dict[str, str], number: int) -> str:
    """Some clay to a table, and a flaw noted on a pot: neither may be there twice."""
    table = f"table {number:05d}"
    body = {"table": table, "lot": known["lot"], "grams": EACH_G}
    assert phone.send("/api/clay-issues/", body, f"clay-{number}") == 201
    flaws = f"/api/pots/{known['pot']}/flaws/"
    assert phone.send(flaws, {"what": table}, f"flaw-{number}") == 201
    return table
