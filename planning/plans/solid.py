"""A plan in space: the shape to turn on a page, its still picture, the solid to print."""

from dataclasses import dataclass
from functools import cached_property

from planning.geometry.form import Form, form
from planning.geometry.inputs import PlanInputs
from planning.geometry.mesh import Mesh, clay_solid
from planning.geometry.skin import FOR_LOOKING, Skin, skin
from planning.models import PlanVersion
from planning.pictures.still import Still, still
from planning.pictures.turned import Shape, form_shape
from studio.units.scales import Units

from .inputs import kept_inputs
from .wording import refused_in


@dataclass(frozen=True)
class Solid:
    """The wet pot of a plan whose form could be made."""

    inputs: PlanInputs
    made: Form

    @property
    def shape(self) -> Shape:
        return form_shape(self._skin, self.made)

    @property
    def still(self) -> Still:
        return still(self._skin, self.made)

    def clay(self, *, fired: bool) -> Mesh:
        """The solid, wet or as large as it comes out of the last firing."""
        wet = clay_solid(self.inputs, self.made)
        shrinks = self.inputs.body.total_shrinkage_pct if fired else 0
        return wet.scaled(1 - shrinks / 100)

    @cached_property
    def _skin(self) -> Skin:
        return skin(self.inputs, self.made, FOR_LOOKING)


def solid_of(plan: PlanVersion, units: Units) -> Solid:
    """Raises `Refused` with every reason why a draft has no form yet. The piece's assignment with
    its clay body is loaded."""
    inputs = kept_inputs(plan.inputs, plan.piece.assignment)
    with refused_in(units):
        return Solid(inputs, form(inputs))
