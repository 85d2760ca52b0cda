"""In or on which pot of a load another one stands, and how high they are together."""

from uuid import UUID

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.kilns.models import Placement
from studio.kilns.selectors.loads import Contents, layer_name
from studio.kilns.selectors.nesting import Companions, companions, hosts_for
from studio.kilns.selectors.reasons import across_text
from studio.people.models import Studio
from studio.web.fields import LengthField, set_units
from studio.web.forms import offer_choices
from studio.web.shown import length_text


class NestForm(forms.Form):
    """`seen` is what stood in or on what when the page was made."""

    host = forms.TypedChoiceField(label=_("The pot that it stands in or on"), coerce=UUID)
    together_mm = LengthField(
        label=_("Together they are so high"),
        help_text=_(
            "Put them as they will stand, on a level table, and measure from the lowest foot to "
            "the highest point, with all that stands in or on that pot."
        ),
    )
    seen = forms.CharField(widget=forms.HiddenInput, max_length=20_000, required=False)

    def __init__(
        self, data: QueryDict | None, *, load: Contents, row: Placement, studio: Studio
    ) -> None:
        host = load.host_of(row)
        initial = {
            "host": str(host.pot_id) if host else "",
            "together_mm": host.together_mm if host else None,
            "seen": told(companions(load)),
        }
        super().__init__(data, initial=initial)
        hosts = [host] if host else hosts_for(load, row)
        offered = [(str(each.pot_id), _described(load, each, row, studio)) for each in hosts]
        offer_choices(self, host=offered)
        set_units(self, studio)

    def see_anew(self, load: Contents) -> None:
        """The next try is from how the load stands now."""
        typed = {name: self.data.get(name, "") for name in self.fields}
        self.data = typed | {"seen": told(companions(load))}


def _described(load: Contents, host: Placement, row: Placement, studio: Studio) -> str:
    guests = [each.pot.code for each in load.guests_of(host) if each is not row]
    words = {
        "code": host.pot.code,
        "across": across_text(host.front_mm, host.depth_mm, studio),
        "high": length_text(host.height_mm, studio),
        "layer": layer_name(host.layer, load.parts),
        "guests": ", ".join(guests),
    }
    if guests:
        message = gettext("%(code)s with %(guests)s: %(across)s, %(high)s high; %(layer)s")
    else:
        message = gettext("%(code)s: %(across)s, %(high)s high; %(layer)s")
    return message % words


def told(seen: Companions) -> str:
    """Who stands in or on whom, as a hidden field carries it."""
    pairs = ((host, guest) for host, guests in seen.items() for guest in guests)
    return " ".join(sorted(f"{host}:{guest}" for host, guest in pairs))


def read(text: str) -> Companions | None:
    """What `told` wrote; None for anything else."""
    found: dict[UUID, frozenset[UUID]] = {}
    try:
        for pair in text.split():
            host, guest = map(UUID, pair.split(":"))
            found[host] = found.get(host, frozenset()) | {guest}
    except ValueError:
        return None
    return found
