"""One worker process: the queue's own worker, which ends when whoever started it does.

`python -m studio.jobs.worker` with a pipe as its standard input. Nothing is ever written to the
pipe; it closes when its other end dies, however that happens.
"""

import os
import signal
import threading
import time

import django
from django.core.management import call_command

# A job under way may end first; what takes longer is taken over by the sweep.
GRACE_SECONDS = 30


def _end_with_parent() -> None:
    # Not through a buffer: its lock would still be held when the interpreter shuts down.
    os.read(0, 1)
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(GRACE_SECONDS)
    os._exit(1)


def main() -> None:
    threading.Thread(target=_end_with_parent, daemon=True).start()
    django.setup()
    call_command("db_worker", interval=0.5, reload=False, startup_delay=False, verbosity=0)


if __name__ == "__main__":
    main()
