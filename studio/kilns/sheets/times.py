"""The three moments of a firing, side by side: lit, off, unloaded; who does it, and a line to say
that it was done.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from studio.paper.blocks import Drawing, Paragraph, height_mm, placed
from studio.paper.pages import Face, Mark, Stroke, Words
from studio.paper.text import fitted

GAP_MM, LINE_MM, WHEN_PT, LABEL_PT = 5.0, 7.0, 10.0, 8.0

SHARES = (0.28, 0.34, 0.38)
"""Of the page's width: a window of time takes more words than a time."""


@dataclass(frozen=True)
class Step:
    """What is done about a firing: `done` says who did it and when, empty for a line to fill in,
    before which stands what is asked.
    """

    what: str
    when: str
    who: str
    done: str
    asked: str


def times_strip(steps: Sequence[Step], room_mm: float, text_pt: float) -> Drawing:
    free_mm = room_mm - GAP_MM * (len(SHARES) - 1)
    rooms = [free_mm * share for share in SHARES]

    def said(step: Step) -> Iterator[Paragraph]:
        yield Paragraph(step.what, text_pt, Face.TITLE)
        yield Paragraph(step.when, WHEN_PT, Face.BOLD)
        yield Paragraph(step.who, text_pt)

    words_mm = max(
        sum(height_mm(each, wide_mm) for each in said(step))
        for step, wide_mm in zip(steps, rooms, strict=True)
    )
    high_mm = words_mm + LINE_MM

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        marks: list[Mark] = []
        left_mm = x_mm
        for step, wide_mm in zip(steps, rooms, strict=True):
            at_mm = y_mm
            for each in said(step):
                words, at_mm = placed(each, left_mm, at_mm, wide_mm)
                marks += words
            marks += _line(step, left_mm, y_mm + high_mm - 1, wide_mm)
            left_mm += wide_mm + GAP_MM
        return marks

    return Drawing(high_mm, draw, after_mm=1.5)


def _line(step: Step, x_mm: float, y_mm: float, room_mm: float) -> list[Mark]:
    if step.done:
        words = Words(x_mm, y_mm - 1.2, step.done, WHEN_PT - 1)
        return [fitted(words, room_mm)]
    label = Words(x_mm, y_mm - 0.8, step.asked, LABEL_PT)
    return [label, Stroke(x_mm, y_mm, x_mm + room_mm, y_mm, 0.3)]
