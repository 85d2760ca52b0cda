"""Who may use the API at all; rows come from each model's `visible_to`."""

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _
from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request

from .access import STAFF, TEACHING
from .models import ApiToken

if TYPE_CHECKING:  # the framework's views load this module
    from rest_framework.views import APIView


class SignedInWithinScope(BasePermission):
    """A signed-in person; a token that may only read doesn't write."""

    message = _("This needs an account, and a token that may write if it writes.")

    def has_permission(self, request: Request, view: "APIView") -> bool:
        person = request.user
        if not person.is_authenticated or person.must_change_password:
            return False
        if isinstance(request.auth, ApiToken) and request.auth.scope == ApiToken.Scope.READ:
            return request.method in SAFE_METHODS or getattr(view, "only_computes", False)
        return True


class Staff(SignedInWithinScope):
    message = _("Only staff of a studio may do this.")

    def has_permission(self, request: Request, view: "APIView") -> bool:
        return super().has_permission(request, view) and (
            getattr(request.user, "role", "") in STAFF
        )


class Teaching(SignedInWithinScope):
    """Teachers and heads."""

    message = _("Only teachers may do this.")

    def has_permission(self, request: Request, view: "APIView") -> bool:
        return super().has_permission(request, view) and (
            getattr(request.user, "role", "") in TEACHING
        )
