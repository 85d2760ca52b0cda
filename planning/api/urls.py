"""From a brief to an approved plan, under /api/."""

from django.urls import path

from . import assignments, briefs, ideas, pieces, plans, sheets
from .compute import BuildCheckCompute, PlanCompute
from .compute_drawing import DrawingCompute
from .compute_exploration import ExplorationCompute
from .compute_sheet import SheetCompute

urlpatterns = [
    path("compute/plan/", PlanCompute.as_view(), name="api_compute_plan"),
    path("compute/build-check/", BuildCheckCompute.as_view(), name="api_compute_build_check"),
    path("compute/drawing/", DrawingCompute.as_view(), name="api_compute_drawing"),
    path("compute/exploration/", ExplorationCompute.as_view(), name="api_compute_exploration"),
    path("compute/sheet/", SheetCompute.as_view(), name="api_compute_sheet"),
    path("pieces/", pieces.Pieces.as_view(), name="api_pieces"),
    path("pieces/<uuid:pk>/", pieces.OnePiece.as_view(), name="api_piece"),
    path(
        "pieces/<uuid:pk>/thumbnails/",
        pieces.PieceThumbnails.as_view(),
        name="api_piece_thumbnails",
    ),
    path("pieces/<uuid:pk>/sheets/", sheets.PieceSheets.as_view(), name="api_piece_sheets"),
    path("sheets/<uuid:pk>/take/", sheets.SheetTake.as_view(), name="api_sheet_take"),
    path(
        "pieces/<uuid:pk>/refinements/",
        pieces.PieceRefinements.as_view(),
        name="api_piece_refinements",
    ),
    path("pieces/<uuid:pk>/choice/", pieces.PieceChoice.as_view(), name="api_piece_choice"),
    path("pieces/<uuid:pk>/ideas/", ideas.PieceIdeas.as_view(), name="api_piece_ideas"),
    path(
        "pieces/<uuid:pk>/idea-changes/",
        ideas.IdeaChanges.as_view(),
        name="api_idea_changes",
    ),
    path(
        "idea-changes/<uuid:pk>/undo/",
        ideas.IdeaChangeUndo.as_view(),
        name="api_idea_change_undo",
    ),
    path("pieces/<uuid:pk>/plans/", plans.PiecePlans.as_view(), name="api_piece_plans"),
    path("pieces/<uuid:pk>/plans/draft/", plans.PlanDraft.as_view(), name="api_plan_draft"),
    path("pieces/<uuid:pk>/plans/send/", plans.PlanSend.as_view(), name="api_plan_send"),
    path("plans/", plans.Plans.as_view(), name="api_plans"),
    path("plans/<uuid:pk>/take-back/", plans.PlanTakeBack.as_view(), name="api_plan_take_back"),
    path("plans/<uuid:pk>/approve/", plans.PlanApprove.as_view(), name="api_plan_approve"),
    path("plans/<uuid:pk>/send-back/", plans.PlanSendBack.as_view(), name="api_plan_send_back"),
    path("briefs/", briefs.Briefs.as_view(), name="api_briefs"),
    path("briefs/<uuid:pk>/", briefs.OneBrief.as_view(), name="api_brief"),
    path("briefs/<uuid:pk>/copies/", briefs.BriefCopies.as_view(), name="api_brief_copies"),
    path("briefs/<uuid:pk>/give/", briefs.BriefGive.as_view(), name="api_brief_give"),
    path("source-forms/", briefs.SourceForms.as_view(), name="api_source_forms"),
    path("source-forms/<uuid:pk>/", briefs.OneSourceForm.as_view(), name="api_source_form"),
    path("assignments/", assignments.Assignments.as_view(), name="api_assignments"),
    path("assignments/<uuid:pk>/", assignments.OneAssignment.as_view(), name="api_assignment"),
    path(
        "assignments/<uuid:pk>/dates/",
        assignments.AssignmentDates.as_view(),
        name="api_assignment_dates",
    ),
    path(
        "assignments/<uuid:pk>/ideas/",
        assignments.AssignmentIdeas.as_view(),
        name="api_assignment_ideas",
    ),
    path(
        "assignments/<uuid:pk>/pieces/",
        assignments.AssignmentPieces.as_view(),
        name="api_assignment_pieces",
    ),
]
