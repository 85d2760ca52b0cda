"""Rosters as a school's system writes them, and what they come to.

Column names: OneRoster 1.1 and 1.2, CSV binding (1EdTech).
"""

import io
import zipfile
from datetime import date

from studio.people.models import Enrolment
from studio.people.roster.apply import apply_roster
from studio.people.roster.changes import RosterPlan
from studio.people.roster.files import packed
from studio.people.roster.kept import keep_upload
from studio.people.roster.plan import roster_plan
from studio.people.roster.reading import roster_in
from studio.people.roster.rows import Roster
from tests.cast import NOW, TODAY, School

USERS = (
    "sourcedId,status,dateLastModified,enabledUser,orgSourcedIds,role,username,userIds,givenName,"
    "familyName,middleName,identifier,email,sms,phone,agentSourcedIds,grades,password\n"
)
CLASSES = (
    "sourcedId,status,dateLastModified,title,grades,courseSourcedId,classCode,classType,location,"
    "schoolSourcedId,termSourcedIds,subjects,subjectCodes,periods\n"
)
ENROLMENTS = (
    "sourcedId,status,dateLastModified,classSourcedId,schoolSourcedId,userSourcedId,role,primary,"
    "beginDate,endDate\n"
)


def user(sourced_id: str, given: str, family: str, role: str = "student", **more: str) -> str:
    cells = {"status": "", "when": "", "enabled": "true", "username": ""} | more
    return (
        f"{sourced_id},{cells['status']},{cells['when']},{cells['enabled']},o1,{role},"
        f"{cells['username']},,{given},{family},,,,,,,,letmein\n"
    )


def section(sourced_id: str, title: str, code: str = "", status: str = "") -> str:
    return f"{sourced_id},{status},,{title},,co1,{code},scheduled,,o1,t1,,,\n"


def enrolment(class_id: str, user_id: str, role: str = "student", **more: str) -> str:
    cells = {"status": "", "when": "", "begin": "", "end": ""} | more
    return (
        f"e-{class_id}-{user_id},{cells['status']},{cells['when']},{class_id},o1,{user_id},{role},"
        f"false,{cells['begin']},{cells['end']}\n"
    )


def bundle(**files: str | bytes) -> bytes:
    """Uploaded single files, by kind."""
    return packed(
        [
            (f"{kind}.csv", text.encode() if isinstance(text, str) else text)
            for kind, text in files.items()
        ]
    )


def zipped(files: dict[str, str | bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as opened:
        for name, text in files.items():
            opened.writestr(name, text)
    return out.getvalue()


def plain(text: str | bytes, name: str = "list.csv") -> Roster:
    return roster_in(packed([(name, text.encode() if isinstance(text, str) else text)]))


TWO_CLASSES = {
    "users": USERS
    + user("s1", "Maya", "Okafor", username="maya.okafor")
    + user("s2", "Liam", "Byrne")
    + user("s3", "Zoë", "Ångström"),
    "classes": CLASSES + section("c1", "Clay 1", "CL1") + section("c2", "Clay 2"),
    "enrollments": ENROLMENTS
    + enrolment("c1", "s1")
    + enrolment("c1", "s2", begin="2026-02-02")
    + enrolment("c2", "s3"),
}


def plan_of(cast: School, upload: bytes, today: date = TODAY) -> RosterPlan:
    return roster_plan(roster_in(upload), cast.studio, today)


def apply(cast: School, upload: bytes, today: date = TODAY) -> RosterPlan:
    digest = keep_upload(person=cast.head, bundle=upload, at=NOW)
    fingerprint = plan_of(cast, upload, today).fingerprint()
    return apply_roster(
        studio=cast.studio, by=cast.head, digest=digest, fingerprint=fingerprint, today=today
    )


def in_class(sourced_id: str) -> set[str]:
    found = Enrolment.objects.current().filter(section__sourced_id=sourced_id)
    return set(found.values_list("student__given_name", flat=True))
