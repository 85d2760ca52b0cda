"""People, classes and dates, under /api/."""

from django.urls import path

from . import views

urlpatterns = [
    path("me/", views.Me.as_view(), name="api_me"),
    path("classes/", views.Classes.as_view(), name="api_classes"),
    path("classes/<uuid:pk>/", views.OneClass.as_view(), name="api_class"),
    path(
        "classes/<uuid:pk>/enrolments/",
        views.ClassEnrolments.as_view(),
        name="api_class_enrolments",
    ),
    path("classes/<uuid:pk>/meetings/", views.ClassMeetings.as_view(), name="api_class_meetings"),
    path("meetings/<uuid:pk>/", views.OneMeeting.as_view(), name="api_meeting"),
]
