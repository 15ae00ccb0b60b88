# Two commands on a fresh machine with Python 3.11 or newer, git and make:
#   make run     set up .venv, print the demo car's effects table, then serve the page (Ctrl-C ends it)
#   make test    the same set-up, and the whole test suite
# Others: make check (style, types, layers), make benchmark, make clean.
# PYTHON=... chooses the interpreter; ARGS=... goes to pytest, as in make test ARGS='tests/car -x'.

NAMES := python3 python3.11 python3.12 python3.13 python3.14
RECENT := -c 'import sys; sys.exit(sys.version_info < (3, 11))'
PYTHON ?= $(shell for name in $(NAMES); do if $$name $(RECENT) >/dev/null 2>&1; then command -v $$name; break; fi; done)

BIN := .venv/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check install --quiet --constraint constraints.txt
WORKERS := 2
MADE_FROM := pyproject.toml constraints.txt package-lock.json vendor.py hatch_build.py

.PHONY: run test check benchmark clean

run: .venv/ready
	$(BIN)/axlewright effects teasel
	$(BIN)/axlewright bench teasel

test: .venv/ready-to-test
	$(BIN)/python -m pytest -n $(WORKERS) --dist loadfile $(ARGS)

check: .venv/ready-to-test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	PYRIGHT_PYTHON_IGNORE_WARNINGS=1 $(BIN)/pyright
	$(BIN)/lint-imports

benchmark: .venv/ready-to-test
	$(BIN)/python -m benchmarks

clean:
	rm -rf .venv node_modules src/axlewright/web/static/vendor tests/web/vendor .pytest_cache .ruff_cache .hypothesis .import_linter_cache build dist

# The stamps are older than what they were made from when an installation is stale.
.venv/ready: $(MADE_FROM) | $(BIN)/python
	$(PIP) --editable .
	@touch $@

.venv/ready-to-test: $(MADE_FROM) | $(BIN)/python
	$(PIP) --editable '.[test]'
	@touch .venv/ready $@

$(BIN)/python:
	@test -n "$(PYTHON)" || { echo "Python 3.11 or newer is needed, and none of $(NAMES) is one: install it, or name it with make PYTHON=/path/to/python3"; exit 1; }
	@"$(PYTHON)" $(RECENT) || { echo "$(PYTHON) is not Python 3.11 or newer: name another with make PYTHON=/path/to/python3"; exit 1; }
	@"$(PYTHON)" -c 'import ensurepip, venv' 2>/dev/null || { echo "$(PYTHON) cannot make virtual environments: it lacks ensurepip. Install its venv package (on Debian and its relatives: python3-venv)"; exit 1; }
	@echo "Setting up .venv with $(PYTHON): the first time takes a few minutes"
	@"$(PYTHON)" -m venv --clear .venv
