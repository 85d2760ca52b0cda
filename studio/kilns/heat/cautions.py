"""What is said beside a computed firing. The ending of a value's name gives its unit."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from planning.geometry.said import Values, sentence
from studio.kilns.refusal import told

CAUTIONS: Mapping[str, str] = {
    "witness_decides": sentence(
        "Computed from a chart of end points: put witness cones in the kiln, they decide."
    ),
    "holds_add": sentence(
        "Holds, and cooling by the program, add as much heat work as %(added_c)s more at the peak "
        "would: at that heat a cone goes on bending."
    ),
    "hold_beyond_table": sentence(
        "With its holds the program works like a rise at %(rate_c_per_h)s, slower than the "
        "%(least_c_per_h)s that the chart begins at. What is said here goes beyond the chart."
    ),
    "rate_below_table": sentence(
        "The kiln rises at %(rate_c_per_h)s over the last 100 °C, slower than the "
        "%(least_c_per_h)s that the chart begins at. What is said here goes beyond the chart."
    ),
    "rate_above_table": sentence(
        "The kiln rises at %(rate_c_per_h)s over the last 100 °C, faster than the "
        "%(most_c_per_h)s that the chart ends at. What is said here goes beyond the chart."
    ),
    "few_rates": sentence(
        "The chart has too few heating rates for cones of this kind, so what a hold adds is "
        "reckoned as for the self-supporting cone of the same name."
    ),
    "below_table": sentence("%(peak_c)s is below the end point of every cone in the chart."),
    "above_table": sentence(
        "%(peak_c)s is above the end point of the hottest cone in the chart. Check the targets."
    ),
    "starts_downwards": sentence(
        "The first target, %(target_c)s, is below the start at %(start_c)s: the kiln cools first."
    ),
    "never_heats": sentence("No target is above the start at %(start_c)s: the kiln never heats."),
    "damp_ramp": sentence(
        "Segment %(segment)s rises at %(rate_c_per_h)s below 120 °C. For a wall of "
        "%(thickest_mm)s that may be damp inside, stay at %(most_c_per_h)s or less, or hold below "
        "boiling for hours: steam bursts walls."
    ),
    "quartz_cooling": sentence(
        "It cools at %(rate_c_per_h)s past 573 °C, where quartz shrinks at once. For a wall of "
        "%(thickest_mm)s, 50 °C/h or less is kinder; a segment downwards past it would do that."
    ),
    "hotter_than_body": sentence(
        "The program puts down cone %(cone)s; the clay body is made for cone %(most)s at most. It "
        "may slump, bloat or melt onto the shelf."
    ),
    "hotter_than_glaze": sentence(
        "The program puts down cone %(cone)s; a glaze is made for cone %(most)s at most. It may "
        "run onto the shelf."
    ),
    "hold_over_fires": sentence(
        "The climb alone stays at cone %(without)s; with what is held, cone %(cone)s goes down, "
        "hotter than cone %(most)s. Shorten the hold, or lower the peak."
    ),
    "needs_more_power": sentence(
        "Segment %(segment)s asks for about %(needed_kw)s; the kiln has %(power_kw)s. It will fall "
        "behind, so the firing runs longer than the program."
    ),
}


_CHART = "the cone maker's chart, 2016 edition"
_RULE = "heat work by exp(-E/RT), E and constant fitted to " + _CHART
_PRACTICE = "common practice, no source"

SOURCES: Mapping[str, str] = {
    "witness_decides": _PRACTICE,
    "holds_add": _RULE,
    "hold_beyond_table": _RULE,
    "rate_below_table": _CHART,
    "rate_above_table": _CHART,
    "few_rates": _PRACTICE,
    "below_table": _CHART,
    "above_table": _CHART,
    "starts_downwards": "arithmetic",
    "never_heats": "arithmetic",
    "damp_ramp": "sitawong.com, Suggesting Firing Schedules; over 12 mm " + _PRACTICE,
    "quartz_cooling": "recommended for sanitary ware, citing Fortuna, Sanitaryware, Faenza 2000",
    "hotter_than_body": _PRACTICE,
    "hotter_than_glaze": _PRACTICE,
    "hold_over_fires": _RULE,
    "needs_more_power": "heat conduction in one dimension, Carslaw and Jaeger",
}


@dataclass(frozen=True)
class Caution:
    """One thing that the reader of a computed firing should know."""

    code: str
    values: Values = field(default_factory=dict)

    @property
    def message(self) -> str:
        return told(CAUTIONS[self.code], self.values)

    @property
    def source(self) -> str:
        """Where the bound or the rule behind it comes from."""
        return SOURCES[self.code]
