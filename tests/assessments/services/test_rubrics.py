"""Rubrics: what ships, what is refused at which field, and versions that don't change."""

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied

from assessments.models import Rubric, RubricVersion
from assessments.selectors.rubrics import (
    criteria_in,
    default_version,
    most_points,
    newest_version,
    version_of,
    versions_to_choose,
)
from assessments.services.choosing_rubric import choose_rubric
from assessments.services.rubrics import (
    CriterionWritten,
    LevelWritten,
    change_rubric,
    create_rubric,
    ensure_rubric,
    put_away_rubric,
    take_out_rubric,
    written_in,
)
from assessments.services.shipped_rubric import CRITERIA
from studio.errors import Conflict, Refused
from studio.people.models import AuditEntry, Studio
from tests.assessments.work import criteria, mark, the_rubric, written
from tests.cast import NOW, School
from tests.planning.projects import given
from tests.planning.work import a_piece, piece_of

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def a_rubric(cast: School, title: str = "Bowls", *each: CriterionWritten) -> Rubric:
    return create_rubric(
        studio=cast.studio, by=cast.teacher, title=title, criteria=each or [written()], at=NOW
    )


def change(rubric: Rubric, cast: School, *each: CriterionWritten, **more: Any) -> RubricVersion:
    wanted: dict[str, Any] = {
        "seen": newest_version(rubric).pk,
        "title": rubric.title,
        "by": cast.teacher,
    } | more
    return change_rubric(rubric=rubric, criteria=each or [written("lid")], at=NOW, **wanted)


class TestShipped:
    def test_a_studio_begins_with_four_criteria_of_four_levels(self, cast: School) -> None:
        for _again in range(2):
            ensure_rubric(studio=cast.studio, at=NOW)
        rubric = Rubric.objects.get(studio=cast.studio)
        seen = criteria(newest_version(rubric))
        assert [each.title for each in seen] == [
            "exploration before commitment",
            "silhouette control",
            "joint quality",
            "rim finish",
        ]
        assert [each.evidence for each in seen] == ["exploration", "silhouette", "joints", "rim"]
        for each in seen:
            assert [int(level.points) for level in each.levels] == [1, 2, 3, 4]
        assert most_points(seen) == 16

    def test_descriptors_describe_and_neither_count_nor_rate(self) -> None:
        """Brookhart 2018, "Appropriate Criteria: Key to Effective Rubrics": describe quality; no
        counts of occurrences, no rating words. The words looked for here are our own list.
        """
        texts = [text for each in CRITERIA for text in each.descriptors]
        assert len(set(texts)) == 16
        ratings = r"\b(excellent|good|great|fair|poor|bad|weak|adequate|outstanding|average)\b"
        counts = r"\d|\b(two|three|four|five|six|few|many|several|at least|number of)\b"
        assert [text for text in texts if re.search(f"{ratings}|{counts}", text, re.I)] == []


class TestWriting:
    def test_a_rubric_has_its_criteria_in_order_with_the_lowest_level_first(
        self, cast: School
    ) -> None:
        made = a_rubric(
            cast, " Bowls ", written("foot", points=("3", "1")), written("Lid", weight="2.50")
        )
        seen = criteria(newest_version(made))
        assert made.title == "Bowls"
        assert [(each.title, each.weight) for each in seen] == [
            ("foot", Decimal("1.00")),
            ("Lid", Decimal("2.50")),
        ]
        assert [(int(each.points), each.digit) for each in seen[0].levels] == [(1, 1), (3, 2)]
        entry = AuditEntry.objects.get(action="rubric made")
        assert entry.after["criteria"][1]["levels"] == {
            "1": "What Lid shows at 1.",
            "2": "What Lid shows at 2.",
        }

    def test_a_criterion_of_the_same_name_is_the_same_criterion(self, cast: School) -> None:
        shipped = criteria(the_rubric(cast.studio))
        made = a_rubric(cast, "Lids", written("Joint Quality"))
        [own] = criteria(newest_version(made))
        assert own.criterion == shipped[2].criterion

    @pytest.mark.parametrize("who", ["technician", "student", "elsewhere.teacher", "nobody"])
    def test_only_teachers_of_the_studio_write_one(self, cast: School, who: str) -> None:
        rubric, person = a_rubric(cast), cast
        for part in who.split("."):
            person = getattr(person, part)
        with pytest.raises(PermissionDenied):
            change(rubric, cast, by=person)
        with pytest.raises(PermissionDenied):
            put_away_rubric(rubric=rubric, by=person)  # type: ignore[arg-type]

    def test_a_title_is_taken_whatever_its_case(self, cast: School) -> None:
        a_rubric(cast)
        with pytest.raises(Refused, match="rubric “BOWLS” already") as refused:
            a_rubric(cast, "BOWLS")
        assert refused.value.problems[0].field == "title"


def level(points: str, text: str = "It shows.") -> LevelWritten:
    return LevelWritten(Decimal(points), text)


def of(*levels: LevelWritten, **more: Any) -> CriterionWritten:
    values: dict[str, Any] = {"title": "foot", "weight": Decimal(1), "evidence": "none"} | more
    return CriterionWritten(levels=levels, **values)


TWO = (level("1"), level("2"))
REFUSED: list[tuple[Sequence[CriterionWritten], str, str]] = [
    ([], "at least one criterion", "criteria"),
    ([written(f"c{n}") for n in range(13)], "at most 12", "criteria"),
    ([of(*TWO, title="")], "cannot be blank", "criteria.0.title"),
    ([of(*TWO, title="x" * 81)], "at most 80", "criteria.0.title"),
    ([written("Foot"), written("foot")], "Two criteria", "criteria.0.title"),
    ([of(*TWO, weight=Decimal(0))], "greater than or equal to 0.01", "criteria.0.weight"),
    ([of(*TWO, weight=Decimal("1.234"))], "2 decimal places", "criteria.0.weight"),
    ([of(*TWO, weight=Decimal("NaN"))], "not a number", "criteria.0.weight"),
    ([of(*TWO, evidence="hearsay")], "Choose from the list", "criteria.0.evidence"),
    ([of(level("1"))], "2 to 9 levels", "criteria.0.levels"),
    ([of(*(level(str(n)) for n in range(10)))], "2 to 9 levels", "criteria.0.levels"),
    ([of(level("1"), level("1.00"))], "same points", "criteria.0.levels.0.points"),
    ([of(level("-1"), level("1"))], "greater than or equal to 0", "criteria.0.levels.0.points"),
    ([of(level("1"), level("101"))], "less than or equal to 100", "criteria.0.levels.1.points"),
    ([of(level("0"), level("-0.00"))], "more than 0 points", "criteria.0.levels"),
    ([of(level("1", ""), level("2"))], "cannot be blank", "criteria.0.levels.0.descriptor"),
    ([of(level("1"), level("2", "x" * 1001))], "1000", "criteria.0.levels.1.descriptor"),
    (
        [of(level("1"), level("100"), title=f"c{n}", weight=Decimal(100)) for n in range(11)],
        "smaller weights",
        "criteria.0.weight",
    ),
    (
        [of(*TWO), of(level("0"), level("0.99"), title="lid", weight=Decimal("0.01"))],
        "less than 0.01",
        "criteria.1.weight",
    ),
]


@pytest.mark.parametrize(("wrong", "sentence", "field"), REFUSED, ids=lambda each: str(each)[:24])
def test_what_a_rubric_can_t_be_is_said_at_its_field(
    cast: School, wrong: Sequence[CriterionWritten], sentence: str, field: str
) -> None:
    with pytest.raises(Refused) as refused:
        create_rubric(studio=cast.studio, by=cast.teacher, title="Bowls", criteria=wrong, at=NOW)
    assert any(
        sentence in each.message and each.field == field for each in refused.value.problems
    ), refused.value.problems
    assert not Rubric.objects.exists()


class TestVersions:
    def test_an_unused_version_is_replaced(self, cast: School) -> None:
        rubric = a_rubric(cast)
        version = change(rubric, cast, written("lid"), title="Jars")
        rubric.refresh_from_db()
        assert (rubric.title, version.number) == ("Jars", 1)
        assert [each.title for each in criteria(version)] == ["lid"]
        entry = AuditEntry.objects.get(action="rubric changed")
        assert (entry.before["title"], entry.after["title"]) == ("Bowls", "Jars")

    def test_the_version_of_an_assignment_stays_and_the_change_is_the_next(
        self, cast: School
    ) -> None:
        [assignment] = given(cast.teacher, cast.section)
        rubric = a_rubric(cast)
        first = newest_version(rubric)
        choose_rubric(assignment=assignment, version=first, by=cast.teacher, at=NOW)
        before = written_in(first)
        second = change(rubric, cast, written("lid"))
        assert (second.number, written_in(first)) == (2, before)
        assert version_of(assignment) == first

    def test_the_version_of_a_marking_stays(self, cast: School) -> None:
        mark(a_piece(cast), cast.teacher)
        first = the_rubric(cast.studio)
        second = change(first.rubric, cast, written("lid"))
        assert (second.number, len(criteria_in([first.pk])[first.pk])) == (2, 4)

    def test_the_same_again_is_no_change(self, cast: School) -> None:
        rubric = a_rubric(cast)
        first = newest_version(rubric)
        assert change(rubric, cast, written()) == first
        assert not AuditEntry.objects.filter(action="rubric changed").exists()

    def test_whoever_changed_it_first_wins(self, cast: School) -> None:
        rubric = a_rubric(cast)
        seen = newest_version(rubric).pk
        change(rubric, cast, written("lid"))
        with pytest.raises(Conflict, match="changed this rubric meanwhile") as refused:
            change(rubric, cast, written("spout"), seen=seen)
        assert "version 1" in str(refused.value)
        assert [each.title for each in criteria(newest_version(rubric))] == ["lid"]

    def test_a_rubric_is_put_away_and_taken_out_but_one_stays(self, cast: School) -> None:
        shipped, own = the_rubric(cast.studio).rubric, a_rubric(cast)
        for _again in range(2):
            put_away_rubric(rubric=shipped, by=cast.teacher)
        chosen = default_version(cast.studio)
        assert chosen is not None
        assert chosen.rubric == own
        with pytest.raises(Refused, match="One rubric has to stay"):
            put_away_rubric(rubric=own, by=cast.teacher)
        take_out_rubric(rubric=shipped, by=cast.teacher)
        assert default_version(cast.studio) == newest_version(shipped)


class TestChoosing:
    def test_an_assignment_has_the_shipped_rubric_until_another_is_chosen(
        self, cast: School
    ) -> None:
        [assignment] = given(cast.teacher, cast.section)
        assert version_of(assignment) is None
        shipped = the_rubric(cast.studio)
        assert version_of(assignment) == shipped
        own = newest_version(a_rubric(cast))
        for _again in range(2):
            choose_rubric(assignment=assignment, version=own, by=cast.teacher, at=NOW)
        assert version_of(assignment) == own
        assert AuditEntry.objects.filter(action="rubric chosen").count() == 1

    def test_offered_are_newest_versions_and_the_one_it_has(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        own = a_rubric(cast)
        first = newest_version(own)
        choose_rubric(assignment=assignment, version=first, by=cast.teacher, at=NOW)
        second, shipped = change(own, cast), Rubric.objects.create(
            studio=cast.studio, title="Put away", created_at=NOW, archived=True
        )  # fmt: skip
        RubricVersion.objects.create(rubric=shipped, number=1, at=NOW)
        assert list(versions_to_choose(cast.studio, first)) == [first, second]
        assert list(versions_to_choose(cast.studio, None)) == [second]

    def test_it_stays_once_something_is_marked(self, cast: School) -> None:
        piece = a_piece(cast)
        mark(piece, cast.teacher)
        own = newest_version(a_rubric(cast))
        with pytest.raises(Refused, match="marked already") as refused:
            choose_rubric(assignment=piece.assignment, version=own, by=cast.teacher, at=NOW)
        assert refused.value.problems[0].field == "version"

    def test_a_marking_that_was_left_empty_keeps_nothing_from_moving(self, cast: School) -> None:
        piece = a_piece(cast)
        mark(piece, cast.teacher, None, comment="")
        own = newest_version(a_rubric(cast))
        choose_rubric(assignment=piece.assignment, version=own, by=cast.teacher, at=NOW)
        assert version_of(piece.assignment) == own
        assert not piece.markings.exists()

    def test_what_is_not_offered_is_refused(self, cast: School) -> None:
        [assignment] = given(cast.teacher, cast.section)
        there: Studio = cast.elsewhere.studio
        foreign = the_rubric(there)
        the_rubric(cast.studio)
        own = a_rubric(cast)
        gone = newest_version(own)
        change(own, cast)
        away = a_rubric(cast, "Jars")
        put_away_rubric(rubric=away, by=cast.teacher)
        for version in (foreign, gone, newest_version(away)):
            with pytest.raises(Refused, match="not on the list any more"):
                choose_rubric(assignment=assignment, version=version, by=cast.teacher, at=NOW)

    @pytest.mark.parametrize("who", ["other_teacher", "technician", "student"])
    def test_only_those_who_teach_the_class_choose(self, cast: School, who: str) -> None:
        [assignment] = given(cast.teacher, cast.section)
        version = the_rubric(cast.studio)
        with pytest.raises(PermissionDenied):
            choose_rubric(assignment=assignment, version=version, by=getattr(cast, who), at=NOW)

    def test_marking_pins_the_first_rubric(self, cast: School) -> None:
        piece = a_piece(cast)
        mark(piece, cast.teacher)
        own = a_rubric(cast)
        assert version_of(piece_of(piece.assignment, cast.student).assignment) != newest_version(
            own
        )
        assert piece.assignment.rubric.version == the_rubric(cast.studio)
