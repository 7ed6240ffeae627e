# Two commands do all the set-up: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
# One thread per process: on a shared machine two BLAS threads slow small problems down.
export OPENBLAS_NUM_THREADS ?= 1
export OMP_NUM_THREADS ?= 1

# The workbench's modules in the browser, bundled into the package.
BUNDLE := src/handbarrow/web/static/built/main.js
NODE_READY := frontend/node_modules/.ready

.PHONY: demo test lint bench clean modules browser
.DEFAULT_GOAL := demo

$(VENV)/.run-ready: pyproject.toml
	$(PYTHON) -m venv $(VENV) || { echo "Python cannot make an environment: install python3-venv (Debian: apt install python3-venv)"; exit 1; }
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	$(BIN)/python -m compileall -q src/handbarrow  # also where the environment forbids bytecode: half of the start-up
	touch $@

$(VENV)/.test-ready: $(VENV)/.run-ready
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[test]'
	touch $@

$(NODE_READY): frontend/package.json frontend/package-lock.json
	cd frontend && npm ci --ignore-scripts --no-audit --no-fund
	touch $@

$(BUNDLE): $(NODE_READY) frontend/build.mjs frontend/tsconfig.json $(shell find frontend/src -name '*.ts')
	cd frontend && npm run --silent build

# Without Node the program works all the same: only the picture that turns and the sizes that answer at once are missing.
modules:
	@if command -v npm >/dev/null; then $(MAKE) --no-print-directory $(BUNDLE); \
	else echo "Node.js (20 or later) with npm is not installed: the workbench will show plain pages, without the 3-D picture."; \
	echo "Install it (Debian: apt install nodejs npm) and run make again to have both."; fi

# The pages are tested in a real browser: Debian's Chromium. Whoever may install packages gets it now, others are told.
browser:
	@command -v npm >/dev/null || { echo "The tests need Node.js (20 or later) with npm (Debian: apt install nodejs npm)."; exit 1; }
	@command -v chromium >/dev/null || { [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null \
	&& apt-get update -qq && apt-get install -y -qq --no-install-recommends chromium >/dev/null; } \
	|| { echo "The tests need the browser Chromium (Debian: apt install chromium)."; exit 1; }

demo: $(VENV)/.run-ready modules
	@$(BIN)/python -m compileall -q src/handbarrow
	$(BIN)/handbarrow sheets examples/hut-trailer.yaml --workshop examples/ridge-workshop.yaml --units 8 --into out/hut-trailer
	@echo "To open the workbench in a browser: $(BIN)/handbarrow workbench"

lint: $(VENV)/.test-ready
	$(BIN)/ruff check src tests benchmarks tools
	$(BIN)/ruff format --check src tests benchmarks tools
	$(BIN)/mypy
	$(BIN)/lint-imports

test: browser lint $(BUNDLE)
	$(BIN)/pytest -n 2 --cov --cov-report=term

bench: $(VENV)/.test-ready
	@$(BIN)/python -m compileall -q src/handbarrow
	$(BIN)/python -m benchmarks

clean:
	rm -rf $(VENV) out frontend/node_modules src/handbarrow/web/static/built .pytest_cache .mypy_cache .ruff_cache .hypothesis
