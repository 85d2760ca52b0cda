"""Every change of people, classes and dates: checked, locked, written and audited here."""

from .accounts import (
    NewAccount,
    create_person,
    create_studio,
    edit_person,
    let_sign_in,
    set_settings,
)
from .dates import (
    add_closure,
    add_meeting,
    cancel_meeting,
    edit_meeting,
    mark_absent,
    remove_closure,
    restore_meeting,
    set_pattern,
)
from .enrolling import end_enrolment, enrol, enrol_new_student, move_student
from .passwords import (
    FirstPassword,
    give_first_passwords,
    prepare_first_passwords,
    reset_password,
    set_own_password,
)
from .sections import create_class, edit_class, set_teachers
from .signing_in import TooManyGuesses, check_sign_in, unlock_sign_in

__all__ = [
    "FirstPassword",
    "NewAccount",
    "TooManyGuesses",
    "add_closure",
    "add_meeting",
    "cancel_meeting",
    "check_sign_in",
    "create_class",
    "create_person",
    "create_studio",
    "edit_class",
    "edit_meeting",
    "edit_person",
    "end_enrolment",
    "enrol",
    "enrol_new_student",
    "give_first_passwords",
    "let_sign_in",
    "mark_absent",
    "move_student",
    "prepare_first_passwords",
    "remove_closure",
    "reset_password",
    "restore_meeting",
    "set_own_password",
    "set_pattern",
    "set_settings",
    "set_teachers",
    "unlock_sign_in",
]
