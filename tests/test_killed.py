"""kill -9 of the web process at any moment: what was acknowledged is there, nothing is there twice.

A real server on a database of its own, killed many times while a person hands out clay and moves
pots; each request is tried again after the server is back, as a phone does. Both databases.
"""

import http.client
import json
import random
import threading
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tests.own_server import Server, own_place, told

pytestmark = [pytest.mark.slow]

KILLS = 25  # on each database
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


def test_kills_lose_nothing_acknowledged_and_post_nothing_twice(tmp_path: Path) -> None:
    with own_place(tmp_path, tasks="immediate") as environment:
        known = told(environment, BEGIN)
        server = Server(environment)
        phone = Phone(server, known["secret"])
        try:
            acknowledged = _killed_and_handed_out(server, phone, known)
        finally:
            server.close()
        found = told(environment, COUNT)
    assert found["tables"] == found["flaws"] == acknowledged
    assert found["balance"] == found["sum"] == LOT_G - EACH_G * len(acknowledged)
    assert found["audits"] == len(acknowledged)
    assert phone.cut_off > 0


def _killed_and_handed_out(server: Server, phone: Phone, known: dict[str, str]) -> list[str]:
    rng = random.Random(4000)
    acknowledged: list[str] = []
    for _kill in range(KILLS):
        killer = threading.Timer(rng.uniform(0, 0.3), server.kill_and_start)
        killer.start()
        while killer.is_alive():
            acknowledged.append(_hand_out(phone, known, len(acknowledged)))
        acknowledged.append(_hand_out(phone, known, len(acknowledged)))
    return acknowledged


def _hand_out(phone: Phone, known: dict[str, str], number: int) -> str:
    """Some clay to a table, and a flaw noted on a pot: neither may be there twice."""
    table = f"table {number:05d}"
    body = {"table": table, "lot": known["lot"], "grams": EACH_G}
    assert phone.send("/api/clay-issues/", body, f"clay-{number}") == 201
    flaws = f"/api/pots/{known['pot']}/flaws/"
    assert phone.send(flaws, {"what": table}, f"flaw-{number}") == 201
    return table
