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

# A virtual environment without pip's help from the system: some systems ship python3 without ensurepip.
$(BIN)/python:
	$(PYTHON) -m venv $(VENV) 2>/dev/null || { \
	  rm -rf $(VENV) && $(PYTHON) -m pip install --quiet --target $(VENV)-tool virtualenv && \
	  PYTHONPATH=$(VENV)-tool $(PYTHON) -m virtualenv --quiet $(VENV); }

$(VENV)/ready: pyproject.toml $(BIN)/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	touch $@

$(VENV)/ready-test: $(VENV)/ready
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e ".[test,dev]"
	touch $@

clean:
	rm -rf $(VENV) $(VENV)-tool out dist
