"""What pure computation says: a code with values, and the sentences that belong to the codes.

A layer that knows the reader's language and units translates the sentence and writes the values;
`message` is the plain English one in millimetres.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

Values = Mapping[str, float | str]


def sentence(text: str) -> str:
    """Marks a text for translation: `makemessages` collects what stands in here."""
    return text


def shown(name: str, value: float | str) -> str:
    """A value as plain text, with the unit that its name ends in."""
    text = value if isinstance(value, str) else f"{value:.4g}"
    unit = {"mm": " mm", "pct": " %", "deg": "°"}.get(name.rpartition("_")[2], "")
    return text + unit


def told(text: str, values: Values) -> str:
    """A sentence with its values written in."""
    return text % {name: shown(name, value) for name, value in values.items()}


@dataclass(frozen=True)
class Said:
    """One sentence: a code of the subject's `MESSAGES` and its values."""

    MESSAGES: ClassVar[Mapping[str, str]]
    code: str
    values: Values = field(default_factory=dict)

    @property
    def message(self) -> str:
        return told(self.MESSAGES[self.code], self.values)
