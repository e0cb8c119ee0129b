# The two commands of the README, `rehearse` and `test`, and what contributors run.
# Each makes the machine ready first (.ci/setup); when it is, that takes no time worth naming.

VENV := .venv
BIN  := $(VENV)/bin
# How many tests run at once; more than two at a time make each other late.
TESTS_AT_ONCE ?= 2
PYTEST = $(BIN)/python -m pytest -n $(TESTS_AT_ONCE) --dist loadgroup
# Counting lines takes four times as long; a signal amid the counting would leave its lock held, and hang.
COVERED = -o timeout=500 -o timeout_method=thread
PLAN ?= $(firstword $(sort $(wildcard plans/*.yaml)))
export PYTHON

.DEFAULT_GOAL := help
.PHONY: help setup setup-test install uninstall rehearse test lint cover check bench bench-hearing soak fuzz lock

help:  ## say what there is
	@sed -n 's/^\([a-z -]*\):.*## /make \1	/p' $(MAKEFILE_LIST) | expand -t 24

setup:
	@.ci/setup run

setup-test:
	@.ci/setup test

rehearse: setup  ## rehearse a demo plan and print the conversation (PLAN=plans/other.yaml)
	@test -n "$(PLAN)" || { echo "rehearse: there is no plan in plans/; name one: make rehearse PLAN=..." >&2; exit 2; }
	@$(BIN)/kitchend rehearse $(PLAN) $(ARGS)

install:  ## as root: the service of the system, from this checkout; again to upgrade (DESTDIR, SOUNDCHECK=no)
	@systemd/install

uninstall:  ## as root: take the service away; journal and settings stay (PURGE=1 takes them too)
	@systemd/uninstall

test: setup-test  ## run every test, two at once (ARGS="-k timers" to choose, TESTS_AT_ONCE=0 for one by one)
	@$(PYTEST) $(ARGS)

lint: setup-test  ## format, lint, types
	@$(BIN)/ruff format --check .
	@$(BIN)/ruff check .
	@$(BIN)/mypy

cover: setup-test  ## core/ is covered, branches too, by its own tests
	@$(PYTEST) $(COVERED) tests/core --cov=kitchend.core --cov-report= $(ARGS)
	@$(BIN)/coverage report --include='kitchend/core/*' --fail-under=100

check: lint  ## the gate: lint, every test with branch coverage, all of core/ covered
	@$(PYTEST) $(COVERED) --cov --cov-report= $(ARGS)
	@$(BIN)/coverage report
	@$(BIN)/coverage report --include='kitchend/core/*' --fail-under=100

bench soak: setup-test  ## figures; many hours in simulated time
	@.ci/scripts tests/$@

fuzz: setup-test  ## made-up input: ten minutes each engine on settings, plan files, control lines
	@.ci/atheris
	@.ci/scripts tests/fuzz

bench-hearing: setup-test  ## how well it hears in kitchen noise: an hour or more (ARGS="--small --noise FOLDER" for minutes)
	@PYTHONPATH=. $(BIN)/python -m tests.bench.hear.run $(ARGS)

lock: setup-test  ## write the locked versions anew from pyproject.toml (UPGRADE=1 for the newest)
	@.ci/lock $(if $(UPGRADE),--upgrade)
