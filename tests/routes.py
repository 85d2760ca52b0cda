"""Who may do what: every address of the service, and what each person of the cast gets there.

One line of TABLE is one method on one address. `of` names what stands in the address, in order:
things of `tests.world`, which belong to the cast's `student` in the class of `teacher`; a word
after `=` stands there itself.

    ok    answered; a write may also be refused with a sentence (400, 409, 415, 422)
    go    sent on to another page
    in    sent to the sign-in page; 401 from the API
    no    403: not for this role
    --    404: this one is somebody else's

Three kinds of people need no column, for what they get follows from these. Somebody of another
studio gets what the same role gets here, and 404 wherever the address names a thing. An id that
nothing has is 404 for whoever comes so far. A method that has no line writes nothing: 405.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import URLPattern, URLResolver, get_resolver, resolve, reverse

PEOPLE = (
    "head",
    "teacher",
    "other_teacher",
    "technician",
    "student",
    "classmate",
    "nobody",
    "signed_out",
)

TABLE = """
       name                  of                            head teach other tech stud mate none out
GET    sign_in                                             ok   ok    ok    ok   ok   ok   ok   ok
POST   sign_in                                             ok   ok    ok    ok   ok   ok   ok   ok
GET    sign_in               slug                          ok   ok    ok    ok   ok   ok   ok   ok
POST   sign_in               slug                          ok   ok    ok    ok   ok   ok   ok   ok
POST   sign_out                                            ok   ok    ok    ok   ok   ok   ok   ok
GET    password                                            ok   ok    ok    ok   ok   ok   ok   in
POST   password                                            ok   ok    ok    ok   ok   ok   ok   in

GET    home                                                go   go    go    go   go   go   ok   in
GET    today                                               ok   ok    ok    ok   no   no   no   in
GET    safety                                              ok   ok    ok    ok   ok   ok   ok   ok
GET    classes                                             ok   ok    ok    ok   no   no   no   in
GET    class                 class                         ok   ok    --    ok   no   no   no   in
GET    class_shown           class                         ok   ok    --    ok   no   no   no   in
GET    pieces                                              no   no    no    no   ok   ok   no   in
GET    piece                 piece                         go   go    go    go   ok   --   no   in
GET    piece                 new_piece                     go   go    go    go   ok   --   no   in
GET    piece                 sent_piece                    go   go    go    go   ok   --   no   in
GET    piece_seen            piece                         ok   ok    --    ok   no   no   no   in
GET    piece_seen            new_piece                     ok   ok    --    ok   no   no   no   in

POST   thumbnails_add        piece                         no   no    no    no   ok   --   no   in
POST   refinements_add       piece                         no   no    no    no   ok   --   no   in
GET    thumbnail             thumbnail                     no   no    no    no   ok   --   no   in
POST   thumbnail             thumbnail                     no   no    no    no   ok   --   no   in
POST   thumbnail_move        thumbnail                     no   no    no    no   ok   --   no   in
GET    drawing_card          =thumbnail thumbnail          no   no    no    no   ok   --   no   in
GET    drawing_card          =refinement refinement        no   no    no    no   ok   --   no   in
GET    drawing_image         =thumbnail thumbnail =small   ok   ok    --    ok   ok   --   no   in
GET    drawing_image         =refinement refinement =full  ok   ok    --    ok   ok   --   no   in
POST   drawing_withdraw      =thumbnail thumbnail          no   no    no    no   ok   --   no   in
POST   drawing_withdraw      =refinement refinement        no   no    no    no   ok   --   no   in
POST   drawing_bring_back    =thumbnail withdrawn          no   no    no    no   ok   --   no   in
GET    choose                piece                         no   no    no    no   ok   --   no   in
POST   choose                piece                         no   no    no    no   ok   --   no   in
GET    choose                new_piece                     no   no    no    no   ok   --   no   in
POST   let_choose            new_piece                     ok   ok    --    no   no   no   no   in
GET    plan                  piece                         no   no    no    no   ok   --   no   in
POST   plan                  piece                         no   no    no    no   ok   --   no   in
GET    plan                  chosen_piece                  no   no    no    no   ok   --   no   in
POST   plan                  chosen_piece                  no   no    no    no   ok   --   no   in
GET    plan                  sent_piece                    no   no    no    no   go   --   no   in
POST   plan_live             piece                         no   no    no    no   ok   --   no   in
POST   plan_begin_again      piece                         no   no    no    no   ok   --   no   in
POST   plan_take_back        plan                          no   no    no    no   ok   --   no   in
GET    plans                                               ok   ok    ok    no   no   no   no   in
GET    plan_review           plan                          ok   ok    --    no   no   no   no   in
POST   plan_review           plan                          ok   ok    --    no   no   no   no   in

GET    source_forms                                        ok   ok    ok    no   no   no   no   in
POST   source_forms                                        ok   ok    ok    no   no   no   no   in
GET    source_form_edit      source_form                   ok   ok    ok    no   no   no   no   in
POST   source_form_edit      source_form                   ok   ok    ok    no   no   no   no   in
POST   source_form_retire    source_form                   ok   ok    ok    no   no   no   no   in
POST   source_form_offer     source_form                   ok   ok    ok    no   no   no   no   in
GET    briefs                                              ok   ok    ok    no   no   no   no   in
GET    brief_new                                           ok   ok    ok    no   no   no   no   in
POST   brief_new                                           ok   ok    ok    no   no   no   no   in
GET    brief                 brief                         ok   ok    ok    no   no   no   no   in
GET    brief_edit            brief                         ok   ok    ok    no   no   no   no   in
POST   brief_edit            brief                         ok   ok    ok    no   no   no   no   in
POST   brief_copy            brief                         ok   ok    ok    no   no   no   no   in
POST   brief_put_away        brief                         ok   ok    ok    no   no   no   no   in
POST   brief_take_out        brief                         ok   ok    ok    no   no   no   no   in
GET    give_brief            brief                         ok   ok    ok    no   no   no   no   in
POST   give_brief            brief                         ok   ok    ok    no   no   no   no   in
GET    assignment_dates      assignment                    ok   ok    --    no   no   no   no   in
POST   assignment_dates      assignment                    ok   ok    --    no   no   no   no   in
POST   pieces_start          assignment                    ok   ok    --    no   no   no   no   in
POST   assignment_take_back  assignment                    ok   ok    --    no   no   no   no   in
GET    assignment            assignment                    ok   ok    --    ok   ok   ok   no   in
GET    adjustment            assignment student            ok   ok    --    no   no   no   no   in
POST   adjustment            assignment student            ok   ok    --    no   no   no   no   in
POST   adjustment_drop       assignment student            ok   ok    --    no   no   no   no   in
GET    bodies                                              ok   ok    ok    ok   no   no   no   in
GET    body_new                                            ok   ok    ok    ok   no   no   no   in
POST   body_new                                            ok   ok    ok    ok   no   no   no   in
GET    body_edit             body                          ok   ok    ok    ok   no   no   no   in
POST   body_edit             body                          ok   ok    ok    ok   no   no   no   in
POST   body_retire           body                          ok   ok    ok    ok   no   no   no   in
POST   body_bring_back       body                          ok   ok    ok    ok   no   no   no   in

GET    people                                              ok   no    no    no   no   no   no   in
GET    staff_new                                           ok   no    no    no   no   no   no   in
POST   staff_new                                           ok   no    no    no   no   no   no   in
GET    person                student                       ok   ok    --    no   no   no   no   in
GET    person                teacher                       ok   ok    --    no   no   no   no   in
GET    person_edit           student                       ok   no    no    no   no   no   no   in
POST   person_edit           student                       ok   no    no    no   no   no   no   in
POST   person_reset          student                       ok   ok    --    no   no   no   no   in
POST   person_reset          other_teacher                 ok   --    no    no   no   no   no   in
POST   person_unlock         student                       ok   ok    --    no   no   no   no   in
POST   person_account        student                       ok   no    no    no   no   no   no   in

GET    roster                                              ok   no    no    no   no   no   no   in
POST   roster                                              ok   no    no    no   no   no   no   in
GET    roster_preview        digest                        ok   no    no    no   no   no   no   in
POST   roster_apply          digest                        ok   no    no    no   no   no   no   in
GET    settings                                            ok   no    no    no   no   no   no   in
POST   settings                                            ok   no    no    no   no   no   no   in
POST   closure_new                                         ok   no    no    no   no   no   no   in
POST   closure_end           closure                       ok   no    no    no   no   no   no   in
GET    tokens                                              ok   ok    ok    ok   no   no   no   in
POST   tokens                                              ok   ok    ok    ok   no   no   no   in
POST   token_end             token                         --   ok    --    --   no   no   no   in

GET    class_new                                           ok   ok    ok    no   no   no   no   in
POST   class_new                                           ok   ok    ok    no   no   no   no   in
GET    class_edit            class                         ok   ok    --    no   no   no   no   in
POST   class_edit            class                         ok   ok    --    no   no   no   no   in
GET    class_people          class                         ok   ok    --    no   no   no   no   in
POST   class_student_new     class                         ok   ok    --    no   no   no   no   in
POST   class_enrol           class student                 ok   ok    --    no   no   no   no   in
POST   class_enrol           class other_student           ok   --    --    no   no   no   no   in
POST   class_leave           class student                 ok   ok    --    no   no   no   no   in
POST   class_move            class student                 ok   ok    --    no   no   no   no   in
POST   class_absent          class student                 ok   ok    --    no   no   no   no   in
GET    sign_in_cards         class                         ok   ok    --    no   no   no   no   in
POST   sign_in_cards         class                         ok   ok    --    no   no   no   no   in
GET    class_dates           class                         ok   ok    --    no   no   no   no   in
POST   class_dates           class                         ok   ok    --    no   no   no   no   in
POST   class_date_new        class                         ok   ok    --    no   no   no   no   in
GET    class_date            class meeting                 ok   ok    --    no   no   no   no   in
POST   class_date            class meeting                 ok   ok    --    no   no   no   no   in
POST   class_date_cancel     class meeting                 ok   ok    --    no   no   no   no   in

GET    api_schema                                          ok   ok    ok    ok   ok   ok   ok   in
GET    api_me                                              ok   ok    ok    ok   ok   ok   ok   in
GET    api_classes                                         ok   ok    ok    ok   ok   ok   ok   in
GET    api_class             class                         ok   ok    --    ok   ok   ok   --   in
GET    api_class_enrolments  class                         ok   ok    --    ok   ok   ok   --   in
GET    api_class_meetings    class                         ok   ok    --    ok   ok   ok   --   in
POST   api_class_meetings    class                         ok   ok    --    no   no   no   no   in
GET    api_meeting           meeting                       ok   ok    --    ok   ok   ok   --   in
PATCH  api_meeting           meeting                       ok   ok    --    no   no   no   no   in
GET    api_clay_bodies                                     ok   ok    ok    ok   no   no   no   in
POST   api_clay_bodies                                     ok   ok    ok    ok   no   no   no   in
GET    api_clay_body         body                          ok   ok    ok    ok   no   no   no   in
PATCH  api_clay_body         body                          ok   ok    ok    ok   no   no   no   in
GET    api_pieces                                          ok   ok    ok    ok   ok   ok   ok   in
GET    api_piece             piece                         ok   ok    --    ok   ok   --   --   in
GET    api_piece_thumbnails  piece                         ok   ok    --    ok   ok   --   --   in
POST   api_piece_thumbnails  piece                         --   --    --    --   ok   --   --   in
GET    api_piece_refinements piece                         ok   ok    --    ok   ok   --   --   in
POST   api_piece_refinements piece                         --   --    --    --   ok   --   --   in
GET    api_piece_choice      piece                         ok   ok    --    ok   ok   --   --   in
PUT    api_piece_choice      piece                         --   --    --    --   ok   --   --   in
GET    api_piece_plans       sent_piece                    ok   ok    --    ok   ok   --   --   in
GET    api_plan_draft        piece                         --   --    --    --   ok   --   --   in
PUT    api_plan_draft        piece                         --   --    --    --   ok   --   --   in
POST   api_plan_send         piece                         --   --    --    --   ok   --   --   in
GET    api_plans                                           ok   ok    ok    ok   ok   ok   ok   in
POST   api_plan_take_back    plan                          no   no    --    no   ok   --   --   in
POST   api_plan_approve      plan                          ok   ok    --    no   no   no   no   in
POST   api_plan_send_back    plan                          ok   ok    --    no   no   no   no   in
GET    api_briefs                                          ok   ok    ok    no   no   no   no   in
POST   api_briefs                                          ok   ok    ok    no   no   no   no   in
GET    api_brief             brief                         ok   ok    ok    no   no   no   no   in
PATCH  api_brief             brief                         ok   ok    ok    no   no   no   no   in
POST   api_brief_copies      brief                         ok   ok    ok    no   no   no   no   in
POST   api_brief_give        brief                         ok   ok    ok    no   no   no   no   in
GET    api_source_forms                                    ok   ok    ok    no   no   no   no   in
POST   api_source_forms                                    ok   ok    ok    no   no   no   no   in
PATCH  api_source_form       source_form                   ok   ok    ok    no   no   no   no   in
GET    api_assignments                                     ok   ok    ok    ok   ok   ok   ok   in
GET    api_assignment        assignment                    ok   ok    --    ok   ok   ok   --   in
GET    api_assignment_dates  assignment                    ok   ok    --    no   no   no   no   in
PUT    api_assignment_dates  assignment                    ok   ok    --    no   no   no   no   in
POST   api_assignment_pieces assignment                    ok   ok    --    no   no   no   no   in
GET    api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
PUT    api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
DELETE api_adjustment        assignment student            ok   ok    --    no   no   no   no   in
GET    api_criteria                                        ok   ok    ok    no   no   no   no   in
POST   api_compute_plan                                    ok   ok    ok    ok   ok   ok   ok   in
"""

WORDS = {"ok", "go", "in", "no", "--"}


@dataclass(frozen=True)
class Line:
    verb: str
    name: str
    of: tuple[str, ...]
    expected: dict[str, str]

    def __str__(self) -> str:
        return "-".join((self.verb, self.name, *self.of))

    @property
    def is_api(self) -> bool:
        return self.name.startswith("api_")

    def address(self, things: dict[str, str]) -> str:
        return reverse(
            self.name, args=[each[1:] if each[0] == "=" else things[each] for each in self.of]
        )


def lines() -> list[Line]:
    """The table, read: each line ends with one word a person."""
    rows = [row.split() for row in TABLE.strip().splitlines()[1:] if row.strip()]
    found = []
    for row in rows:
        words, expected = row[: -len(PEOPLE)], row[-len(PEOPLE) :]
        assert len(words) >= 2, f"too few words: {' '.join(row)}"  # a method and a name
        assert set(expected) <= WORDS, f"odd words: {' '.join(row)}"
        of = dict(zip(PEOPLE, expected, strict=True))
        found.append(Line(verb=words[0], name=words[1], of=tuple(words[2:]), expected=of))
    return found


def pages() -> list[Line]:
    """What a browser can open."""
    return [line for line in lines() if line.verb == "GET" and not line.is_api]


def pages_for(who: str) -> list[Line]:
    """Whole pages to look at."""
    parts = {"drawing_image", "drawing_card"}
    return [line for line in pages() if line.expected[who] == "ok" and line.name not in parts]


def patterns(inside: URLResolver | None = None, before: str = "") -> Iterator[tuple[str, str]]:
    """Name and route of every address that the service answers."""
    for each in (inside or get_resolver()).url_patterns:
        route = before + str(each.pattern)
        if isinstance(each, URLResolver):
            yield from patterns(each, route)
        elif isinstance(each, URLPattern):
            yield each.name or "", route


def route_of(address: str) -> str:
    return resolve(address).route
