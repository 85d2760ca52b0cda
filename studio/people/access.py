"""Who may open a page. Which rows they see is each model's `visible_to`."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.http.response import HttpResponseBase

from .models import Role, Section, Studio, User

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponseBase]

STAFF = (Role.HEAD, Role.TEACHER, Role.TECHNICIAN)
TEACHING = (Role.HEAD, Role.TEACHER)


def only(*roles: Role) -> Callable[[View[P]], View[P]]:
    """Signed-out people sign in first; people of another role are refused."""

    def decorate(view: View[P]) -> View[P]:
        @wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            if not request.user.is_authenticated:
                return redirect_to_login(request.get_full_path())
            if request.user.role not in roles:
                raise PermissionDenied
            return view(request, *args, **kwargs)

        return guarded

    return decorate


def person_of(request: HttpRequest) -> User:
    """The signed-in person of a guarded view."""
    if not isinstance(request.user, User):
        raise PermissionDenied
    return request.user


def studio_of(person: User) -> Studio:
    """The studio of a person who has one."""
    if person.studio is None:
        raise PermissionDenied
    return person.studio


def require_head(by: User, studio: Studio) -> None:
    """For services: the person is a head of this studio."""
    if not by.is_head or by.studio_id != studio.pk:
        raise PermissionDenied


def require_class(by: User, section: Section) -> None:
    """For services: the person teaches this class, or is head of its studio."""
    if not Section.objects.taught_by(by).filter(pk=section.pk).exists():
        raise PermissionDenied


def require_may_help(by: User, person: User) -> None:
    """For services: may give this person a way back in. Teachers: their own students only."""
    sees = User.objects.visible_to(by).filter(pk=person.pk).exists()
    role_allows = by.is_head or (by.role == Role.TEACHER and person.is_student)
    if person.pk == by.pk or not sees or not role_allows:
        raise PermissionDenied
