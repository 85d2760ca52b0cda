"""Who reads marks over the API at all; rows come from `visible_to`."""

from django.utils.translation import gettext_lazy as _
from rest_framework.permissions import SAFE_METHODS
from rest_framework.request import Request
from rest_framework.views import APIView

from studio.people.access import TEACHING
from studio.people.api_access import SignedInWithinScope
from studio.people.models import Role


class ReadsMarks(SignedInWithinScope):
    """Students and those who teach read; only those who teach write. Technicians see no marks."""

    message = _("Only students and their teachers may do this.")

    def has_permission(self, request: Request, view: APIView) -> bool:
        roles = (*TEACHING, Role.STUDENT) if request.method in SAFE_METHODS else TEACHING
        return super().has_permission(request, view) and (
            getattr(request.user, "role", "") in roles
        )
