"""Refused: the base of every "the studio says no"."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One reason, and the field it belongs to ("" for the whole request).

    `field` is a path such as `profile.3.height_mm`.
    """

    message: str
    field: str = ""


class Refused(Exception):  # noqa: N818 -- reads as what happened: the studio refused
    """The studio says no. Every message is a sentence fit to show to a person."""

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.problems: list[Problem] = [Problem(message, field)]

    @classmethod
    def all_of(cls, problems: Iterable[Problem]) -> "Refused":
        """One refusal that carries several reasons; the first speaks for all."""
        listed = list(problems)
        refusal = cls(listed[0].message, field=listed[0].field)
        refusal.problems = listed
        return refusal


class Conflict(Refused):
    """Somebody else was first, or the thing has moved on; read again and decide."""
