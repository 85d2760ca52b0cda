"""A foot ring is made last and counts in the size only: said wherever one plans, builds, measures.

Common practice, no source: it is put on at leather-hard, the pot turned over.
"""

from typing import Any

import pytest

from planning.geometry.inputs import FootRing
from planning.models import Piece
from planning.plans.papers import Paper, plan_paper
from planning.services.plans import approve, save_draft
from studio.bench.services import lay_rows
from studio.paper.pages import PAGES, Words
from studio.ware.models import Pot
from studio.ware.services import begin_pot
from tests.cast import NOW, School
from tests.planning.work import a_piece, a_piece_with_a_plan, choose, drawn_plan
from tests.studio.bench.reading import page

pytestmark = pytest.mark.django_db

MADE = "The foot ring, 0.8 cm wide and 1.2 cm high, is made last: when the wall is leather-hard"
COUNTED = "Rows and heights count from the edge of the base; only the size of the whole pot"
MEASURED = "Measure from the edge of the base, not from the table under a ring."


def a_pot(cast: School, **changed: Any) -> Pot:
    plan = a_piece_with_a_plan(cast, "A pot on its foot", **changed)
    approve(plan=plan, by=cast.teacher, at=NOW)
    return begin_pot(piece=plan.piece, by=cast.teacher, at=NOW)


@pytest.fixture
def pot(cast: School) -> Pot:
    return a_pot(cast, foot_ring=FootRing(8, 12))


def test_the_bench_says_it_before_the_first_row_and_when_the_rim_stands(
    cast: School, pot: Pot
) -> None:
    first = page(cast.student, "bench", pot.pk)
    assert first.index(COUNTED) < first.index(MADE) < first.index("Roll a coil")
    lay_rows(pot=pot, row=2, by=cast.student, at=NOW)
    assert MADE not in page(cast.student, "bench", pot.pk)
    lay_rows(pot=pot, row=11, by=cast.student, at=NOW)
    last = page(cast.student, "bench", pot.pk)
    assert last.index("All rows stand") < last.index(MADE)


def test_a_build_check_says_from_where_one_measures(cast: School, pot: Pot) -> None:
    assert MEASURED in page(cast.student, "build_check_new", pot.pk)


def test_the_bench_card_says_it_among_the_checks(cast: School, pot: Pot) -> None:
    paper = plan_paper(pot.plan, lessons=(), address="https://studio.example/", footer="")
    marks = [mark for sheet in paper.sheets(Paper.BENCH, PAGES["a4"]) for mark in sheet.marks]
    said = " ".join(mark.text for mark in marks if isinstance(mark, Words))
    said = said.replace("\xa0", " ")
    assert MADE in said
    assert COUNTED in said


def test_the_plan_page_says_it_beside_the_field(cast: School) -> None:

    piece: Piece = a_piece(cast)
    choose(cast, piece)
    save_draft(piece=piece, drawn=drawn_plan(), at=NOW)
    said = page(cast.student, "plan", piece.pk)
    assert "The foot ring is made last" in said
    assert COUNTED in said


def test_a_pot_without_a_ring_reads_nothing_of_one(cast: School) -> None:
    pot = a_pot(cast)
    for name in ("bench", "build_check_new"):
        assert "ring" not in page(cast.student, name, pot.pk).split()
