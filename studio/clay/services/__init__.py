"""Every movement of clay: checked, locked, written to the ledger and audited here."""

from .allowance import Figure, Over, take_learned_allowance
from .correcting import correct
from .issuing import issue_clay, issue_to_class, issue_to_table
from .issuing_list import MOST_ROWS, IssueRow, issue_class_list
from .lots import receive_delivery, write_off
from .orders import PACK, call_off_order, place_order, set_pack, take_in_order
from .reclaiming import end_batch, put_out_to_dry, reclaim, throw_away_batch
from .returning import return_bucket, return_clay
from .talks import record_talk, set_talk_rule

__all__ = [
    "MOST_ROWS",
    "PACK",
    "Figure",
    "IssueRow",
    "Over",
    "call_off_order",
    "correct",
    "end_batch",
    "issue_class_list",
    "issue_clay",
    "issue_to_class",
    "issue_to_table",
    "place_order",
    "put_out_to_dry",
    "receive_delivery",
    "reclaim",
    "record_talk",
    "return_bucket",
    "return_clay",
    "set_pack",
    "set_talk_rule",
    "take_in_order",
    "take_learned_allowance",
    "throw_away_batch",
    "write_off",
]
