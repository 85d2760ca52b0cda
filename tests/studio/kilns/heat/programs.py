"""Programs as people write them, drawn at random."""

from hypothesis import strategies as st

from studio.kilns.heat.program import Segment

RATES = st.floats(15, 300)
HOLDS = st.one_of(st.just(0.0), st.floats(0, 240))
SEGMENTS = st.builds(Segment, RATES, st.floats(560, 1380), HOLDS)


@st.composite
def programs(draw: st.DrawFn) -> tuple[Segment, ...]:
    """Up to six segments with holds and dips."""
    return tuple(draw(st.lists(SEGMENTS, min_size=1, max_size=6)))
