"""Which tables a back-up holds, and their rows on the way out and in, alike for both databases."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from itertools import islice
from typing import Any

from django.apps import apps
from django.core.management.color import no_style
from django.db import connection, models, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.recorder import MigrationRecorder
from django.utils.translation import gettext as _

from studio.keeping.archive import Archive, Damaged

Model = type[models.Model]
Rows = Callable[[Model], Iterator[list[Any]]]
"""The columns, then each row as Python values."""

# Sessions end with a restore, everybody signs in again. The queue's rows are made anew by the sweep
# from the jobs, which are kept. Django writes its own tables of permissions itself.
LEFT_OUT = frozenset({"auth", "contenttypes", "sessions", "django_tasks_database"})
AT_ONCE = 1000


def kept_models(registry: Any = apps) -> list[Model]:
    """Every table of ours, tables of many-to-many relations too."""
    return [
        model
        for model in registry.get_models(include_auto_created=True)
        if model._meta.app_label not in LEFT_OUT and model._meta.managed
    ]


def columns(model: Model) -> list[str]:
    return [field.attname for field in model._meta.local_concrete_fields]


def rows_of(model: Model, using: str = "default") -> Iterator[list[Any]]:
    """The columns, then every row, few in memory at a time.

    As they lie in the table, and not by their random ids: where a list leaves the order of two
    rows open, it stays as people know it.
    """
    names = columns(model)
    yield names
    rows = model._base_manager.using(using).order_by().values_list(*names)
    for row in rows.iterator(chunk_size=AT_ONCE):
        yield list(row)


def kept_rows(archive: Archive, model: Model) -> Iterator[list[Any]]:
    """The columns, then every row of a back-up. Raises `Damaged` where there are fewer or more."""
    label = model._meta.label
    if label not in archive.manifest.tables:
        raise Damaged(_("%(name)s is not in it") % {"name": label})
    lines = archive.rows(label)
    names = next(lines)
    yield names
    known = {field.attname: field for field in model._meta.local_concrete_fields}
    read = [_reader(known[name]) for name in names]
    count = 0
    for count, line in enumerate(lines, start=1):  # noqa: B007 -- the last one is looked at
        yield [to(value) for to, value in zip(read, line, strict=True)]
    if count != archive.manifest.tables[label].rows:
        raise Damaged(_("%(name)s has another number of rows") % {"name": label})


def _reader(field: "models.Field[Any, Any]") -> Callable[[Any], Any]:
    return field.to_python if field.get_internal_type() != "JSONField" else lambda value: value


def write_rows(database: BaseDatabaseWrapper, model: Model, rows: Iterable[list[Any]]) -> int:
    """Insert them as they are, past every default of `save`; how many there were."""
    rows = iter(rows)
    fields = {field.attname: field for field in model._meta.local_concrete_fields}
    chosen = [fields[name] for name in next(rows)]
    if len(chosen) != len(fields):
        raise ValueError(f"{model._meta.label} has other columns")
    quoted = database.ops.quote_name
    names = ", ".join(quoted(str(field.column)) for field in chosen)
    places = ", ".join(["%s"] * len(chosen))
    # Names of our own tables and columns; every value is a parameter.
    insert = f"INSERT INTO {quoted(model._meta.db_table)} ({names}) VALUES ({places})"  # noqa: S608
    count = 0
    with database.cursor() as cursor:
        while some := list(islice(rows, AT_ONCE)):
            prepared = [
                [f.get_db_prep_save(v, database) for f, v in zip(chosen, row, strict=True)]
                for row in some
            ]
            cursor.executemany(insert, prepared)
            count += len(some)
    return count


def go_on_counting(database: BaseDatabaseWrapper, loaded: list[Model]) -> None:
    """The next row gets a number after the last one that was written."""
    with database.cursor() as cursor:
        for statement in database.ops.sequence_reset_sql(no_style(), loaded):
            cursor.execute(statement)


def applied_migrations() -> list[list[str]]:
    """[app, name] of each that this database has, of the apps whose tables are kept."""
    ours = {model._meta.app_label for model in kept_models()}
    applied = MigrationRecorder(connection).applied_migrations()
    return sorted([app, name] for app, name in applied if app in ours)


@contextmanager
def one_moment() -> Iterator[None]:
    """Read the database as it is at one moment while others go on writing."""
    if connection.vendor == "sqlite":
        sqlite: Any = connection
        usual = sqlite.transaction_mode
        # The usual one would keep everybody else from writing.
        sqlite.transaction_mode = "DEFERRED"
        try:
            with transaction.atomic(durable=True):
                yield
        finally:
            sqlite.transaction_mode = usual
        return
    with transaction.atomic(durable=True):
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield
