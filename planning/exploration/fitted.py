"""What likeness, ideas and copies were fitted to: `python -m tests.study.fit` prints these again.

300 made-up forms (`tests.planning.exploration.ideas.FITTED`, seeds from 100000), each redrawn five
times with other tools on other papers. Nothing that checks them was used.
"""

from typing import Final

WEIGHTS: Final = (-55.63, 3.201, -3.633)
OFFSET: Final = 16.24
"""Of the three distances of `similarity.compared`, in its order."""

SAME: Final = 0.4
"""Drawings that are so likely one idea in the mean are one."""

SAME_FOR_FEWEST: Final = 0.25
SAME_FOR_MOST: Final = 0.65

COPY: Final = 0.89
"""Where strokes coincide so far, a drawing is the same again: one redrawing in a hundred does."""
