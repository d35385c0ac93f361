# Blockwright. `make` lists what there is to make.
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help demo test fast docs bench oracles lock clean

PYTHON ?= python3
QUIET ?= -qq
JOBS ?= 2

VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check install $(QUIET)
LOCKED := $(PIP) --require-hashes

help: ## list the targets
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "  %-7s %s\n", $$1, $$2 }' Makefile
	@echo "PYTHON=... chooses the Python (3.11 or newer) that $(VENV) is made with, JOBS=... the tests run at once."

demo: $(VENV)/.runtime ## set up what running needs, then show a worked job
	@$(BIN)/blockwright demo
	@echo "To type these commands here, first: . $(BIN)/activate"

test: $(VENV)/.dev ## the whole run: style, types, floors and every test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo
	$(BIN)/pytest -q -n $(JOBS)

fast: $(VENV)/.dev ## the daily run: the tests that are not slow, under two minutes
	$(BIN)/pytest -q -n $(JOBS) -m "not slow"

docs: $(VENV)/.docs ## the pages, into docs/_build/html
	$(BIN)/sphinx-build -W -q -b html docs docs/_build/html
	@echo "Open docs/_build/html/index.html"

bench: $(VENV)/.dev ## time the parts that must be quick
	$(BIN)/pytest -q --benchmark-enable benchmarks

oracles: $(VENV)/.oracles ## set up heavy libraries that bench then compares with too

# One lock for every system and Python that we run on. Versions stay as they are; UPGRADE=--upgrade moves them.
COMPILE = $(VENV)/lock/bin/uv pip compile --universal --python-version 3.11 --generate-hashes --custom-compile-command "make lock" \
  -q $(UPGRADE)

lock: $(VENV)/lock/bin/uv ## write requirements/*.txt anew from requirements/*.in
	cd requirements && ../$(COMPILE) -o runtime.txt runtime.in
	cd requirements && ../$(COMPILE) -o build.txt build.in
	cd requirements && ../$(COMPILE) -c runtime.txt -c build.txt -o dev.txt dev.in
	cd requirements && ../$(COMPILE) -c dev.txt -o docs.txt docs.in
	cd requirements && ../$(COMPILE) -c dev.txt -o oracles.txt oracles.in
	@if grep -n '://' requirements/*.txt; then echo "A lock names an address; see above."; exit 1; fi

clean: ## take away everything that was made, .venv too
	rm -rf $(VENV) build dist blockwright-demo docs/_build .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .hypothesis .benchmarks
	find src tests benchmarks docs -name __pycache__ -prune -exec rm -rf {} + 2>/dev/null || true

# What was set up is noted in files inside .venv, so that a second run has nothing to do.
$(VENV)/.made:
	@command -v $(PYTHON) >/dev/null || \
	  { echo "There is no $(PYTHON) here. Install Python 3.11 or newer, or name one: make PYTHON=/path/to/python3"; exit 1; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
	  { echo "$(PYTHON) is $$($(PYTHON) -V 2>&1); Blockwright needs 3.11 or newer. Name one: make PYTHON=python3.12"; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || \
	  { echo "$(PYTHON) has no venv module. On Debian and Ubuntu: apt-get install python3-venv"; exit 1; }
	@echo "Setting up $(VENV) (once)"
	@$(PYTHON) -m venv $(VENV)
	@touch $@

# compileall: where Python is told not to keep compiled files, every start would be several times slower.
$(VENV)/.runtime: $(VENV)/.made pyproject.toml requirements/runtime.txt requirements/build.txt
	@echo "Installing what running needs"
	@$(LOCKED) -r requirements/runtime.txt -r requirements/build.txt
	@$(PIP) --no-deps --no-build-isolation -e .
	@env -u PYTHONDONTWRITEBYTECODE $(BIN)/python -m compileall -q $(VENV)/lib src >/dev/null || true
	@touch $@

$(VENV)/.dev: $(VENV)/.runtime requirements/dev.txt
	@echo "Installing what the tests need"
	@$(LOCKED) -r requirements/dev.txt
	@touch $@

$(VENV)/.docs: $(VENV)/.dev requirements/docs.txt
	@echo "Installing what the pages need"
	@$(LOCKED) -r requirements/docs.txt
	@touch $@

$(VENV)/.oracles: $(VENV)/.dev requirements/oracles.txt
	@echo "Installing what bench compares with (some 450 MB)"
	@$(LOCKED) -r requirements/oracles.txt
	@touch $@

$(VENV)/lock/bin/uv: $(VENV)/.made
	@$(PYTHON) -m venv $(VENV)/lock
	@$(VENV)/lock/bin/python -m pip --disable-pip-version-check install $(QUIET) uv
	@touch $@
