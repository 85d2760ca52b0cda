"""Masses of clay, grams: as built, to issue, bone dry and fired."""

from dataclasses import dataclass

from .inputs import Body

# Until a studio's own issues and returns give the spread, what is trimmed, spoiled and taken
# for practice is between half and one and a half times the allowance (common practice, no
# source: 15 to 30 % of the pot around the usual 20).
LOW_SHARE, HIGH_SHARE = 0.5, 1.5


@dataclass(frozen=True)
class Masses:
    pot_wet_g: float
    issue_low_g: float
    issue_g: float
    issue_high_g: float
    bone_dry_g: float
    fired_g: float


def masses(
    volume_mm3: float,
    body: Body,
    working_allowance_pct: float,
    added_g: float = 0.0,
    allowance_range_pct: tuple[float, float] | None = None,
) -> Masses:
    """From the clay's wet volume and the wet mass of added parts. Water is per wet mass, loss
    on ignition per dry mass. `allowance_range_pct` is the studio's own spread, where it is known;
    it holds the allowance."""
    wet = volume_mm3 / 1000 * body.wet_density_g_per_cm3 + added_g
    dry = wet * (1 - body.water_pct_wet_basis / 100)
    low, high = allowance_range_pct or (
        LOW_SHARE * working_allowance_pct,
        HIGH_SHARE * working_allowance_pct,
    )
    return Masses(
        pot_wet_g=wet,
        issue_low_g=wet * (1 + low / 100),
        issue_g=wet * (1 + working_allowance_pct / 100),
        issue_high_g=wet * (1 + high / 100),
        bone_dry_g=dry,
        fired_g=dry * (1 - body.loss_on_ignition_pct / 100),
    )
