# One list of recipes for people and for CI. `make demo` and `make test` set up all that they need.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
FACES := src/partingline/publish/assets/fonts/stamp
# Stories in a real browser: what fails on a busy machine is told once more before it counts.
STORIES := tests/workbench/browser
BUNDLE := src/partingline/workbench/static/stamp

.PHONY: demo test check-code prove docs system clean

demo: $(VENV)/.installed $(FACES) $(BUNDLE)
	$(BIN)/partingline demo demo-bench

test: system $(VENV)/.installed-dev $(FACES) $(BUNDLE) check-code
	$(BIN)/python -m pytest -m "not prove" --ignore $(STORIES)
	$(BIN)/python -m pytest -m "not prove" $(STORIES) || $(BIN)/python -m pytest -m "not prove" --last-failed $(STORIES)

check-code: $(VENV)/.installed-dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

prove: system $(VENV)/.installed-dev $(FACES) $(BUNDLE)
	$(BIN)/python tools/prove.py

docs: $(VENV)/.installed-dev
	$(BIN)/python tools/build_docs.py

system:
	sh tools/system_packages.sh

$(VENV)/.created:
	sh tools/system_packages.sh venv
	$(PYTHON) -m venv $(VENV)
	touch $@

$(VENV)/.installed: $(VENV)/.created pyproject.toml constraints.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[assets]'
	touch $@

$(VENV)/.installed-dev: $(VENV)/.installed
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[dev,assets,ocr]'
	touch $@

$(FACES): $(VENV)/.installed tools/build_assets.py package.json package-lock.json
	$(BIN)/python tools/build_assets.py
	touch $@

$(BUNDLE): $(FACES) tools/build_workbench.py $(shell find src/partingline/workbench/frontend -type f)
	$(BIN)/python tools/build_workbench.py
	mkdir -p $(@D) && touch $@

clean:
	rm -rf $(VENV) build dist node_modules demo-bench
