"""What a brief asks before a design may be chosen, against what has been drawn."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Counts:
    """How much there is, or how much is asked.

    `ideas` there are at most; None where that isn't known as it stands, or none are asked.
    """

    thumbnails: int
    source_forms: int
    refinements: int
    ideas: int | None = None


@dataclass(frozen=True)
class Missing:
    """How much is still to do; zeros where nothing is. `comparing`: ideas are asked, and how many
    there are is being found out."""

    thumbnails: int
    source_forms: int
    ideas: int = 0
    comparing: bool = False

    def __bool__(self) -> bool:
        return bool(self.thumbnails or self.source_forms or self.ideas or self.comparing)


def missing_before_choice(done: Counts, asked: Counts) -> Missing:
    """What the choice still waits for: thumbnails, source forms and ideas, never refinements."""
    wanted = asked.ideas or 0
    return Missing(
        thumbnails=max(0, asked.thumbnails - done.thumbnails),
        source_forms=max(0, asked.source_forms - done.source_forms),
        ideas=max(0, wanted - done.ideas) if done.ideas is not None else 0,
        comparing=wanted > 0 and done.ideas is None,
    )
