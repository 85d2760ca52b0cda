"""Students' sessions are short and end with the browser, because devices are shared."""

from datetime import datetime, timedelta

from django.contrib.auth import login
from django.http import HttpRequest

from .models import User

SCHOOL_DAY = timedelta(hours=8)
_ENDS_AT = "ends_at"


def start_session(request: HttpRequest, person: User, at: datetime) -> None:
    login(request, person)
    if person.is_student:
        request.session.set_expiry(0)
        request.session[_ENDS_AT] = (at + SCHOOL_DAY).timestamp()


def session_is_over(request: HttpRequest, at: datetime) -> bool:
    ends_at = request.session.get(_ENDS_AT)
    return ends_at is not None and at.timestamp() >= ends_at
