# Two commands for everything: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: demo test check format clean

demo: $(VENV)/ready
	$(BIN)/coursecheck demo -o out/demo

test: $(VENV)/ready-test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/pytest

format: $(VENV)/ready-test
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

$(BIN)/python:
	$(PYTHON) tools/make_venv.py $(VENV)

$(VENV)/ready: pyproject.toml $(BIN)/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	touch $@

$(VENV)/ready-test: $(VENV)/ready
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e ".[test,dev]"
	touch $@

clean:
	rm -rf $(VENV) out dist
