"""What erasing a person does to every text that the database holds.

Every table stands here with each of its fields that can hold words; a test fails when a model
gains one that nobody has listed. A new field is `emptied` unless there is a reason to keep it.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Fate:
    """What happens to the rows of one table that belong to the erased person.

    `path` leads from a row to that person; none: no row belongs to anybody.
    """

    path: str = ""
    gone: bool = False  # the rows are deleted
    emptied: tuple[str, ...] = ()
    by_hand: tuple[str, ...] = ()  # `studio.keeping.services.erasing` says how
    kept: tuple[str, ...] = ()  # numbers and choices in letters, or words that are the studio's


_PIECE = "piece__student"
_POT = "pot__piece__student"

# Those that go stand in the order in which they can be deleted.
FATES: dict[str, Fate] = {
    "planning.Choice": Fate(_PIECE, gone=True),
    "planning.Thumbnail": Fate(_PIECE, gone=True),
    "planning.Refinement": Fate(_PIECE, gone=True),
    "planning.ScanPage": Fate(_PIECE, gone=True),
    "planning.Sheet": Fate(_PIECE, gone=True),
    "planning.PlanPhoto": Fate(_PIECE, gone=True),
    "planning.IdeaChange": Fate(_PIECE, gone=True),
    "planning.Ideas": Fate(_PIECE, gone=True),
    "planning.Steps": Fate(_PIECE, gone=True),
    "planning.DrawnForm": Fate("image__by", gone=True),
    "ware.PotPhoto": Fate(_POT, gone=True),
    "people.ApiToken": Fate("person", gone=True),
    "people.IdempotencyKey": Fate("person", gone=True),
    "people.Teaching": Fate("teacher", gone=True),
    # What is left of the person.
    "people.User": Fate(
        "pk",
        by_hand=("password", "username", "given_name", "family_name", "sourced_id"),
        kept=("role",),
    ),
    "people.Enrolment": Fate("student", emptied=("sourced_id",)),
    "planning.Scan": Fate(
        "by",
        emptied=("original_name",),
        kept=(
            "state",
            "refusal_code",
            "refusal_values",
            "original_sha256",
            "quarantine_file",
            "stem",
        ),
    ),
    "planning.Adjustment": Fate("student", emptied=("private_reason",)),
    "planning.LetThrough": Fate(_PIECE, emptied=("reason",)),
    "planning.Piece": Fate("student", kept=("code",)),
    "planning.PlanVersion": Fate(
        _PIECE, emptied=("note",), kept=("inputs", "figures", "state", "computation")
    ),
    "ware.Pot": Fate("piece__student", kept=("stage", "lost")),
    "ware.StageEntry": Fate(_POT, emptied=("reason",), kept=("stage", "before")),
    "ware.GreenwareCheck": Fate(_POT, emptied=("cracks",)),
    "ware.DrynessCheck": Fate(_POT, emptied=("note",)),
    "ware.GlazeCheck": Fate(_POT, emptied=("note",)),
    "ware.Weighing": Fate(_POT, kept=("weighed_as",)),
    "ware.Flaw": Fate(_POT, emptied=("what", "mended"), kept=("cause",)),
    "ware.Loss": Fate(_POT, emptied=("note",), kept=("kind", "cause", "stage")),
    "bench.WallMeasure": Fate(_POT, kept=("said", "computation")),
    "bench.BuildCheck": Fate(_POT, emptied=("reason",), kept=("places", "computation")),
    "bench.CarryOn": Fate(
        _POT, emptied=("note",), kept=("standing", "figures", "computation", "state")
    ),
    "clay.Entry": Fate(_POT, emptied=("reason",), kept=("kind", "table")),
    "assessments.Marking": Fate(_PIECE, emptied=("comment",)),
    "assessments.MarkedLevel": Fate("marking__piece__student", emptied=("note",)),
    "assessments.Result": Fate(
        _PIECE, emptied=("comment", "reason"), by_hand=("levels", "evidence")
    ),
    "uploads.StoredImage": Fate(
        by_hand=(
            "state",
            "refusal_code",
            "refusal_values",
            "original_name",
            "original_sha256",
            "quarantine_file",
            "stem",
            "full_file",
            "small_file",
        ),
        kept=("then",),
    ),
    "people.SignInGuess": Fate(by_hand=("name_key", "address")),
    "people.AuditEntry": Fate(
        by_hand=("before", "after"), kept=("action", "subject_kind", "subject_id")
    ),
    "jobs.Job": Fate(
        by_hand=("words", "result", "refusal"),
        kept=("kind", "subjects", "unique_key", "wanted", "language", "state"),
    ),
    # The studio's own words, about nobody; rows of nobody.
    "people.Studio": Fate(
        kept=("name", "slug", "time_zone", "length_unit", "mass_unit", "paper"),
    ),
    "people.Section": Fate(kept=("title", "code", "sourced_id", "pattern")),
    "people.Closure": Fate(kept=("name",)),
    "people.Meeting": Fate(kept=("note",)),
    "room.ClayBody": Fate(kept=("name", "cone", "source")),
    "room.ShrinkageBar": Fate(kept=("mark", "cone", "left_out")),
    "room.Glaze": Fate(
        kept=("name", "cone_from", "cone_to", "food_statement", "hazard_note", "leach_test")
    ),
    "room.Kiln": Fate(kept=("name", "shelf_shape", "currency", "note")),
    "planning.Brief": Fate(kept=("title", "what_to_make", "surface", "firings")),
    "planning.Assignment": Fate(kept=("title", "what_to_make", "surface", "firings")),
    "planning.Milestone": Fate(kept=("kind",)),
    "planning.SourceForm": Fate(kept=("name",)),
    "ware.Place": Fate(kept=("name", "kind")),
    "clay.Lot": Fate(kept=("kind", "label")),
    "clay.Pack": Fate(kept=("currency",)),
    "clay.Order": Fate(kept=("currency", "note")),
    "clay.Batch": Fate(kept=("reason",)),
    "kilns.Program": Fate(kept=("name", "firing", "segments", "note")),
    "kilns.Slot": Fate(kept=("part_full_reason", "note", "witness_cone")),
    "kilns.Load": Fate(kept=("posts_mm", "parts")),
    "kilns.CalendarAddress": Fate(kept=("digest",)),
    "kilns.LogEntry": Fate(kept=("note",)),
    "kilns.WitnessReading": Fate(kept=("cone", "kind", "place")),
    "assessments.Criterion": Fate(kept=("title",)),
    "assessments.Rubric": Fate(kept=("title",)),
    "assessments.RubricCriterion": Fate(kept=("evidence",)),
    "assessments.Level": Fate(kept=("descriptor",)),
    "keeping.Erasure": Fate(kept=("files",)),
}
