"""The settings of a worker process in the tests: as configured, with the tests' kinds of work."""

from studio.config.settings import *  # noqa: F403

JOB_KINDS = {
    name: f"tests.studio.jobs.kinds.{name.upper()}"
    for name in ("count", "refuse", "break_off", "leave_open", "wait")
}
