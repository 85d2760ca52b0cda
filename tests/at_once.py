"""Several processes that act on the test's database at the same moment."""

import multiprocessing
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from importlib import import_module
from multiprocessing.connection import Connection
from multiprocessing.synchronize import Barrier
from typing import Final

import django
from django.db import connection, connections

Act = Callable[..., list[str]]
"""Called with `ready` and words; once it has read what it needs it calls `ready()`, which waits for
the others, then acts and returns what it read."""

_FORKS = multiprocessing.get_context("forkserver")
# They are forks of one process that has imported the whole service, so each stands at once.
_FORKS.set_forkserver_preload(["tests.at_once_imported"])

_PATIENCE_SECONDS: Final = 60
"""For one that died before it was ready; the others would wait for it for ever."""


def at_once(act: Act, asked: Sequence[Sequence[str]]) -> list[list[str]]:
    """What each read, in the order of `asked`: for each the words that `act` is called with."""
    where = str(connection.settings_dict["NAME"])
    barrier = _FORKS.Barrier(len(asked))
    with ExitStack() as stack:
        answers: list[Connection] = []
        for words in asked:
            here, there = _FORKS.Pipe(duplex=False)
            does = (there, barrier, where, (act.__module__, act.__name__), list(words))
            process = _FORKS.Process(target=_one, args=does)
            process.start()
            there.close()
            stack.callback(process.join)
            stack.callback(process.kill)
            answers.append(stack.enter_context(here))
        return [answer.recv() for answer in answers]


def _one(
    answer: Connection, barrier: Barrier, database: str, act_at: tuple[str, str], words: list[str]
) -> None:
    # What acts is imported here: it needs the service set up.
    django.setup()
    connections["default"].settings_dict["NAME"] = database
    module, name = act_at
    act: Act = getattr(import_module(module), name)
    answer.send(act(lambda: barrier.wait(_PATIENCE_SECONDS), *words))
