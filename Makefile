# Two commands do all the set-up: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
# One thread per process: on a shared machine two BLAS threads slow small problems down.
export OPENBLAS_NUM_THREADS ?= 1
export OMP_NUM_THREADS ?= 1

.PHONY: demo test lint bench clean
.DEFAULT_GOAL := demo

$(VENV)/.run-ready: pyproject.toml
	$(PYTHON) -m venv $(VENV) || { echo "Python cannot make an environment: install python3-venv (Debian: apt install python3-venv)"; exit 1; }
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	$(BIN)/python -m compileall -q src/handbarrow  # also where the environment forbids bytecode: half of the start-up
	touch $@

$(VENV)/.test-ready: $(VENV)/.run-ready
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[test]'
	touch $@

demo: $(VENV)/.run-ready
	@$(BIN)/python -m compileall -q src/handbarrow
	$(BIN)/handbarrow sheets examples/hut-trailer.yaml --workshop examples/ridge-workshop.yaml --units 8 --into out/hut-trailer

lint: $(VENV)/.test-ready
	$(BIN)/ruff check src tests benchmarks tools
	$(BIN)/ruff format --check src tests benchmarks tools
	$(BIN)/mypy
	$(BIN)/lint-imports

test: lint
	$(BIN)/pytest -n 2 --cov --cov-report=term

bench: $(VENV)/.test-ready
	@$(BIN)/python -m compileall -q src/handbarrow
	$(BIN)/python -m benchmarks

clean:
	rm -rf $(VENV) out .pytest_cache .mypy_cache .ruff_cache .hypothesis
