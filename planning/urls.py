"""From a brief to an approved plan."""

from django.urls import path

from .views import approving, assignments, briefs, choosing, drawings, papers, plans, source_forms

urlpatterns = [
    path("pieces/<uuid:pk>/thumbnails/", drawings.thumbnails_add, name="thumbnails_add"),
    path("pieces/<uuid:pk>/refinements/", drawings.refinements_add, name="refinements_add"),
    path("thumbnails/<uuid:pk>/", drawings.thumbnail, name="thumbnail"),
    path("thumbnails/<uuid:pk>/move/", drawings.thumbnail_move, name="thumbnail_move"),
    path("drawings/<slug:kind>/<uuid:pk>/", drawings.drawing_card, name="drawing_card"),
    path(
        "drawings/<slug:kind>/<uuid:pk>/withdraw/",
        drawings.drawing_withdraw,
        name="drawing_withdraw",
    ),
    path(
        "drawings/<slug:kind>/<uuid:pk>/bring-back/",
        drawings.drawing_bring_back,
        name="drawing_bring_back",
    ),
    path(
        "drawings/<slug:kind>/<uuid:pk>/<slug:size>.jpg",
        drawings.drawing_image,
        name="drawing_image",
    ),
    path("pieces/<uuid:pk>/choose/", choosing.choose, name="choose"),
    path("pieces/<uuid:pk>/let-choose/", choosing.let_choose, name="let_choose"),
    path("pieces/<uuid:pk>/plan/", plans.plan, name="plan"),
    path("pieces/<uuid:pk>/plan/live/", plans.plan_live, name="plan_live"),
    path("pieces/<uuid:pk>/plan/begin-again/", plans.plan_begin_again, name="plan_begin_again"),
    path("pieces/<uuid:pk>/print/", papers.plan_papers, name="plan_papers"),
    path("pieces/<uuid:pk>/print/<slug:kind>/", papers.plan_paper_pdf, name="plan_paper_pdf"),
    path("scale-card/", papers.scale_card_pdf, name="scale_card_pdf"),
    path("plans/<uuid:pk>/take-back/", plans.plan_take_back, name="plan_take_back"),
    path("plans/", approving.plans, name="plans"),
    path("plans/<uuid:pk>/", approving.plan_review, name="plan_review"),
    path("briefs/", briefs.briefs, name="briefs"),
    path("briefs/new/", briefs.brief_new, name="brief_new"),
    path("briefs/<uuid:pk>/", briefs.brief, name="brief"),
    path("briefs/<uuid:pk>/edit/", briefs.brief_edit, name="brief_edit"),
    path("briefs/<uuid:pk>/copy/", briefs.brief_copy, name="brief_copy"),
    path("briefs/<uuid:pk>/put-away/", briefs.brief_put_away, name="brief_put_away"),
    path("briefs/<uuid:pk>/take-out/", briefs.brief_take_out, name="brief_take_out"),
    path("briefs/<uuid:pk>/give/", briefs.give_brief, name="give_brief"),
    path("assignments/<uuid:pk>/dates/", assignments.assignment_dates, name="assignment_dates"),
    path("assignments/<uuid:pk>/start/", assignments.pieces_start, name="pieces_start"),
    path(
        "assignments/<uuid:pk>/take-back/",
        assignments.assignment_take_back,
        name="assignment_take_back",
    ),
    path("source-forms/", source_forms.source_forms, name="source_forms"),
    path("source-forms/<uuid:pk>/", source_forms.source_form_edit, name="source_form_edit"),
    path(
        "source-forms/<uuid:pk>/retire/",
        source_forms.source_form_retire,
        name="source_form_retire",
    ),
    path("source-forms/<uuid:pk>/offer/", source_forms.source_form_offer, name="source_form_offer"),
]
