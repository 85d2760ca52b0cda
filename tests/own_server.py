"""The service as it runs for a school, on a database and files of its own, for tests that kill it.

`environment` is what each of its processes runs with; nothing here touches the test's own database.
"""

import json
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings as django_settings
from django.db import connection

Environment = dict[str, str]


@contextmanager
def own_place(folder: Path, tasks: str) -> Iterator[Environment]:
    """An environment with an empty database, migrated, beside the one that tests run on.

    `tasks` as in the setting TASKS.
    """
    with _address(folder) as address:
        environment = {
            **os.environ,
            "DATABASE_URL": address,
            "MEDIA_ROOT": str(folder / "media"),
            "TASKS": tasks,
            "SECRET_KEY": "killed",
            "PYTHONWARNINGS": "ignore",
        }
        _run(environment, "manage.py", "migrate", "--verbosity", "0")
        yield environment


@contextmanager
def _address(folder: Path) -> Iterator[str]:
    at = connection.settings_dict
    if connection.vendor == "sqlite":
        yield f"sqlite:///{folder / 'own.sqlite3'}"
        return
    name = f"own_{os.getpid()}"
    _on_server(at, f'DROP DATABASE IF EXISTS "{name}"')
    _on_server(at, f'CREATE DATABASE "{name}"')
    yield f"postgres://{at['USER']}:{at['PASSWORD']}@{at['HOST']}:{at['PORT']}/{name}"
    _on_server(at, f'DROP DATABASE "{name}" WITH (FORCE)')


def _on_server(at: dict[str, Any], statement: str) -> None:
    import psycopg  # noqa: PLC0415 -- only where there is a server

    known = {"user": at["USER"], "password": at["PASSWORD"], "host": at["HOST"]}
    with psycopg.connect(dbname="postgres", port=at["PORT"], autocommit=True, **known) as server:
        server.execute(statement)


def told(environment: Environment, program: str) -> Any:
    """What a program of ours prints as JSON on its last line."""
    said = _run(environment, "manage.py", "shell", "--no-imports", "-c", program)
    return json.loads(said.splitlines()[-1])


def _run(environment: Environment, *words: str) -> str:
    return subprocess.run(
        [sys.executable, *words],
        cwd=django_settings.BASE_DIR,
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    ).stdout


class Server:
    """gunicorn, which may be killed and started again. The listening socket is ours and stays: who
    connects meanwhile waits in its queue, who was being answered is cut off.
    """

    def __init__(self, environment: Environment, *, workers: int = 1, threads: int = 4) -> None:
        self.environment, self.size = environment, (workers, threads)
        self.listening = socket.create_server(("127.0.0.1", 0), backlog=64)
        self.start()

    @property
    def port(self) -> int:
        return int(self.listening.getsockname()[1])

    def start(self) -> None:
        descriptor = self.listening.fileno()
        workers, threads = (str(each) for each in self.size)
        self.process = subprocess.Popen(
            [
                sys.executable, "-m", "gunicorn", "studio.config.wsgi", "--workers", workers,
                "--threads", threads, "--bind", f"fd://{descriptor}", "--log-level", "critical",
            ],
            cwd=django_settings.BASE_DIR,
            env=self.environment,
            pass_fds=[descriptor],
            start_new_session=True,
        )  # fmt: skip

    def kill(self) -> None:
        """The master and its workers at once, with no word to any."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def kill_and_start(self) -> None:
        self.kill()
        self.start()

    def close(self) -> None:
        self.kill()
        self.listening.close()
