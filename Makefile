# Setting Point. `make demo` shows it, `make test` proves it, `make serve` opens one's own book.
PYTHON ?= python3
SERVE ?= 1
PORT ?= 8000
WORKERS ?= 2
BIN := .venv/bin
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check \
       --only-binary :all: --no-compile --require-hashes --no-deps

.PHONY: demo serve test lint types imports browser screenshots benchmarks simulation pictures messages lock vendored

demo: .venv/.run
	$(BIN)/python manage.py demo --port $(PORT) $(if $(filter 0,$(SERVE)),--no-serve)

serve: .venv/.run
	$(BIN)/python manage.py migrate --verbosity 0
	$(BIN)/python manage.py serve --port $(PORT)

test: .venv/.test
	$(BIN)/python -m pytest -n $(WORKERS) --dist loadfile

lint: .venv/.test
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .

types: .venv/.test
	$(BIN)/mypy config inventory production labels fixtures

imports: .venv/.test
	$(BIN)/lint-imports

browser: .venv/.test
	$(BIN)/python -m pytest tests/browser

# A picture of every page of the demonstration, to be looked at: index.html.
ARTEFACTS ?= build/screenshots
screenshots: .venv/.test
	ARTEFACTS=$(ARTEFACTS) $(BIN)/python -m pytest tests/browser/test_every_page.py
	@echo "Look at $(ARTEFACTS)/index.html"

benchmarks: .venv/.test
	$(BIN)/python -m pytest tests/benchmarks --benchmark-only -s

simulation: .venv/.test
	$(BIN)/python tests/benchmarks/simulation.py --years 100

pictures: .venv/.test
	BOOK=demo $(BIN)/python tests/browser/pictures.py

# The maintainer's: gather what is to be translated, and compile what is.
messages: .venv/.test
	$(BIN)/python manage.py messages

# The maintainer's: resolve and hash the pins again.
lock: .venv/.test
	$(BIN)/uv pip compile pyproject.toml --universal --generate-hashes \
	  --python-version 3.11 --no-header --upgrade -o requirements.lock
	$(BIN)/uv pip compile pyproject.toml --group test --group dev --universal \
	  --generate-hashes --python-version 3.11 --no-header -c requirements.lock \
	  -o .ci/requirements.lock

.venv/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "Python 3.11 or newer is needed; name it with PYTHON=..."; exit 2; }
	@$(PYTHON) -m venv .venv \
	  || { echo "No virtual environment could be made: install python3-venv, then run make again."; \
	       rm -rf .venv; exit 2; }

.venv/.run: requirements.lock | .venv/bin/python
	@echo "Setting up (once; a minute on a home line) ..."
	@$(PIP) -r requirements.lock
	@touch $@

.venv/.test: .ci/requirements.lock | .venv/bin/python
	@echo "Setting up the tests (once; two minutes on a home line) ..."
	@$(PIP) -r .ci/requirements.lock
	@touch .venv/.run $@
