# Two commands do all the set-up on a fresh machine: `make demo` and `make test`.
# The first Python here that is new enough; another one: make PYTHON=/path/to/python demo
PYTHON ?= $(shell for one in python3 python3.14 python3.13 python3.12 python3.11 python; do \
	$$one -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && echo $$one && break; done)
VENV := .venv
ifeq ($(OS),Windows_NT)
BIN := $(VENV)/Scripts
else
BIN := $(VENV)/bin
endif
STAMP := $(VENV)/.ready
PIP := $(BIN)/python -m pip --disable-pip-version-check

.PHONY: setup browser demo test lint docs bench fixtures fixtures-remake schemas press papers trials hostile mutate fuzz wheel audit-deps clean

setup: $(STAMP)

$(STAMP): pyproject.toml pipeline/constraints.txt
	@test -n "$(PYTHON)" || { echo "halfinch needs Python 3.11 or later; name it with make PYTHON=/path/to/python"; exit 1; }
	$(PYTHON) -m venv $(VENV)
	$(PIP) install --quiet --constraint pipeline/constraints.txt --editable '.[dev]'
	touch $(STAMP)

demo: setup
	rm -rf build/demo && mkdir -p build/demo
	$(BIN)/halfinch import fixtures/demo --catalogue build/demo/shop.duckdb || test $$? -eq 4
	$(BIN)/halfinch match fixtures/demo/bodies/ottilie.toml --catalogue build/demo/shop.duckdb --top 8
	$(BIN)/halfinch export --catalogue build/demo/shop.duckdb --table sizes --format csv --output build/demo/sizes.csv

# Some tests print and look at pages with Chromium. Debian's is fetched where that is allowed; else one line says how.
browser:
	@command -v chromium >/dev/null || command -v chromium-browser >/dev/null || { \
	  test "$$(id -u)" = 0 && command -v apt-get >/dev/null && apt-get update -qq && \
	  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium fonts-dejavu-core >/dev/null; } || \
	  echo "No Chromium here: tests that look at pages are left out. To run them: sudo apt-get install chromium"

# A process a core; the tests of a file stay together, since they share what they set up.
test: setup browser
	$(BIN)/python -m pytest -n auto --dist loadfile

lint: setup
	$(BIN)/ruff check pipeline tests fixtures
	$(BIN)/ruff format --check pipeline tests fixtures
	$(BIN)/mypy
	$(BIN)/lint-imports

# The reference as pages in build/docs; begin at index.html.
docs: setup
	$(BIN)/python -m sphinx -q -W --keep-going -b html pipeline/docs build/docs

bench: setup
	$(BIN)/python -m tests.bench.bench
	$(BIN)/python tests/bench/clients.py
	$(BIN)/python tests/bench/match_sizes.py
	$(BIN)/python -m tests.tables
	$(BIN)/python -m tests.bench.browsing
	$(BIN)/python -m tests.bench.wide

# Every fixture against its expected figures.
fixtures: setup
	$(BIN)/halfinch check fixtures

# Writes every fixture sheet and its expectations anew from its maker.
fixtures-remake: setup
	$(BIN)/python -m fixtures.makers

# The JSON Schemas of the files of schemas/, from the dataclasses that read them.
schemas: setup
	$(BIN)/python -m tests.json_schemas

# Prints one garment's truth as many sheets: what comes back must be what went in.
press: setup
	$(BIN)/python -m tests.press

# Imports killed at any moment, and the power cut (needs strace): what they leave, counted. The same on a cluster.
trials: setup
	$(BIN)/python -m tests.trials
	$(BIN)/python -m tests.wide.trials

# Files made to harm, in full size: each is read, or refused in one sentence.
hostile: setup
	$(BIN)/python -m tests.trials.hostile

# Every fixture with bytes flipped, cut and spliced, 20,000 files: no crash, no hang, no figure that is printed nowhere.
mutate: setup
	$(BIN)/python -m tests.trials.mutate

# The readers under atheris (Linux), a minute each; what breaks one is left in build/fuzz.
fuzz: setup
	$(PIP) install --quiet --constraint pipeline/constraints.txt --editable '.[fuzz]'
	for reader in pdf html delimited json_text workbook containers; do \
	  $(BIN)/python -m tests.trials.fuzz $$reader -max_total_time=60 || exit 1; done

# The wheel in build/dist, and beside it what an installation brings: an SBOM (CycloneDX) and the licences.
wheel: setup
	rm -rf build/dist && mkdir -p build/dist
	$(PIP) install --quiet --constraint pipeline/constraints.txt 'cyclonedx-bom>=5'
	$(BIN)/python -m hatchling build -t wheel -d build/dist
	$(BIN)/python -m tests.supply pinned > build/dist/pinned.txt
	$(BIN)/python -m tests.supply licences > build/dist/licences.md
	$(BIN)/cyclonedx-py requirements build/dist/pinned.txt --pyproject pyproject.toml --mc-type application \
	  --output-reproducible --of JSON -o build/dist/halfinch.cdx.json

# Our code (bandit), licences, and faults known of what an installation brings (pip-audit; needs the network, 3 without).
audit-deps: setup
	$(PIP) install --quiet --constraint pipeline/constraints.txt --editable '.[supply]'
	$(BIN)/python -m tests.supply code
	mkdir -p build && $(BIN)/python -m tests.supply licences > build/licences.md
	$(BIN)/python -m tests.supply known

# Every paper of the demo as a page in build/papers, and as PDF and picture where Chromium is installed.
papers: setup
	$(BIN)/python -m tests.papers

clean:
	rm -rf build .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .hypothesis
