"""What a roster would change, as values: shown in the preview, compared, then written."""

import hashlib
import json
from dataclasses import dataclass, field
from datetime import date
from uuid import UUID

from .rows import BadRow


@dataclass(frozen=True)
class NewStudent:
    sourced_id: str
    given_name: str
    family_name: str
    username: str

    @property
    def name(self) -> str:
        return f"{self.given_name} {self.family_name}".strip()


@dataclass(frozen=True)
class Changed:
    """A student or class whose columns change."""

    pk: UUID
    name: str
    before: dict[str, str]
    after: dict[str, str]


@dataclass(frozen=True)
class NewClass:
    sourced_id: str
    title: str
    code: str


@dataclass(frozen=True)
class Joining:
    """Somebody who comes into a class, as a student or to teach it; both by roster id."""

    class_id: str
    class_title: str
    person_id: str
    name: str
    begins_on: date | None
    sourced_id: str


@dataclass(frozen=True)
class Leaving:
    enrolment_pk: int
    class_title: str
    name: str


@dataclass
class RosterPlan:
    new: list[NewStudent] = field(default_factory=list)
    changed: list[Changed] = field(default_factory=list)
    unchanged: int = 0
    new_classes: list[NewClass] = field(default_factory=list)
    changed_classes: list[Changed] = field(default_factory=list)
    joining: list[Joining] = field(default_factory=list)
    teaching: list[Joining] = field(default_factory=list)
    left: list[Leaving] = field(default_factory=list)
    bad: list[BadRow] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def changes_nothing(self) -> bool:
        return not any(self._writes())

    def fingerprint(self) -> str:
        """Equal for plans that would write the same."""
        said = json.dumps(
            [[vars(each) for each in part] for part in self._writes()], sort_keys=True, default=str
        )
        return hashlib.sha256(said.encode()).hexdigest()

    def _writes(self) -> list[list[object]]:
        return [
            [*self.new],
            [*self.changed],
            [*self.new_classes],
            [*self.changed_classes],
            [*self.joining],
            [*self.teaching],
            [*self.left],
        ]
