"""What each of many processes does that want the same clay at the same moment."""

from collections.abc import Callable

from django.utils import timezone

from studio.clay.models import Lot
from studio.clay.services import issue_to_class
from studio.errors import Refused
from studio.people.idempotency import Answer, answered_once
from studio.people.models import Section, User


def ask(ready: Callable[[], object], *words: str) -> list[str]:
    """Ask and say what came of it; `words` are a lot, a class, a person, grams, how often, and a
    key or "".
    """
    lot_pk, section_pk, person_pk, grams, times, key = words
    lot = Lot.objects.select_related("studio", "body").get(pk=lot_pk)
    section = Section.objects.select_related("studio").get(pk=section_pk)
    by = User.objects.get(pk=person_pk)

    def issue() -> Answer:
        entry = issue_to_class(
            section=section, lot=lot, grams=float(grams), by=by, at=timezone.now()
        )
        return Answer(201, str(entry.pk))

    ready()
    said = []
    for _time in range(int(times)):
        try:
            if key:
                answer = answered_once(
                    person=by, key=key, request_digest=grams, answer=issue, at=timezone.now()
                )
            else:
                answer = issue()
        except Refused as refusal:
            said.append(f"refused {refusal}")
        else:
            said.append(f"issued {answer.content}")
    return said
