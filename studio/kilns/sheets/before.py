"""What is seen to before a kiln is lit, and the usual caution at it."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from studio.paper.blocks import Caution, Drawing
from studio.paper.pages import Face, Mark, Words
from studio.paper.shapes import box, rectangle
from studio.paper.text import baseline_mm, line_mm, width_mm, wrapped

from .headings import section_heading

PAD_MM, TITLE_GAP_MM = 1.2, 4.0
BOX_MM, BESIDE_MM, BETWEEN_MM = 3.2, 1.8, 0.5


def sentences() -> list[str]:
    return [
        _(
            "Never open it hot, not even a crack, whatever the clock says: pots burst, and people "
            "are burnt."
        ),
        _("Shaded eye protection at the spy hole."),
        _("Students never load, unload or open a kiln alone."),
        _("Wiring and clearances are for licensed people under the local code."),
        _("The school's rules, local codes and the makers' sheets come first."),
        _("People light it and shut it off; no software does."),
    ]


def cautions() -> Caution:
    """On the week's page."""
    room = _("Vent on, room ventilated and locked; no class sits in it during a firing.")
    late = _("Still heating past its time: whoever sees to the shut-off stays, and calls for help.")
    hot, eyes, alone, wiring, rules, people = sentences()
    lines = [room, late, hot, f"{eyes} {alone}", f"{wiring} {people}", rules]
    return Caution(_title(), lines)


def caution_in_short(size_pt: float, room_mm: float) -> Drawing:
    """As one paragraph within a border, for every firing's page; vent and room stand in its list
    of what to check.
    """
    aside_mm = width_mm(_title(), size_pt, Face.BOLD) + TITLE_GAP_MM
    text, words_mm = " ".join(sentences()), room_mm - aside_mm - 2 * PAD_MM - 2
    lines = len(wrapped(text, 0, 0, words_mm, size_pt)[0])
    high_mm = lines * line_mm(size_pt) + 2 * PAD_MM

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        left_mm, top_mm = x_mm + PAD_MM + 1, y_mm + PAD_MM
        title = Words(left_mm, top_mm + baseline_mm(size_pt), _title(), size_pt, Face.BOLD)
        said, _bottom = wrapped(text, left_mm + aside_mm, top_mm, words_mm, size_pt)
        border = rectangle(x_mm, y_mm, room_mm, high_mm, width_mm=0.5)
        return [border, title, *said]

    return Drawing(high_mm, draw, after_mm=2.5)


def check_list(checks: Sequence[str], size_pt: float, room_mm: float) -> Drawing:
    """What is seen to before the kiln is lit, each with a box to tick."""
    words_mm = room_mm - BOX_MM - BESIDE_MM
    title = section_heading(_("Light it only when every box is ticked"))
    [head] = title.parts(room_mm)
    highs = [
        len(wrapped(each, 0, 0, words_mm, size_pt)[0]) * line_mm(size_pt) + BETWEEN_MM
        for each in checks
    ]

    def draw(x_mm: float, y_mm: float) -> list[Mark]:
        marks, at_mm = list(head.draw(x_mm, y_mm)), y_mm + head.height_mm + title.after_mm
        for each, high_mm in zip(checks, highs, strict=True):
            said, _bottom = wrapped(each, x_mm + BOX_MM + BESIDE_MM, at_mm, words_mm, size_pt)
            marks += [box(x_mm, at_mm + (line_mm(size_pt) - BOX_MM) / 2, BOX_MM), *said]
            at_mm += high_mm
        return marks

    return Drawing(head.height_mm + title.after_mm + sum(highs), draw, after_mm=2.0)


def _title() -> str:
    return _("At the kiln")
