# Everything a fresh machine needs is set up by the first target that runs.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.ready

.PHONY: demo test check bench schema clean

demo: $(STAMP)
	$(BIN)/cliptag demo --out take-home

test: $(STAMP) $(VENV)/.test-ready
	$(BIN)/pytest -n 2 --dist loadgroup

check: $(STAMP) $(VENV)/.test-ready
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: $(STAMP) $(VENV)/.test-ready
	$(BIN)/python -m tests.bench

schema: $(STAMP)
	$(BIN)/python docs/write_schema.py

$(STAMP): pyproject.toml .ci/setup.sh
	PYTHON="$(PYTHON)" sh .ci/setup.sh "$(VENV)"
	touch $(STAMP)

$(VENV)/.test-ready: $(STAMP) .ci/setup_tests.sh
	sh .ci/setup_tests.sh "$(VENV)"
	touch $(VENV)/.test-ready

clean:
	rm -rf $(VENV) take-home .pytest_cache .mypy_cache .ruff_cache .hypothesis
