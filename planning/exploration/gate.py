"""What a brief asks before a design may be chosen, against what has been drawn."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Counts:
    """How much there is, or how much is asked."""

    thumbnails: int
    source_forms: int
    refinements: int


@dataclass(frozen=True)
class Missing:
    """How much is still to do; zeros where nothing is."""

    thumbnails: int
    source_forms: int

    def __bool__(self) -> bool:
        return bool(self.thumbnails or self.source_forms)


def missing_before_choice(done: Counts, asked: Counts) -> Missing:
    """What the choice still waits for: thumbnails and source forms, never refinements."""
    return Missing(
        thumbnails=max(0, asked.thumbnails - done.thumbnails),
        source_forms=max(0, asked.source_forms - done.source_forms),
    )
