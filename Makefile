# Two commands matter: `make run` and `make test`. `make help` lists the rest.

PYTHON ?= $(shell command -v python3.11 || command -v python3.12 || command -v python3.13 || command -v python3)
BIN := .venv/bin
# The settings of a real workshop, to check them: a key nobody keeps, https, a proxy in front.
PRODUCTION = DEBUG=0 DEMO=0 PUBLIC_BASE_URL=https://repairs.example.org BEHIND_PROXY=1 \
	SECRET_KEY=$$($(BIN)/python -c 'import secrets; print(secrets.token_urlsafe(50))') VAR_DIR=$$(mktemp -d)

.PHONY: help run test test-fast lint words check-library bench chaos format lock install install-dev checker

help:
	@echo "make run         set up and run the demo workshop (DEMO=0: an empty one; PORT=..., VAR_DIR=...)"
	@echo "make test        the whole suite, on SQLite and on PostgreSQL"
	@echo "make test-fast   the same without browsers"
	@echo "make lint        format, style, types, templates, migrations, production settings, imports"
	@echo "make check-library  file and line of every mistake in the findings library, or its table"
	@echo "make words       bring the .po files up to date with the texts; MISSING=de lists what customers meet untranslated"
	@echo "make bench       measure; a table, and var/bench.json"
	@echo "make chaos       1,000 letters while workers, broker and mail server fail; LETTERS=..., SEED=..., TEST_DATABASE=postgres"
	@echo "make format      let the formatter do its work"
	@echo "make lock        renew requirements.txt and requirements-dev.txt from the .in files"

install:
	@$(or $(PYTHON),$(error Python 3.11 or newer is needed)) portal/bootstrap.py run

install-dev:
	@$(or $(PYTHON),$(error Python 3.11 or newer is needed)) portal/bootstrap.py dev

run: export DEMO ?= 1
run: install
	@$(BIN)/python manage.py run

test: install-dev checker
	$(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder
	TEST_DATABASE=postgres $(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder

test-fast: install-dev
	$(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder -m "not browser"
	TEST_DATABASE=postgres $(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder -m "not browser"

checker: # of HTML, for tests/outside/test_html.py, which says so where it is missing
	@command -v java >/dev/null && command -v npm >/dev/null && timeout 90 npm install --prefix var/tools --no-save --no-audit --no-fund --silent vnu-jar@26.9.27 || true

lint: install-dev
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	DEBUG=1 $(BIN)/mypy
	$(BIN)/djlint --lint --quiet templates
	$(BIN)/lint-imports
	$(BIN)/python -m jobs.library.check
	$(PRODUCTION) $(BIN)/python manage.py makemigrations --check --dry-run
	$(PRODUCTION) $(BIN)/python manage.py check --deploy --fail-level WARNING

check-library: install-dev
	@$(BIN)/python -m jobs.library.check

words: install
	@DEBUG=1 $(BIN)/python manage.py words $(if $(MISSING),--missing $(MISSING))

format: install-dev
	$(BIN)/ruff check --fix --quiet . ; $(BIN)/ruff format .

bench: install-dev
	@$(BIN)/python tests/benchmarks/bench.py

chaos: install-dev
	@$(BIN)/python -m tests.chaos $(if $(LETTERS),--letters $(LETTERS)) $(if $(SEED),--seed $(SEED))

# tokenizers and wordllama could fetch models from a hub; we read two files, so what speaks to the hub stays out.
HUB = huggingface-hub hf-xet httpx2 httpcore2 h11 anyio truststore fsspec filelock toml
COMPILE = $(BIN)/uv pip compile --quiet --generate-hashes --python-version 3.11 --no-emit-index-url --no-header --no-annotate \
	$(HUB:%=--no-emit-package %)

lock: install-dev
	$(COMPILE) --no-emit-package pyyaml --no-emit-package tqdm requirements.in --output-file requirements.txt
	$(COMPILE) --constraints requirements.txt requirements-dev.in --output-file requirements-dev.txt
