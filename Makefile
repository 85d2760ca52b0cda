# Every command that this project knows. They need Python 3.11 or newer and make, nothing else;
# `make test` uses Debian's chromium when it is there, and `.ci/run` makes sure that it is.
PYTHON ?= python3
HOST ?= 127.0.0.1
PORT ?= 8000
# SQLite lets one write at a time: threads wait for it cheaply, more processes gain nothing.
WEB_PROCESSES ?= 2
WEB_THREADS ?= 8
# How many do the background work, such as reading photos.
WORKERS ?= 2
TEST_PROCESSES ?= 2

BIN := .venv/bin
MANAGE := $(BIN)/python manage.py
# The locks are complete, so pip has nothing to resolve: older ones look past a pin for an extra.
PIP_INSTALL := $(BIN)/python -m pip install --disable-pip-version-check --quiet --require-hashes --no-deps

# What is computed is run by a test to its last branch; of the services all but branches that only a
# race can reach.
PURE := planning/geometry/*,planning/rows/*,planning/bench/*,planning/exploration/*,planning/pictures/*,planning/splitting/*,planning/statics/*,planning/tracing/*,planning/codes.py,planning/milestones.py
PURE := $(PURE),studio/kilns/cones.py,studio/kilns/heat/*,studio/kilns/hours.py,studio/kilns/furnished.py,studio/kilns/halves.py,studio/kilns/shipped.py,studio/kilns/packing/*,studio/kilns/weeks/*
PURE := $(PURE),studio/room/cones.py,studio/room/shrinkage.py,studio/ware/stages.py,assessments/scoring/*,studio/units/*,studio/people/calendar.py
PURE := $(PURE),studio/clay/allowance.py,studio/clay/ordering.py,studio/ware/drying.py
SERVICES := planning/services/*,assessments/services/*,studio/people/services/*,studio/people/roster/*,studio/jobs/services.py
SERVICES := $(SERVICES),studio/uploads/services.py,studio/room/services/*,studio/ware/services/*,studio/clay/services/*
SERVICES := $(SERVICES),studio/kilns/services/*,studio/keeping/services/*,studio/board/services/*,studio/bench/services/*

.PHONY: help demo serve backup restore check test coverage bench study pictures clean

help:
	@echo "make demo      an invented school on http://$(HOST):$(PORT)/ (PORT=8080 for another port)"
	@echo "make serve     the service with the data that is in var/"
	@echo "make backup FILE=...   everything into one new file, while the service may run"
	@echo "make restore FILE=...  a back-up into a fresh place"
	@echo "make check     format, lint, types, package order, migrations, deployment settings"
	@echo "make test      check, then the tests"
	@echo "make coverage  the tests again, watched: is every line of what is computed run by one"
	@echo "make bench     how quick it is, as ratios"
	@echo "make study     how well drawings are compared, ideas counted and weeks planned (some minutes)"
	@echo "make pictures  the README's pictures, taken from the running product"

.venv/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
		echo "Coilcourse needs Python 3.11 or newer; '$(PYTHON)' is older or missing." ; \
		echo "Name another one: make PYTHON=python3.12 ..." ; exit 1 ; }
	@$(PYTHON) -m venv .venv || { rm -rf .venv ; exit 1 ; }

.venv/app.installed: requirements/app.txt | .venv/bin/python
	$(PIP_INSTALL) -r requirements/app.txt
	@touch $@

# dev.txt holds all of app.txt's pins.
.venv/dev.installed: requirements/dev.txt | .venv/bin/python
	$(PIP_INSTALL) -r requirements/dev.txt
	@touch $@ .venv/app.installed

demo: .venv/app.installed
	@$(MANAGE) migrate --verbosity 0
	@$(MANAGE) demo
	@$(MAKE) --no-print-directory serve

# Both are told to stop when either ends or on Ctrl-C; the worker finishes the job in its hands.
serve: .venv/app.installed
	@$(MANAGE) migrate --verbosity 0
	@$(MANAGE) collectstatic --noinput --verbosity 0
	@$(BIN)/python -m studio.kilns.packing.warm
	@echo "Coilcourse answers on http://$(HOST):$(PORT)/ (Ctrl-C ends it)"
	@$(MANAGE) work --workers $(WORKERS) & worker=$$! ; \
	$(BIN)/gunicorn studio.config.wsgi --bind $(HOST):$(PORT) --workers $(WEB_PROCESSES) \
		--threads $(WEB_THREADS) --timeout 120 --log-level warning & web=$$! ; \
	trap 'kill $$web $$worker 2>/dev/null ; wait' EXIT ; trap 'exit 0' INT TERM HUP ; wait $$web

backup restore: .venv/app.installed
	@test -n "$(FILE)" || { echo "Name the file: make $@ FILE=studio.zip" ; exit 1 ; }
	@$(MANAGE) $(subst backup,back_up,$@) "$(FILE)"

check: .venv/dev.installed
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/djade --check --target-version 5.2 $$(find templates -name '*.html')
	$(BIN)/lint-imports
	$(MANAGE) makemigrations --check --dry-run
	HTTPS=1 $(MANAGE) check --deploy --fail-level WARNING
	$(BIN)/mypy .

test: check
	$(BIN)/pytest -n $(TEST_PROCESSES) --dist worksteal -m "not slow"

# Apart from `test`, since being watched makes a test take up to twice as long. Pages, prints and the
# API rest on what these tests watch; with a DATABASE_URL it is run on that database.
coverage: .venv/dev.installed
	$(BIN)/pytest -n $(TEST_PROCESSES) --dist worksteal --cov --cov-report= \
		-m "not browser and not slow and (both_databases or not database)"
	$(BIN)/coverage report --skip-covered --include='$(PURE)' --fail-under=100
	$(BIN)/coverage report --skip-covered --include='$(SERVICES)' --fail-under=98
	$(BIN)/coverage report --format=total

bench: .venv/dev.installed
	$(BIN)/python -m tests.bench

study: .venv/dev.installed
	$(BIN)/python -m tests.study

pictures: .venv/dev.installed
	$(BIN)/python -m tests.pictures

clean:
	rm -rf .venv .mypy_cache .ruff_cache .pytest_cache .import_linter_cache .hypothesis .coverage
