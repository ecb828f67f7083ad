# `make demo` and `make test` start from nothing: they make .venv and install the locked packages into it; a second run skips that.
PYTHON ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
# Packages of the machine do not count: only what is locked and what is in this tree.
unexport PYTHONPATH PYTHONHOME
export PIP_DISABLE_PIP_VERSION_CHECK := 1
PIP := $(BIN)/python -m pip -qq --no-input

HOST ?= 127.0.0.1
PORT ?= 8070

.DEFAULT_GOAL := help
.PHONY: help demo test lint bench serve lock wheel clean

help: ## list the targets
	@grep -hE '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/^([a-z]+):.*## /  make \1\t/' | expand -t 16

demo: $(VENV)/.service ## judge a worked example, no server needed
	@$(BIN)/halfthou demo

test: $(VENV)/.dev ## run every test
	@$(BIN)/python -m pytest $(PYTEST_ARGS)

lint: $(VENV)/.dev ## style, types, layers and the data files; prints what the table covers
	@$(BIN)/ruff check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports --no-cache
	@$(BIN)/python -m halfthou_specdb check
	@$(BIN)/python -m halfthou_specdb coverage

bench: $(VENV)/.dev ## measure speed on this machine
	@$(BIN)/python tests/bench_run.py

serve: $(VENV)/.service ## serve on HOST:PORT (127.0.0.1:8070)
	@$(BIN)/halfthou serve --host $(HOST) --port $(PORT)

wheel: $(VENV)/.dev ## build the wheel and the source archive into dist/
	@$(BIN)/python -m hatchling build -d dist

# The locks carry hashes and no index address. The smaller one is what building and running the service takes (hatchling builds it).
COMPILE = $(VENV)-lock/bin/uv pip compile pyproject.toml --universal --python-version 3.11 --generate-hashes --no-annotate \
	--no-emit-index-url --no-emit-find-links --custom-compile-command 'make lock' --quiet $(LOCK_ARGS)
lock: | $(VENV)-lock/bin/uv ## write the lock files anew (LOCK_ARGS=--upgrade for newer releases)
	@$(COMPILE) --extra service --extra dev -o requirements.lock
	@echo hatchling | $(COMPILE) - --extra service --constraint requirements.lock -o requirements-service.lock

clean: ## remove everything that make made
	rm -rf $(VENV) $(VENV)-lock dist build .mypy_cache .pytest_cache .ruff_cache .import_linter_cache .hypothesis
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

# What a bare machine may lack is told in words, not in a stack trace.
$(BIN)/python:
	@command -v $(PYTHON) >/dev/null || { echo "halfthou needs Python 3.11 or newer; '$(PYTHON)' was not found. Name another: make PYTHON=python3.11" >&2; exit 1; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "halfthou needs Python 3.11 or newer; '$(PYTHON)' is $$($(PYTHON) -V 2>&1). Name another: make PYTHON=python3.11" >&2; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { echo "'$(PYTHON)' cannot make a virtual environment: on Debian, apt-get install python3-venv" >&2; exit 1; }
	@echo "making $(VENV)" >&2
	@$(PYTHON) -m venv $(VENV) || { rm -rf $(VENV); exit 1; }

$(VENV)/.service: requirements-service.lock pyproject.toml | $(BIN)/python
	@echo "installing the service's packages into $(VENV)" >&2
	@$(PIP) install --require-hashes --only-binary :all: -r requirements-service.lock
	@$(PIP) install --no-deps --no-build-isolation -e .
	@touch $@

$(VENV)/.dev: requirements.lock $(VENV)/.service
	@echo "installing the tools for tests into $(VENV), once" >&2
	@$(PIP) install --require-hashes --only-binary :all: -r requirements.lock
	@touch $@

$(VENV)-lock/bin/uv: | $(BIN)/python
	@$(BIN)/python -m venv $(VENV)-lock
	@$(VENV)-lock/bin/python -m pip -qq install uv
