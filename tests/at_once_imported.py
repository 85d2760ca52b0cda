"""Imported once in the process whose forks act at once (`tests.at_once`)."""

import django

django.setup()

import studio.config.urls  # noqa: E402, F401 -- after the setup; it leads to everything else
