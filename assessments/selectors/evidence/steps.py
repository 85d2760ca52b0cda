"""How far each drawing is from the one before it, and which is most like the plan, in sentences."""

from collections.abc import Mapping, Sequence
from itertools import groupby

from django.utils.translation import gettext as _

from planning.exploration.steps import Size, size_of, way_of
from planning.models import PlanState, Steps
from planning.models.steps import Way
from planning.photos.ideas import unreadable_sentence
from studio.web.shown import number_text


def steps_in_words(
    steps: Steps | None, way: Way, names: Mapping[str, str], plan_state: str
) -> list[str]:
    """Nothing until these very drawings have been compared; `names` is what each is called."""
    if steps is None or not steps.is_of(way):
        return []
    told = steps.answer
    if told is None:
        return [_("How far the drawings are from each other could not be measured this time.")]
    said = [_sizes(told["alike"]), _runs(told["alike"])]
    if most := told["nearest"]:
        said.append(_most_like(names[most["id"]], size_of(most["alike"]), plan_state))
    for each in told["unreadable"]:
        words = {"name": _capital(names[each["id"]]), "why": unreadable_sentence(each)}
        said.append(_("%(name)s could not be compared. %(why)s") % words)
    return [sentence for sentence in said if sentence]


def _size(size: Size) -> str:
    return {
        "same": _("about as alike as one form drawn twice"),
        "near": _("one idea, clearly changed"),
        "far": _("nearly another idea"),
        "apart": _("about as different as two ideas"),
    }[size]


def _sizes(alike: Sequence[float | None]) -> str:
    """`refinements 1 to 3 …; refinement 4 …`: each beside the drawing before it."""
    sizes = [None if each is None else size_of(each) for each in alike]
    parts, place = [], 1
    for size, run in groupby(sizes):
        last = place + len(list(run)) - 1
        if size is not None:
            parts.append(f"{_refinements(place, last)} {_size(size)}")
        place = last + 1
    if not parts:
        return ""
    text = _("Each beside the drawing before it, from the chosen one on: %(steps)s.")
    return text % {"steps": "; ".join(parts)}


def _refinements(first: int, last: int) -> str:
    words = {"n": number_text(first), "last": number_text(last)}
    if first == last:
        return _("refinement %(n)s") % words
    return _("refinements %(n)s to %(last)s") % words


def _runs(alike: Sequence[float | None]) -> str:
    return {
        "": "",
        "smaller": _("The steps get smaller."),
        "same": _("The steps are all about as large."),
        "larger": _("The steps get larger."),
        "last_largest": _("The last step is the largest."),
        "mixed": _("The steps are large and small in turn."),
    }[way_of(alike)]


def _most_like(name: str, size: Size, plan_state: str) -> str:
    words = {"name": name, "size": _size(size)}
    approved = plan_state == PlanState.APPROVED
    if size == "apart":
        text = _("No drawing is much like the sent plan; the nearest is %(name)s.")
        if approved:
            text = _("No drawing is much like the approved plan; the nearest is %(name)s.")
    else:
        text = _("Most like the sent plan is %(name)s: %(size)s.")
        if approved:
            text = _("Most like the approved plan is %(name)s: %(size)s.")
    return text % words


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]
