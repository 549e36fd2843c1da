# The one task runner. `make demo` and `make test` are all a newcomer needs; CI runs the same.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PORT ?= 8640
export PIP_DISABLE_PIP_VERSION_CHECK := 1
export DJANGO_SETTINGS_MODULE := marshlight.server.settings
# Small matrices on few cores: threads of the linear algebra library only fight each other.
export OPENBLAS_NUM_THREADS := 1

.PHONY: demo test test-fast checks bench lint format types wheel system clean lock

demo: $(VENV)/.run
	@$(BIN)/marshlight demo --port $(PORT)

test: system $(VENV)/.dev lint types
	@mkdir -p build
	$(BIN)/pytest -q -n 2 -m "not browser"
	$(BIN)/pytest -q -m browser
	@PYTHONPATH=tests $(BIN)/python -m published.report > build/checks.txt || { tail -n 1 build/checks.txt; exit 1; }
	@tail -n 1 build/checks.txt
	@sh .ci/wheel $(BIN)

test-fast: $(VENV)/.dev
	$(BIN)/pytest -q -m "not slow and not browser"

checks: $(VENV)/.dev
	@PYTHONPATH=tests $(BIN)/python -m published.report

bench: $(VENV)/.dev
	@PYTHONPATH=.:tests $(BIN)/python -m benchmarks.run $(ONLY)

lint: $(VENV)/.dev
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/lint-imports --no-logo

types: $(VENV)/.dev
	$(BIN)/mypy

format: $(VENV)/.dev
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

# What the tests need from the system: installed when root, otherwise named exactly.
system:
	@sh .ci/system

$(VENV)/bin/python:
	$(PYTHON) -m venv $(VENV)

# Pinned by version and hash; the package itself goes in without touching the pins.
KERNEL := setup.py $(wildcard src/marshlight/process/model/csrc/*) \
	$(wildcard src/marshlight/process/model/definition/*.py)

$(VENV)/.run: requirements/run.txt pyproject.toml $(KERNEL) | $(VENV)/bin/python
	@echo "Installing marshlight into $(VENV) (first time only) ..."
	@$(BIN)/pip install -q --require-hashes -r requirements/run.txt
	@$(BIN)/pip install -q --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.dev: requirements/dev.txt pyproject.toml $(KERNEL) | $(VENV)/bin/python
	$(BIN)/pip install -q --require-hashes -r requirements/dev.txt
	$(BIN)/pip install -q --no-deps --no-build-isolation -e .
	@touch $@ $(VENV)/.run

# Only for whoever changes a requirement: rewrites the pins.
lock:
	sh requirements/lock $(PYTHON)

clean:
	rm -rf $(VENV) build dist src/*.egg-info
