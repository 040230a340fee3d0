# One habit, one command. `make` alone lists them.
SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := habits
.DELETE_ON_ERROR:

export UV_PYTHON_DOWNLOADS := never
BIN := .venv/bin
READY := .venv/ready

# Bytes that decide what the environment holds: when one changes, set-up runs again.
PINS := requirements-uv.txt requirements-dev.txt pyproject.toml tools/setup.sh

.PHONY: habits setup demo test soak mutants lint bench docs screens wheel requirements clean

habits: ## this list
	@echo 'make HABIT, with HABIT one of'
	@awk -F ':.*## ' '/^[a-z]+:.*## / {printf "  %-13s %s\n", $$1, $$2}' Makefile

setup: $(READY) ## make the environment in .venv (seconds; nothing outside the folder is touched)
	@:

$(READY): $(PINS)
	@tools/setup.sh
	@touch $@

demo: $(READY) ## study the example house and leave its papers in airledger-demo
	@$(BIN)/airledger demo

test: $(READY) ## the checks of every change (minutes)
	@tools/debian-packages.sh poppler-utils postgresql chromium
	@$(BIN)/pytest -n 2

soak: $(READY) ## the long checks (an hour)
	@tools/debian-packages.sh poppler-utils postgresql chromium
	@AIRLEDGER_HYPOTHESIS=soak $(BIN)/pytest -n 2 -m soak

MODULE := physics/opening
GUARDS := tests/unit/physics/test_opening.py tests/unit/physics/test_arrays.py tests/published/test_cases.py
mutants: $(READY) ## alter one module's code and ask its tests: make mutants MODULE=physics/opening GUARDS=tests/unit/physics
	@tools/mutants.sh $(MODULE) $(GUARDS)

lint: $(READY) ## style, types, which way imports point, dependencies
	@tools/lint.sh

bench: $(READY) ## the solver's speed as ratios, with the share that converged
	@$(BIN)/python -m benchmarks

docs: $(READY) ## the manual as pages, in docs/_build; its pictures and screens are made again
	@tools/debian-packages.sh poppler-utils
	@$(BIN)/python docs/list_sources.py
	@$(BIN)/python docs/draw_pictures.py
	@$(BIN)/sphinx-build -q -W --keep-going -b html docs docs/_build/html
	@echo 'open docs/_build/html/index.html'

screens: $(READY) ## photograph every page of the browser for the manual, at desk and phone width
	@tools/debian-packages.sh chromium
	@$(BIN)/python docs/draw_screens.py

wheel: $(READY) ## build wheel and source archive, install each in an empty environment, run it
	@tools/wheel.sh

requirements: $(READY) ## pin every dependency again, with hashes
	@tools/pin.sh

clean: ## remove what the habits made, the environment too
	@rm -rf .venv dist build docs/_build .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .hypothesis .benchmarks
