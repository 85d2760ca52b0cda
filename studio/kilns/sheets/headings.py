"""Titles of the parts of a firing's page: smaller than elsewhere, since all is on one page."""

from dataclasses import replace

from studio.paper.blocks import Paragraph, heading

SECTION_PT, AFTER_MM = 11.0, 0.6


def section_heading(text: str) -> Paragraph:
    """Stays with what follows it."""
    return replace(heading(text, size_pt=SECTION_PT), after_mm=AFTER_MM)
