"""Every movement of clay: checked, locked, written to the ledger and audited here."""

from .allowance import Figure, Over, take_learned_allowance
from .correcting import correct
from .issuing import issue_clay, issue_to_class, issue_to_table
from .issuing_list import MOST_ROWS, IssueRow, issue_class_list
from .lots import MOST_BAGS, receive_delivery, reclaim, write_off
from .returning import return_bucket, return_clay
from .talks import record_talk, set_talk_rule

__all__ = [
    "MOST_BAGS",
    "MOST_ROWS",
    "Figure",
    "IssueRow",
    "Over",
    "correct",
    "issue_class_list",
    "issue_clay",
    "issue_to_class",
    "issue_to_table",
    "receive_delivery",
    "reclaim",
    "record_talk",
    "return_bucket",
    "return_clay",
    "set_talk_rule",
    "take_learned_allowance",
    "write_off",
]
