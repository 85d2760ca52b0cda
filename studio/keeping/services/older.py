"""A back-up from before some migrations, brought to what the tables are now.

It is loaded into a small database of its own, which is thrown away, and migrated there as the real
one was. Whatever goes wrong on that way leaves nothing behind in the place that is restored.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from django.db import connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.sqlite3.base import DatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.graph import MigrationGraph

from studio.keeping.archive import Archive
from studio.keeping.tables import Rows, kept_models, kept_rows, rows_of, write_rows

ALIAS = "older"


@contextmanager
def brought_up_to_date(archive: Archive) -> Iterator[Rows]:
    """The rows of every model of now."""
    with _database() as database:
        executor = MigrationExecutor(database)
        then = _last_of_each_app(executor.loader.graph, archive.manifest.migrations)
        executor.migrate(then)
        executor.loader.build_graph()
        with transaction.atomic(using=ALIAS):
            for model in kept_models(executor.loader.project_state(then).apps):
                write_rows(database, model, kept_rows(archive, model))
        executor = MigrationExecutor(database)
        executor.migrate(executor.loader.graph.leaf_nodes())
        yield lambda model: rows_of(model, ALIAS)


def _last_of_each_app(graph: MigrationGraph, applied: list[list[str]]) -> list[tuple[str, str]]:
    """The applied migrations that none of the same app followed."""
    nodes = {(app, name) for app, name in applied}
    followed = {
        parent.key
        for app, name in nodes
        for parent in graph.node_map[app, name].parents
        if parent.key[0] == app
    }
    return sorted(nodes - followed)


@contextmanager
def _database() -> Iterator[BaseDatabaseWrapper]:
    with TemporaryDirectory() as folder:
        file = str(Path(folder) / "older.sqlite3")
        configured = connections.configure_settings(
            {"default": {}, ALIAS: {"ENGINE": "django.db.backends.sqlite3", "NAME": file}}
        )
        database = DatabaseWrapper(configured[ALIAS], ALIAS)
        # By this name the models find it, in this thread and for as long as this lasts.
        connections[ALIAS] = database
        try:
            yield database
        finally:
            database.close()
            del connections[ALIAS]
