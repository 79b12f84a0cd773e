# What a newcomer types. Each target works from a fresh clone; see DEVELOPERS.md.
#   make demo        an invented shop, filled and served       make test     the whole suite
#   make demo-reset  forget the demo's data                    make check    lint, types, imports, migrations, docs
#   make setup       the Python environment and nothing else   make soak     kills and load, 20 minutes at most
#                                                              make bench    how long the common things take
.DEFAULT_GOAL := setup
.PHONY: setup demo demo-reset test soak check bench

PYTHON ?= python3
PY := .venv/bin/python
# Tools that import the settings must not make a data folder in the clone.
ASIDE = SHOPQC_HOME=$$(mktemp -d /tmp/shopqc-check-XXXXXX)

setup: .venv/run.stamp

demo: setup
	@.ci/system-packages demo
	@SHOPQC_HOME=$${SHOPQC_HOME:-$(CURDIR)/var/demo} exec $(PY) manage.py demo

demo-reset:
	rm -rf var/demo

test: .venv/test.stamp
	@.ci/system-packages test
	$(PY) -m tests.run

soak: .venv/test.stamp
	@.ci/system-packages test
	$(PY) -m tests.run soak

check: .venv/test.stamp
	.venv/bin/ruff check .
	.venv/bin/ruff format --check .
	$(ASIDE) .venv/bin/mypy
	$(ASIDE) .venv/bin/lint-imports --no-logo
	$(ASIDE) $(PY) -W error manage.py makemigrations --check --dry-run
	$(ASIDE) $(PY) -W error manage.py check
	$(ASIDE) $(PY) manage.py write_docs --check

bench: .venv/test.stamp
	$(PY) -m tests.bench

.venv/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
		|| { echo "Python 3.11 or newer is needed; name it with: make PYTHON=python3.12 ..."; exit 1; }
	@$(PYTHON) -m venv .venv \
		|| { rm -rf .venv; echo "On Debian the package python3-venv is missing: apt-get install python3-venv"; exit 1; }

.venv/run.stamp: requirements.txt | .venv/bin/python
	.ci/python-packages run
	@touch $@

.venv/test.stamp: requirements.txt pyproject.toml | .venv/bin/python
	.ci/python-packages test
	@touch .venv/run.stamp $@
