# Everything here needs Python 3.11 to 3.13 and make, nothing else: the first target that wants
# the virtual environment makes it from the lock files, and later ones use it again while they
# are unchanged.
#
#   make demo                         the whole path on the demo workshop
#   make test PYTEST_ARGS="-k tyres"  some of the tests
#   make test PYTHON=python3.13 VENV=.venv-3.13

PYTHON ?= python3
VENV ?= .venv
# Neighbouring tests stay together, so that what they share is made once. Three processes for two
# cores: tests with a browser wait more than they compute.
PYTEST_ARGS ?= -n 3 --dist worksteal
FUZZ_MINUTES ?= 10
# For instance --quick.
BENCH_ARGS ?=
SOAK_VISITORS ?= 25
SOAK_MINUTES ?= 30
# Set to --upgrade to let `make lock` take newer versions, or to "--upgrade-package NAME".
UPGRADE ?=

BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check -qq
RUN := $(VENV)/.installed-run
TEST := $(VENV)/.installed-test

.DEFAULT_GOAL := help
.PHONY: help demo app test fuzz lint audit bench orders clicks crowd soak screenshots wheel lock clean mutation

help: ## List the targets.
	@awk -F ':.*## ' '/^[a-z]+:.*## / {printf "  make %-12s %s\n", $$1, $$2}' Makefile

demo: $(RUN) ## Answer the jobs of the demo workshop.
	$(BIN)/fitwright demo

app: $(RUN) ## Open the pages on this computer.
	$(BIN)/fitwright page

test: $(TEST) ## Run all tests and the examples in the docstrings.
	$(BIN)/python -m pytest $(PYTEST_ARGS)

lint: $(TEST) ## Check style, format and types.
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

fuzz: $(TEST) ## Draw new cases for the readers of files, for FUZZ_MINUTES.
	$(BIN)/python -m tests.fuzz $(FUZZ_MINUTES)

mutation: $(TEST) ## Make bundled rules wrong, one place at a time: some test must notice.
	$(BIN)/python -m tests.mutation

audit: $(TEST) ## Ask about known flaws of every locked library; needs the network.
	$(BIN)/python -m tests.audit

bench: $(TEST) ## Measure commands on the bundled jobs and compare the search with other solvers.
	$(BIN)/python -m tests.benchmarks $(BENCH_ARGS)

orders: $(TEST) ## Look at length for orders in which tables of the bundled vehicles are joined.
	$(BIN)/python -m tests.benchmarks.orders

clicks: $(TEST) ## Measure from click to painted in a browser, for the bundled jobs; JSON into clicks.json.
	$(BIN)/python -m tests.ui.clicks clicks.json

crowd: $(TEST) ## Measure how long a click takes with 1, 5 and 25 visitors.
	$(BIN)/python -m tests.ui.crowd

soak: $(TEST) ## Let 25 visitors work and leave for half an hour; say what memory comes back.
	$(BIN)/python -m tests.ui.soak --visitors $(SOAK_VISITORS) --minutes $(SOAK_MINUTES)

screenshots: $(TEST) ## Take pictures of every part of the page into tests/ui/pictures/.
	$(BIN)/python -m tests.ui.screenshots tests/ui/pictures

wheel: $(TEST) ## Build the sdist, and the wheel from the sdist, into dist/.
	$(BIN)/python -m build --no-isolation --outdir dist .

# One version of each library for all Pythons, so that answers do not depend on which one a shop
# has. The test lock is made first: it holds everything, and running takes the same versions.
UV_COMPILE := $(BIN)/uv pip compile --quiet --no-config --universal --fork-strategy fewest \
	--python-version 3.11 --generate-hashes --no-emit-index-url --no-emit-find-links \
	--custom-compile-command 'make lock'

lock: $(TEST) ## Make the lock files anew from pyproject.toml.
	$(UV_COMPILE) $(UPGRADE) --group test --group dev pyproject.toml -o requirements-test.lock
	$(UV_COMPILE) --upgrade --constraints requirements-test.lock \
		--group build pyproject.toml -o requirements.lock
	@! grep -nE '://|^ *--(index|extra-index|find-links)' requirements.lock requirements-test.lock

clean: ## Remove what was built or cached; the virtual environment stays.
	rm -rf build dist *.egg-info .hypothesis .mypy_cache .pytest_cache .ruff_cache
	find . -name __pycache__ -not -path './.venv*' -prune -exec rm -rf {} +

# The project itself goes in last, editable, with the build backend from the lock.
$(RUN): requirements.lock | $(BIN)/python
	$(PIP) install --require-hashes -r requirements.lock
	$(PIP) install --no-build-isolation --no-deps --editable .
	@touch $@

# The test lock holds all that running needs too.
$(TEST): requirements-test.lock | $(BIN)/python
	$(PIP) install --require-hashes -r requirements-test.lock
	$(PIP) install --no-build-isolation --no-deps --editable .
	@touch $(RUN) $@

$(BIN)/python:
	@command -v '$(PYTHON)' >/dev/null || { \
		echo "No $(PYTHON) here: install Python 3.11 to 3.13, or say make PYTHON=/path/to/python" >&2; \
		exit 1; }
	@'$(PYTHON)' -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] <= (3, 13))' || { \
		echo "$(PYTHON) is $$('$(PYTHON)' -V 2>&1): Fitwright needs Python 3.11 to 3.13; say make PYTHON=/path/to/python" >&2; \
		exit 1; }
	'$(PYTHON)' -m venv '$(VENV)' || { rm -rf '$(VENV)'; exit 1; }
