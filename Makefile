# Commands of the project. `make demo` and `make test` need only python3 (3.11 or newer), make and git.

PYTHON ?= python3
UV ?= uv
VENV := .venv
RUN := $(VENV)/bin/python
INSTALL := $(RUN) -m pip install --quiet --disable-pip-version-check --no-input
LOCK := $(UV) pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-annotate

# An environment that was made in another folder, or for a Python that is gone, is made anew.
ifneq ($(shell cat $(VENV)/made-in 2>/dev/null; $(RUN) -c 'import tailboard' 2>/dev/null && echo works),$(CURDIR) works)
$(shell rm -f $(VENV)/run.stamp $(VENV)/test.stamp)
endif

.PHONY: demo test lint format types bench docs lock clean

demo: $(VENV)/run.stamp ## a show is read and proven on the terminal
	$(RUN) -m tailboard.cli.main demo

test: $(VENV)/test.stamp ## lint, types and every test that this machine can run
	@sh tools/debian_packages.sh
	@$(MAKE) --no-print-directory lint types
	$(RUN) -m pytest -n 2 --timeout 120

lint: $(VENV)/test.stamp
	$(RUN) -m ruff check .
	$(RUN) -m ruff format --check .

format: $(VENV)/test.stamp
	$(RUN) -m ruff check --fix .
	$(RUN) -m ruff format .

types: $(VENV)/test.stamp
	$(RUN) -m mypy

bench: $(VENV)/test.stamp
	$(RUN) bench/run.py

docs: $(VENV)/test.stamp ## the documents that are made from the code
	$(RUN) tools/make_docs.py

lock: ## new versions of everything, with their hashes; needs uv
	$(LOCK) --upgrade pyproject.toml requirements/build.in -o requirements/run.txt
	$(LOCK) --upgrade pyproject.toml requirements/build.in requirements/test.in -c requirements/run.txt -o requirements/test.txt

clean: ## everything that was made here
	rm -rf $(VENV) dist build bench/out .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find . -name __pycache__ -not -path './.git/*' -prune -exec rm -rf {} +

$(VENV)/run.stamp: requirements/run.txt pyproject.toml tools/make_venv.sh
	@sh tools/make_venv.sh $(VENV) "$(PYTHON)"
	$(INSTALL) --require-hashes -r requirements/run.txt
	$(INSTALL) --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/test.stamp: requirements/test.txt $(VENV)/run.stamp
	$(INSTALL) --require-hashes -r requirements/test.txt
	@touch $@
