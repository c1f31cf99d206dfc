# Every target does its own set-up: Python 3.11 or newer and make are enough.
PYTHON ?= python3
BIN := .venv/bin
READY := .venv/.ready

.PHONY: demo test serve check kill bench fuzz skies truth careers compare docs lock clean

demo: $(READY)
	$(BIN)/lubberline demo out/demo

# On all cores, a file on one of them; sets in parameters need one order on each.
test: $(READY)
	PYTHONHASHSEED=0 $(BIN)/python -m pytest --numprocesses auto --dist loadfile

serve: $(READY)
	$(BIN)/lubberline init out/folder --if-missing
	$(BIN)/lubberline serve out/folder

check: $(READY)
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports

# Imports, migrations, copies and restorations of the store, killed at 280 random moments.
kill: $(READY)
	LUBBERLINE_KILLS=70 $(BIN)/python -m pytest tests/store -k kill_at_any

bench: $(READY)
	$(BIN)/python -m pytest benchmarks --benchmark-only --benchmark-enable

# Ten thousand damaged inputs for every reader of published forms; a few of them are in every test.
fuzz: $(READY)
	LUBBERLINE_FUZZ=10000 $(BIN)/python -m pytest tests/places tests/weather -k fuzz

# A thousand random skies, every way checked; and gaps to a far finer search.
skies: $(READY)
	LUBBERLINE_SKIES=1000 $(BIN)/python -m pytest -q tests/ways/test_ways_search.py -k random_sky
	$(BIN)/python benchmarks/ways_quality.py

# The search against general-purpose shortest paths on the same lattice.
compare: $(READY)
	$(BIN)/python benchmarks/ways_compared.py

# Careers of known truth, two thousand of each kind: false words, and slips found in twelve flights.
careers: $(READY)
	OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 $(BIN)/python benchmarks/careers.py

# Two hundred simulated flights, flown anew: nine truths in ten lie in the stated intervals.
truth: $(READY)
	LUBBERLINE_TRUTH=200 $(BIN)/python -m pytest -q tests/flown/truth/test_truth_noisy.py \
	  tests/flown/truth/test_truth_practice.py

# Reference pages and the README's excerpt come from the program; tests say when they are stale.
docs: $(READY)
	$(BIN)/python docs/generate.py

# The lock is exact versions with hashes and no addresses: it works behind any mirror.
lock: $(READY)
	$(BIN)/uv pip compile --quiet --universal --generate-hashes --no-annotate --no-header \
	  --python-version 3.11 --group dev pyproject.toml --output-file requirements.lock

$(READY): requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "Python 3.11 or newer is needed; name it: make PYTHON=python3.12 $(MAKECMDGOALS)"; exit 1; }
	@test -x $(BIN)/uv || { $(PYTHON) -m venv .venv && $(BIN)/python -m pip install --quiet uv; }
	$(BIN)/uv pip sync --quiet --python $(BIN)/python --require-hashes requirements.lock
	$(BIN)/uv pip install --quiet --python $(BIN)/python --no-deps --no-build-isolation --editable .
	@$(BIN)/python -c 'from lubberline.ways.ahead import compile_in_background as go; go()'
	@touch $(READY)

clean:
	rm -rf .venv out dist
