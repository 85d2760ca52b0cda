"""What build checks come to, for whoever marks, and on a page's number of queries."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessments.selectors.evidence import evidence_of
from assessments.selectors.marks import loaded
from planning.bench.measured import Measured
from planning.models import Piece
from studio.bench.services import lay_rows, strike_out
from studio.people.models import User
from studio.ware.models import Pot
from tests.cast import NOW, School, signed_in
from tests.studio.bench.pots import SOON, WITHIN, checked, laid
from tests.studio.ware.pots import a_pot

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def beside_silhouette(pot: Pot) -> str:
    [piece] = loaded(Piece.objects.filter(pk=pot.piece_id))
    return " ".join(evidence_of([piece])[piece.pk].beside("silhouette").sentences)


def test_nobody_checked_so_nothing_is_said(cast: School) -> None:
    assert "build check" not in beside_silhouette(a_pot(cast))


def test_the_farthest_and_the_last_are_told(cast: School) -> None:
    pot = laid(cast)
    checked(pot, cast.student)
    said = "1 build check, at most 1.6\xa0cm off. In the last one 1.6\xa0cm."
    assert said in beside_silhouette(pot)
    checked(pot, cast.student, WITHIN, hours=2)
    said = "2 build checks, at most 1.6\xa0cm off. In the last one all was within."
    assert said in beside_silhouette(pot)


def test_a_struck_out_check_counts_no_longer(cast: School) -> None:
    pot = laid(cast)
    wrong = checked(pot, cast.student)
    strike_out(check=wrong, reason="The other pot", by=cast.student, at=SOON)
    assert "build check" not in beside_silhouette(pot)


def queries(by: User, name: str, of: object) -> int:
    client, address = signed_in(by), reverse(name, args=[of])
    client.get(address)
    with CaptureQueriesContext(connection) as captured:
        assert client.get(address).status_code == 200
    return len(captured)


def test_the_bench_takes_as_few_queries_for_many_rows_and_checks_as_for_none(cast: School) -> None:
    pot = a_pot(cast)
    few = {by: queries(by, "bench", pot.pk) for by in (cast.student, cast.teacher)}
    lay_rows(pot=pot, row=9, by=cast.student, at=NOW)
    for hours in range(1, 6):
        low = Measured(50, "stiff", front_mm=160)
        checked(pot, cast.student, (*WITHIN, low), hours)
    many = {by: queries(by, "bench", pot.pk) for by in (cast.student, cast.teacher)}
    assert many == few
    assert max(many.values()) < 15
