"""Blocks under one another at a fixed place, never split."""

from collections.abc import Iterable

from studio.paper.blocks import Block, height_mm, placed
from studio.paper.pages import Mark


def stacked(blocks: Iterable[Block], x_mm: float, y_mm: float, room_mm: float) -> list[Mark]:
    """Drawn from the top down."""
    marks: list[Mark] = []
    for block in blocks:
        found, y_mm = placed(block, x_mm, y_mm, room_mm)
        marks += found
        y_mm += block.after_mm
    return marks


def stack_mm(blocks: Iterable[Block], room_mm: float) -> float:
    """How high they are, with the space after each. Nothing is drawn."""
    return sum(height_mm(block, room_mm) + block.after_mm for block in blocks)
