"""Fills as many pages as it takes, each with its title above and 'page 2 of 5' below."""

from django.utils.translation import gettext as _

from .blocks import Block, Paragraph, Part, placed
from .pages import Align, Face, Mark, Page, Sheet, Stroke, Words
from .text import fitted

MARGIN_MM = 15.0
FOOT_MM = 9.0  # above the lower margin, for the footer
TITLE_PT, AGAIN_PT, SUBTITLE_PT, FOOTER_PT = 20.0, 13.0, 10.5, 9.0


class Flow:
    """Blocks one under another. The pages are numbered when all of them are known."""

    def __init__(
        self,
        page: Page,
        *,
        title: str,
        subtitle: str = "",
        footer: str = "",
        margin_mm: float = MARGIN_MM,
    ) -> None:
        self.page, self.title, self.subtitle, self.footer = page, title, subtitle, footer
        self.left_mm = self.top_mm = margin_mm
        self.room_mm = page.width_mm - 2 * margin_mm
        self.bottom_mm = page.height_mm - margin_mm - FOOT_MM
        self._pages: list[list[Mark]] = []
        self._kept: list[tuple[float, Part]] = []  # headings that wait for what follows them
        self._turn()

    def add(self, *blocks: Block) -> None:
        for block in blocks:
            self._add(block)

    def turn(self) -> None:
        """What comes next begins a new page, if anything is on this one."""
        self._place_kept()
        if self._y_mm > self._start_mm:
            self._turn()

    def sheets(self, before: int = 0) -> list[Sheet]:
        """`before`: how many pages stand before these and are counted with them."""
        self._place_kept()
        count = len(self._pages) + before
        return [
            Sheet((*self._header(number)[0], *marks, *self._footer(number + before, count)))
            for number, marks in enumerate(self._pages, start=1)
        ]

    def _add(self, block: Block) -> None:
        head, parts = block.head(self.room_mm), block.parts(self.room_mm)
        if block.keep:
            self._kept += [(0.0, part) for part in parts[:-1]]
            self._kept += [(block.after_mm, part) for part in parts[-1:]]
            return
        if not self._fits(self._least_mm(block, head, parts)):
            self._turn()
        self._place_kept()
        self._place_all(head, parts)
        self._y_mm += block.after_mm

    def _least_mm(self, block: Block, head: Part | None, parts: list[Part]) -> float:
        """What must have room on this page for the block to begin on it."""
        above_mm = sum(after_mm + part.height_mm for after_mm, part in self._kept)
        above_mm += head.height_mm if head else 0.0
        whole_mm = above_mm + sum(part.height_mm for part in parts)
        if block.whole and whole_mm <= self.bottom_mm - self._header(2)[1]:
            return whole_mm
        return above_mm + (parts[0].height_mm if parts else 0.0)

    def _place_all(self, head: Part | None, parts: list[Part]) -> None:
        if head:
            self._place(head)
        for number, part in enumerate(parts):
            if number and not self._fits(part.height_mm):
                self._turn()
                if head:
                    self._place(head)
            self._place(part)

    def _place_kept(self) -> None:
        for after_mm, part in self._kept:
            self._place(part)
            self._y_mm += after_mm
        self._kept = []

    def _place(self, part: Part) -> None:
        self._pages[-1] += part.draw(self.left_mm, self._y_mm)
        self._y_mm += part.height_mm

    def _fits(self, height_mm: float) -> bool:
        return self._y_mm + height_mm <= self.bottom_mm + 1e-6 or self._y_mm == self._start_mm

    def _turn(self) -> None:
        self._pages.append([])
        self._y_mm = self._start_mm = self._header(len(self._pages))[1]

    def _header(self, number: int) -> tuple[list[Mark], float]:
        """The title, large on the first page, and where the page's blocks begin."""
        left_mm, right_mm = self.left_mm, self.left_mm + self.room_mm
        if number > 1:
            under_mm = self.top_mm + 7.0
            title = Words(left_mm, self.top_mm + 4.0, self.title, AGAIN_PT, Face.TITLE)
            line = Stroke(left_mm, under_mm, right_mm, under_mm, 0.2)
            return [fitted(title, self.room_mm), line], under_mm + 4.0
        title = Words(left_mm, self.top_mm + 6.0, self.title, TITLE_PT, Face.TITLE)
        subtitle, end_mm = placed(
            Paragraph(self.subtitle, SUBTITLE_PT), left_mm, self.top_mm + 8.5, self.room_mm
        )
        under_mm = end_mm + 2.5
        line = Stroke(left_mm, under_mm, right_mm, under_mm, 0.2)
        return [fitted(title, self.room_mm), *subtitle, line], under_mm + 5.0

    def _footer(self, number: int, count: int) -> list[Mark]:
        return foot(self.page, self.left_mm, self.footer, number, count)


def foot(page: Page, margin_mm: float, footer: str, number: int, count: int) -> list[Mark]:
    """What stands at the lower margin: whose page it is, and which of how many."""
    y_mm, right_mm = page.height_mm - margin_mm, page.width_mm - margin_mm
    said = _("page %(number)d of %(count)d") % {"number": number, "count": count}
    return [
        fitted(Words(margin_mm, y_mm, footer, FOOTER_PT), right_mm - margin_mm - 40),
        Words(right_mm, y_mm, said, FOOTER_PT, align=Align.RIGHT),
    ]
