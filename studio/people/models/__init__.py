"""Who and when: studio, people, classes, meeting dates, and what is kept about access."""

from .audit import AuditEntry
from .calendar import Absence, Closure, Meeting
from .keys import ApiToken, IdempotencyKey, SignInGuess
from .person import Role, User
from .section import Enrolment, Section, Teaching
from .studio import LengthUnit, MassUnit, PaperSize, Studio

__all__ = [
    "Absence",
    "ApiToken",
    "AuditEntry",
    "Closure",
    "Enrolment",
    "IdempotencyKey",
    "LengthUnit",
    "MassUnit",
    "Meeting",
    "PaperSize",
    "Role",
    "Section",
    "SignInGuess",
    "Studio",
    "Teaching",
    "User",
]
