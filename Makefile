# Needs only make and Python 3.11 or newer. Each step is stamped: a second call does nothing until a lock changes.

SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.NOTPARALLEL:

VENV := .venv
BIN := $(VENV)/bin
CHROMIUM ?= /usr/bin/chromium
FONT := /usr/share/fonts/truetype/dejavu/DejaVuSans.ttf
SOURCES := explain tests
RELOCK ?=
SECONDS ?= 600
RUNS ?= 10000
SEED ?= 20261125
READERS ?= order shop answer trace trace-order typed-eye typed-text record table source flags
EXPLAIN_WITHOUT ?=
SIZES ?=
INSTALL := $(BIN)/python -m pip install --quiet --no-compile --no-deps --require-hashes

export CHROMIUM
export EXPLAIN_WITHOUT
export PIP_DISABLE_PIP_VERSION_CHECK := 1
export PIP_NO_INPUT := 1
export PIP_ROOT_USER_ACTION := ignore

.PHONY: help demo test lint types tests format check-format browser bench fuzz build lock clean

help:  ## say what can be made
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "make %-13s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

demo: $(VENV)/.installed  ## build the pages of the demo orders
	@$(BIN)/explain build
	@echo "Look in site_out/upload: open any index.html there in a browser. Nothing in site_out/private is for sending."

test: lint types tests  ## everything that must hold: lint, types and every test

lint: $(VENV)/.development  ## ruff's rules and formatting
	@$(BIN)/ruff check $(SOURCES)
	@$(BIN)/ruff format --check $(SOURCES)

types: $(VENV)/.development  ## mypy, strict
	@$(BIN)/mypy

tests: $(VENV)/.development browser  ## every test, doctests and the browsers included; TESTS=tests/optics runs some
	@$(BIN)/python -m pytest $(TESTS)

format: $(VENV)/.development  ## put the code into the house format
	@$(BIN)/ruff format $(SOURCES)
	@$(BIN)/ruff check --fix $(SOURCES)

check-format: $(VENV)/.development  ## only say what `make format` would change
	@$(BIN)/ruff format --check --diff $(SOURCES)

bench: $(VENV)/.development  ## time all that has an aim, beside baselines of the same run (long; SIZES="--pages 5 --again 100" for less)
	@$(BIN)/python -m tests.bench $(SIZES)

fuzz: $(VENV)/.development  ## fuzz each reader for SECONDS, spoil RUNS demo orders, draw 20 times the usual orders
	@mkdir -p build; for reader in $(READERS); do \
	  echo "Fuzzing $$reader for $(SECONDS) s"; \
	  $(BIN)/python -m tests.fuzz.guided $$reader $(SECONDS) 2>build/fuzz-$$reader.txt || { tail -60 build/fuzz-$$reader.txt; exit 1; }; \
	  grep number_of_executed build/fuzz-$$reader.txt; \
	done
	@$(BIN)/python -m tests.fuzz.mutate $(RUNS) $(SEED)
	@EXPLAIN_FUZZ=20 $(BIN)/python -m pytest -q tests/fuzz/test_whole.py

build: $(VENV)/.development  ## the wheel, into dist/
	@$(BIN)/python -m pip wheel --quiet --no-deps --no-build-isolation --wheel-dir dist .

clean:  ## remove everything that can be made again, a built site excepted
	rm -rf $(VENV) .venv-lock build dist .pytest_cache .mypy_cache .ruff_cache .import_linter_cache
	find explain tests -name __pycache__ -type d -prune -exec rm -rf {} +

# The environment. The newest Python that runs is taken, unless PYTHON=... says which.
$(VENV)/.created:
	@python="$(PYTHON)"; \
	if [ -z "$$python" ]; then \
	  for name in python3.14 python3.13 python3.12 python3.11 python3; do \
	    if "$$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then python="$$name"; break; fi; \
	  done; \
	fi; \
	if [ -z "$$python" ]; then echo "No Python 3.11 or newer found. Install one, or say where: make PYTHON=/path/to/python3" >&2; exit 1; fi; \
	if ! "$$python" -c 'import ensurepip, venv' >/dev/null 2>&1; then \
	  echo "$$python has no venv module. On Debian or Ubuntu: apt-get install python3-venv" >&2; exit 1; fi; \
	echo "Making $(VENV) with $$("$$python" --version)"; \
	"$$python" -m venv --clear $(VENV)
	@touch $@

# What the command needs, and the command itself, following this checkout. The locks are complete and carry hashes, so
# pip resolves nothing.
$(VENV)/.installed: $(VENV)/.created requirements.txt requirements-build.txt pyproject.toml
	@echo "Installing what the pages need"
	@$(INSTALL) --requirement requirements.txt --requirement requirements-build.txt
	@$(BIN)/python -m pip install --quiet --no-compile --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/.development: $(VENV)/.installed requirements-dev.txt requirements-tracing.txt
	@echo "Installing what the tests need"
	@$(INSTALL) --requirement requirements-dev.txt --requirement requirements-tracing.txt
	@touch $@

# The browser tests drive what the operating system brings: Chromium with a font to draw, Firefox, WebKit on a display in
# memory; the HTML checker needs Java. EXPLAIN_WITHOUT="firefox-esr java" leaves those programs and their tests out.
# Without Chromium nothing goes on; where another one cannot be had, this says so and its tests fail.
browser:  ## see that the browsers and Java are there, and install on Debian what is missing
	@missing=(); \
	need() { if [[ " $(EXPLAIN_WITHOUT) " != *" $$1 "* ]] && ! command -v "$$1" >/dev/null; then missing+=("$$2"); fi; }; \
	if [ ! -x "$(CHROMIUM)" ]; then missing+=(chromium); fi; \
	if [ ! -e "$(FONT)" ] && [ "$(CHROMIUM)" = /usr/bin/chromium ]; then missing+=(fonts-dejavu-core); fi; \
	need java default-jre-headless; need firefox-esr firefox-esr; need WebKitWebDriver webkit2gtk-driver; need Xvfb xvfb; \
	if [ "$${#missing[@]}" = 0 ]; then exit 0; fi; \
	if [ "$$(id -u)" = 0 ]; then root=(); else root=(sudo -n); fi; \
	if ! command -v apt-get >/dev/null || ! "$${root[@]}" true 2>/dev/null; then \
	  echo "Missing: $${missing[*]}. As root on Debian: apt-get install $${missing[*]}" >&2; \
	else \
	  echo "Installing $${missing[*]}"; \
	  log=$$(mktemp); \
	  "$${root[@]}" apt-get update >"$$log" 2>&1 || cat "$$log" >&2; \
	  for package in "$${missing[@]}"; do \
	    "$${root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install --yes --no-install-recommends "$$package" \
	      >"$$log" 2>&1 || { cat "$$log" >&2; echo "Could not install $$package" >&2; }; \
	  done; \
	  rm -f "$$log"; \
	fi; \
	if [ ! -x "$(CHROMIUM)" ]; then \
	  echo "Chromium is missing at $(CHROMIUM). Install it, then: make test CHROMIUM=/path/to/chromium" >&2; exit 1; fi

# The locks. RELOCK=--upgrade takes newer versions; without it only what pyproject.toml asks for changes.
LOCK := .venv-lock/bin/uv pip compile --quiet --universal --python-version 3.11 --fork-strategy fewest --generate-hashes \
	--no-emit-index-url --no-emit-find-links --custom-compile-command "make lock" $(RELOCK)

.venv-lock/.created: $(VENV)/.created
	@$(BIN)/python -m venv --clear .venv-lock
	@.venv-lock/bin/python -m pip install --quiet "uv>=0.9"
	@touch $@

lock: .venv-lock/.created  ## write the requirements files anew from pyproject.toml
	@$(LOCK) --output-file requirements.txt pyproject.toml
	@$(LOCK) --output-file requirements-build.txt --group build
	@$(LOCK) --output-file requirements-dev.txt --group dev --constraint requirements.txt
	@$(LOCK) --output-file requirements-tracing.txt --group tracing --no-deps
