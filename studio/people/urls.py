"""Addresses of people, classes and dates. The name is the view's and the template's."""

from django.urls import path

from .views import cards, classes, dates, people, roster, signing_in, studio

urlpatterns = [
    path("sign-in/", signing_in.sign_in, name="sign_in"),
    path("sign-in/<slug:slug>/", signing_in.sign_in, name="sign_in"),
    path("sign-out/", signing_in.sign_out, name="sign_out"),
    path("password/", signing_in.password, name="password"),
    path("people/", people.people, name="people"),
    path("people/new/", people.staff_new, name="staff_new"),
    path("people/<uuid:pk>/", people.person, name="person"),
    path("people/<uuid:pk>/edit/", people.person_edit, name="person_edit"),
    path("people/<uuid:pk>/reset/", people.person_reset, name="person_reset"),
    path("people/<uuid:pk>/unlock/", people.person_unlock, name="person_unlock"),
    path("people/<uuid:pk>/account/", people.person_account, name="person_account"),
    path("roster/", roster.roster, name="roster"),
    path("roster/<slug:digest>/", roster.roster_preview, name="roster_preview"),
    path("roster/<slug:digest>/apply/", roster.roster_apply, name="roster_apply"),
    path("settings/", studio.settings, name="settings"),
    path("settings/closures/", studio.closure_new, name="closure_new"),
    path("settings/closures/<uuid:pk>/end/", studio.closure_end, name="closure_end"),
    path("tokens/", studio.tokens, name="tokens"),
    path("tokens/<uuid:pk>/end/", studio.token_end, name="token_end"),
    path("classes/new/", classes.class_new, name="class_new"),
    path("classes/<uuid:pk>/edit/", classes.class_edit, name="class_edit"),
    path("classes/<uuid:pk>/people/", classes.class_people, name="class_people"),
    path("classes/<uuid:pk>/people/new/", classes.class_student_new, name="class_student_new"),
    path("classes/<uuid:pk>/people/<uuid:student>/enrol/", classes.class_enrol, name="class_enrol"),
    path("classes/<uuid:pk>/people/<uuid:student>/leave/", classes.class_leave, name="class_leave"),
    path("classes/<uuid:pk>/people/<uuid:student>/move/", classes.class_move, name="class_move"),
    path(
        "classes/<uuid:pk>/people/<uuid:student>/absent/",
        classes.class_absent,
        name="class_absent",
    ),
    path("classes/<uuid:pk>/cards/", cards.sign_in_cards, name="sign_in_cards"),
    path("classes/<uuid:pk>/dates/", dates.class_dates, name="class_dates"),
    path("classes/<uuid:pk>/dates/new/", dates.class_date_new, name="class_date_new"),
    path("classes/<uuid:pk>/dates/<uuid:meeting>/", dates.class_date, name="class_date"),
    path(
        "classes/<uuid:pk>/dates/<uuid:meeting>/cancel/",
        dates.class_date_cancel,
        name="class_date_cancel",
    ),
]
