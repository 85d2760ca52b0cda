"""What stands beside each criterion: true, and nothing that isn't the maker's doing."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from assessments.selectors.evidence import Evidence, PieceEvidence, evidence_of
from assessments.selectors.marks import loaded
from planning.geometry.inputs import Outline
from planning.models import Assignment, Choice, Piece, PlanVersion, Refinement, Thumbnail
from planning.services.assignments import count_ideas
from planning.services.choosing import choose_design
from planning.services.plans import approve, save_draft, send_back, send_plan
from studio.uploads.models import StoredImage
from studio.ware.models import Pot, PotPhoto
from studio.ware.services import (
    add_pot_photo,
    begin_pot,
    lose_pots,
    note_flaw,
    set_flaw_cause,
    set_loss_cause,
)
from tests.cast import NOW, School
from tests.planning.work import a_piece, choose, drawn_plan, photo, refine
from tests.school_size import fill
from tests.studio.ware.pots import a_pot, check, dried, move

pytestmark = [pytest.mark.django_db, pytest.mark.both_databases]


def evidence(piece: Piece) -> PieceEvidence:
    [found] = loaded(Piece.objects.filter(pk=piece.pk))
    return evidence_of([found])[piece.pk]


def beside(piece: Piece, kind: str) -> Evidence:
    return evidence(piece).beside(kind)


def days(count: int) -> datetime:
    return NOW + timedelta(days=count)


def a_photo(pot: Pot, occasion: str, at: datetime = NOW, shade: int = 0) -> PotPhoto:
    made = add_pot_photo(pot=pot, occasion=occasion, file=photo(shade), by=pot.piece.student, at=at)
    StoredImage.objects.filter(pk=made.image_id).update(
        state="ready", full_file="f", small_file="s", width=24, height=24
    )
    return made


DRAWN = (
    "6 thumbnails (6 asked) from 3 source forms (3 asked). "
    "Drawn: Monday 9 March 2026, Tuesday 10 March 2026."
)
PLANNED = (
    "Planned as built, wet: 20.0 cm tall, 19.0 cm wide, 19.0 cm deep. "
    "Once dry, that is 18.8 cm tall, 17.9 cm wide, 17.9 cm deep."
)
MEASURED = (
    "Measured on Wednesday 11 March 2026, when building ended: 19.4 cm tall, 19.1 cm wide, "
    "18.4 cm deep. Against the wet plan: height −0.6 cm, width +0.1 cm, depth −0.6 cm."
)


class TestExploration:
    def test_a_piece_of_which_nothing_is_drawn(self, cast: School) -> None:
        found = beside(a_piece(cast), "exploration")
        assert found == Evidence(("No thumbnail stands.", "No design was chosen."))

    def test_counts_days_choice_and_refinements(self, cast: School) -> None:
        piece = a_piece(cast)
        last = choose(cast, piece)  # six, from three source forms
        refine(piece, 2)
        drawn = list(Thumbnail.objects.filter(piece=piece).order_by("position"))
        for n, each in enumerate(drawn):
            Thumbnail.objects.filter(pk=each.pk).update(added_at=days(-2 if n < 4 else -1))
        Refinement.objects.filter(piece=piece).update(added_at=days(2))
        found = beside(piece, "exploration")
        assert found.sentences == (
            DRAWN,
            "Chosen on Wednesday 11 March 2026, after 6 thumbnails.",
            "The chosen one is number 6 of 6 in order of time.",
            "The student's reason: It holds more than it shows.",
            "2 refinements after it (2 asked). Drawn: Friday 13 March 2026.",
        )
        assert [each.kind for each in found.pictures] == ["thumbnail"] * 6 + ["refinement"] * 2
        assert [each.pk for each in found.pictures if each.chosen] == [str(last.pk)]
        captions = [each.caption for each in found.pictures]
        assert captions[0] == "1 · poppy head, 9 March"
        assert captions[5].startswith("6 · ")
        assert captions[6:] == ["refinement 1, 13 March", "refinement 2, 13 March"]

    def test_what_came_after_the_first_choice_is_told(self, cast: School) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        first, *others = Thumbnail.objects.filter(piece=piece).order_by("position")
        Thumbnail.objects.filter(pk__in=[each.pk for each in others[-2:]]).update(added_at=days(1))
        choose_design(
            piece=piece, thumbnail=first, reason="A calmer foot.", by=cast.student, at=days(2)
        )
        said = beside(piece, "exploration").sentences
        assert "Chosen on Wednesday 11 March 2026, after 4 thumbnails." in said
        assert "2 thumbnails after the choice." in said
        assert "The choice was changed on Friday 13 March 2026." in said
        assert "The student's reason: A calmer foot." in said
        assert said[-1] == "No refinement after it (2 asked)."

    def test_the_first_drawing_chosen_is_said_so_and_the_strip_runs_in_time(
        self, cast: School
    ) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        refine(piece, 1)
        first, *others = Thumbnail.objects.filter(piece=piece).order_by("position")
        Thumbnail.objects.filter(pk=first.pk).update(added_at=days(-3))
        Thumbnail.objects.filter(pk=others[-1].pk).update(added_at=days(4))
        Refinement.objects.filter(piece=piece).update(added_at=days(1))
        choose_design(piece=piece, thumbnail=first, reason="Calm.", by=cast.student, at=days(2))
        found = beside(piece, "exploration")
        assert "The chosen one is the first drawing of 6." in found.sentences
        assert [each.caption.split(" · ")[0] for each in found.pictures] == [
            *"12345",
            "refinement, 12 March",
            "6",
        ]
        assert found.pictures[0].chosen
        assert [each.kind for each in found.pictures[-2:]] == ["refinement", "thumbnail"]

    def test_the_ideas_of_the_first_choice_are_told_where_they_are_counted(
        self, cast: School
    ) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        chosen = Choice.objects.filter(piece=piece)
        cases = (
            ((4.4, 3.2, 6.0), "About 4 ideas by then; between 3 and 6."),
            ((0.9, 0.4, 1.2), "About 1 idea by then."),
            ((1.2, 1.0, 2.0), "About 1 idea by then; between 1 and 2."),
        )
        for (distinct, low, high), sentence in cases:
            chosen.update(distinct=distinct, low=low, high=high)
            assert sentence in beside(piece, "exploration").sentences
        count_ideas(assignment=piece.assignment, counted=False, by=cast.teacher)
        assert "by then" not in " ".join(beside(piece, "exploration").sentences)

    def test_many_days_are_told_as_a_span(self, cast: School) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        for n, each in enumerate(Thumbnail.objects.filter(piece=piece)):
            Thumbnail.objects.filter(pk=each.pk).update(added_at=days(-n))
        said = beside(piece, "exploration").sentences[0]
        assert "6 days between Friday 6 March 2026 and Wednesday 11 March 2026" in said

    def test_withdrawn_and_unread_drawings_are_no_evidence(self, cast: School) -> None:
        piece = a_piece(cast)
        choose(cast, piece)
        one, two, *_rest = Thumbnail.objects.filter(piece=piece).order_by("position")
        Thumbnail.objects.filter(pk=one.pk).update(withdrawn_at=NOW)
        StoredImage.objects.filter(pk=two.image_id).update(
            state="received", full_file="", small_file=""
        )
        assert len(beside(piece, "exploration").pictures) == 4


class TestSilhouette:
    def test_a_piece_without_a_plan(self, cast: School) -> None:
        assert beside(a_piece(cast), "silhouette") == Evidence(("No plan was sent.",))

    def test_planned_and_measured_with_what_drying_takes(self, cast: School) -> None:
        """The plan of `tests.planning.work` is 200 mm tall and 190 mm wide, wet; its clay dries
        by 6 %, so that it is 188 mm tall and 179 mm wide (178.6) when dry.
        """
        pot = a_pot(cast)
        before = beside(pot.piece, "silhouette")
        assert before.sentences[2] == "Not measured at the end of building."
        check(pot, cast.teacher, front_mm=191.2)
        found = beside(pot.piece, "silhouette")
        said = [each.replace("\N{NO-BREAK SPACE}", " ") for each in found.sentences]
        assert said[:3] == [
            "Version 1 of the plan, approved; 1 sent in all.",
            PLANNED,
            MEASURED,
        ]
        assert "has begun to shrink" in said[3]
        assert list(found.silhouette) == pot.plan.silhouette

    def test_a_measure_as_planned_is_said_so(self, cast: School) -> None:
        pot = a_pot(cast)
        check(pot, cast.teacher, height_mm=200.2, front_mm=190, depth_mm=190, confirm=True)
        said = beside(pot.piece, "silhouette").sentences[2]
        assert said.endswith("height as planned, width as planned, depth as planned.")

    def test_each_pot_is_measured_against_the_plan_that_it_was_built_by(self, cast: School) -> None:
        """The first plan is round, the second oval: 190 mm wide, and 133 mm deep at 0.7 of that."""
        pot = a_pot(cast)
        check(pot, cast.teacher, height_mm=200, front_mm=190, depth_mm=190, confirm=True)
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
        save_draft(piece=pot.piece, drawn=drawn_plan(outline=Outline("oval", 0.7)), at=NOW)
        second = send_plan(piece=pot.piece, by=cast.student, at=NOW)
        approve(plan=second, by=cast.teacher, at=NOW)
        begin_pot(piece=pot.piece, by=cast.teacher, at=NOW)
        said = beside(pot.piece, "silhouette").sentences
        assert said[0].startswith("Version 2 of the plan, approved")
        assert "13.3 cm deep" in said[1].replace("\N{NO-BREAK SPACE}", " ")
        assert said[2] == "Not measured at the end of building."
        assert said[3].startswith(f"The earlier pot {pot.code} was measured on Wednesday 11 March")
        assert said[3].endswith("height as planned, width as planned, depth as planned.")

    def test_versions_and_checks_of_the_plan_that_was_built(self, cast: School) -> None:
        pot = a_pot(cast)
        save_draft(piece=pot.piece, drawn=drawn_plan(wall_base_mm=4.0, wall_rim_mm=4.0), at=NOW)
        second = send_plan(piece=pot.piece, by=cast.student, at=NOW)
        send_back(plan=second, by=cast.teacher, at=NOW, note="Thicker.")
        said = beside(pot.piece, "silhouette").sentences
        assert said[0] == "Version 1 of the plan, approved; 2 sent in all. Sent back once."
        Pot.objects.all().delete()
        PlanVersion.objects.filter(number=1).delete()
        again = beside(pot.piece, "silhouette").sentences
        assert again[0].startswith("Version 2 of the plan, sent back; 1 sent in all.")
        assert any(each.startswith("When it was sent, the plan's check said: ") for each in again)


class TestJoints:
    def test_only_what_came_from_making(self, cast: School) -> None:
        pot = a_pot(cast)
        causes = ("making", "drying", "kiln", "accident", "unknown")
        for n, cause in enumerate(causes):
            flaw = note_flaw(pot=pot, what=f"Crack {n}", by=cast.student, at=NOW, mended="slip")
            set_flaw_cause(flaw=flaw, cause=cause, by=cast.teacher)
        bare = note_flaw(pot=pot, what="Seam", by=cast.student, at=days(1))
        set_flaw_cause(flaw=bare, cause="making", by=cast.teacher)
        assert beside(pot.piece, "joints").sentences == (
            f"{pot.code}, flaw from making, Wednesday 11 March 2026: Crack 0. Mended: slip.",
            f"{pot.code}, flaw from making, Thursday 12 March 2026: Seam.",
            "The cause of 1 flaw or loss isn't set yet; it may come from making.",
        )

    @pytest.mark.parametrize("cause", ["making", "drying", "kiln", "accident", "unknown"])
    def test_a_loss_is_beside_joints_only_if_making_was_the_cause(
        self, cast: School, cause: str
    ) -> None:
        pot = a_pot(cast)
        [loss] = lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=days(1))
        set_loss_cause(loss=loss, cause=cause, by=cast.teacher)
        said = beside(pot.piece, "joints").sentences
        if cause == "making":
            assert said == (
                f"{pot.code}, broken on Thursday 12 March 2026 when it was wet; cause: making.",
            )
        else:
            assert said[0] == "No flaw and no loss from making is recorded."
            assert len(said) == (2 if cause == "unknown" else 1)
            everything = evidence(pot.piece)
            assert "kiln" not in str(everything)

    def test_photos_while_building_stand_beside_it(self, cast: School) -> None:
        pot = a_pot(cast)
        built = a_photo(pot, "building")
        a_photo(pot, "finished", shade=9)
        assert [each.pk for each in beside(pot.piece, "joints").pictures] == [str(built.pk)]


class TestRim:
    def test_no_photo_yet(self, cast: School) -> None:
        said = beside(a_piece(cast), "rim").sentences
        assert said == ("No photo of the pot yet.",)

    def test_photos_newest_first(self, cast: School) -> None:
        pot = a_pot(cast)
        first = a_photo(pot, "building")
        last = a_photo(pot, "finished", at=days(5), shade=9)
        found = beside(pot.piece, "rim")
        assert [each.pk for each in found.pictures] == [str(last.pk), str(first.pk)]
        assert found.sentences == (f"The newest photo: {pot.code}, finished, 16 March.",)


class TestTheWayOfThePot:
    def test_stages_in_order(self, cast: School) -> None:
        assert evidence(a_piece(cast)).history == Evidence(("No pot has been begun.",))
        pot = dried(a_pot(cast), cast.teacher)
        [said] = evidence(pot.piece).history.sentences
        assert said == (
            f"{pot.code}: wet Wednesday 11 March 2026; leather-hard Wednesday 11 March 2026; "
            "bone dry Saturday 14 March 2026"
        )

    def test_a_broken_pot_is_marked_from_its_last_photos(self, cast: School) -> None:
        pot = a_pot(cast)
        move(pot, "leather_hard", cast.teacher)
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=days(2), cause="kiln")
        bare = evidence(pot.piece).lost
        assert bare.endswith("and there is no photo of it.")
        a_photo(pot, "building", at=days(1))
        assert evidence(pot.piece).lost == (
            f"Pot {pot.code} is broken since Friday 13 March 2026. It is marked from its last "
            "photos, the newest of Thursday 12 March 2026."
        )

    def test_a_pot_that_stands_again_is_marked_itself(self, cast: School) -> None:
        pot = a_pot(cast)
        lose_pots(pots=[pot], kind="broken", by=cast.teacher, at=NOW)
        begin_pot(piece=pot.piece, by=cast.teacher, at=days(1))
        found = evidence(pot.piece)
        assert found.lost == ""
        assert [each.partition(":")[0] for each in found.history.sentences] == [
            f"{pot.code}/2",
            pot.code,
        ]


def test_a_class_takes_as_few_queries_as_a_piece(cast: School) -> None:
    pot = a_pot(cast)
    approve_all = Assignment.objects.get(pk=pot.piece.assignment_id)

    def counted() -> int:
        pieces = list(loaded(Piece.objects.filter(assignment=approve_all)))
        with CaptureQueriesContext(connection) as captured:
            evidence_of(pieces)
        return len(captured)

    few = counted()
    fill(approve_all, 30)
    assert counted() == few == 7


def test_what_is_frozen_is_read_back_as_it_was(cast: School) -> None:
    pot = a_pot(cast)
    for kind in ("exploration", "silhouette"):
        found = beside(pot.piece, kind)
        assert Evidence.from_json(found.as_json()) == found


def test_a_plan_that_was_approved_holds_before_a_newer_one(cast: School) -> None:
    piece: Any = a_pot(cast).piece
    Pot.objects.all().delete()
    save_draft(piece=piece, drawn=drawn_plan(outline=Outline("oval", 0.7)), at=NOW)
    newer = send_plan(piece=piece, by=cast.student, at=NOW)
    assert beside(piece, "silhouette").sentences[0].startswith("Version 1 of the plan, approved")
    approve(plan=newer, by=cast.teacher, at=NOW)
    assert beside(piece, "silhouette").sentences[0].startswith("Version 2 of the plan, approved")
