"""Benchmarks: ratios in one run, since a machine's own speed says nothing.

Importing this readies Django on a throw-away SQLite file.
"""

import os
import tempfile

import django

FOLDER = tempfile.TemporaryDirectory()
os.environ["DATABASE_URL"] = f"sqlite:///{FOLDER.name}/bench.sqlite3"
os.environ["DJANGO_SETTINGS_MODULE"] = "studio.config.settings"
django.setup()
