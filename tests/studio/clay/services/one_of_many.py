"""One process of many that want the same clay: `test_processes.py` starts it.

Its arguments are a lot, a class, a person, grams, how often, and a key ("" for none). It says
"ready", waits for a line, then asks that often, and says each time what it read.
"""

import sys

import django

django.setup()

from django.utils import timezone  # noqa: E402 -- Django first

from studio.clay.models import Lot  # noqa: E402
from studio.clay.services import issue_to_class  # noqa: E402
from studio.errors import Refused  # noqa: E402
from studio.people.idempotency import Answer, answered_once  # noqa: E402
from studio.people.models import Section, User  # noqa: E402


def main(lot_pk: str, section_pk: str, person_pk: str, *asked: str) -> None:
    grams, times, key = asked
    lot = Lot.objects.select_related("studio", "body").get(pk=lot_pk)
    section = Section.objects.select_related("studio").get(pk=section_pk)
    by = User.objects.get(pk=person_pk)

    def issue() -> Answer:
        entry = issue_to_class(
            section=section, lot=lot, grams=float(grams), by=by, at=timezone.now()
        )
        return Answer(201, str(entry.pk))

    say("ready")
    sys.stdin.readline()
    for _time in range(int(times)):
        try:
            if key:
                said = answered_once(
                    person=by, key=key, request_digest=grams, answer=issue, at=timezone.now()
                )
            else:
                said = issue()
        except Refused as refusal:
            say(f"refused {refusal}")
        else:
            say(f"issued {said.content}")


def say(words: str) -> None:
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(*sys.argv[1:])
