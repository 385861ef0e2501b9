# Everything is done in .venv and var/; both can be deleted at any time, var/ holds the shop's record.
PYTHON ?= python3.11
VENV := .venv
BIN := $(VENV)/bin
ADDRESS ?= 127.0.0.1:8000

.PHONY: run test check bench requirements clean

$(VENV)/ready: requirements-dev.txt
	$(PYTHON) -m venv $(VENV) 2>/dev/null || python3 -m venv $(VENV)
	$(BIN)/pip install --quiet --require-hashes -r requirements-dev.txt
	touch $@

run: $(VENV)/ready
	$(BIN)/python manage.py migrate --verbosity 0
	$(BIN)/python manage.py collectstatic --no-input --verbosity 0
	$(BIN)/python manage.py demo
	@printf '\nThe shop is open at http://$(ADDRESS)/ (stop it with Ctrl-C)\n\n'
	@export TAILORSHOP_LOGS=quiet TAILORSHOP_PUBLIC_ADDRESS=http://$(ADDRESS); \
		$(BIN)/python manage.py work --with-parent $$$$ & \
		exec $(BIN)/gunicorn tailorshop.wsgi --config tailorshop/running/gunicorn.conf.py --bind $(ADDRESS)

test: $(VENV)/ready
	$(BIN)/pytest -n auto

check: $(VENV)/ready
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/bandit --quiet --recursive --configfile pyproject.toml tailorshop fittings patterns
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python manage.py makemigrations --check --dry-run
	DATABASE_URL=sqlite://:memory: DJANGO_SETTINGS_MODULE=tailorshop.settings $(BIN)/python -m tests.steps.lint
	TAILORSHOP_HTTPS=1 TAILORSHOP_SECRET_KEY=$$($(BIN)/python -c 'import secrets; print(secrets.token_urlsafe(64))') \
		$(BIN)/python manage.py check --deploy --fail-level WARNING

bench: $(VENV)/ready
	$(BIN)/python -m tests.bench

requirements: $(VENV)/ready
	$(BIN)/pip-compile --quiet --generate-hashes --allow-unsafe --no-emit-index-url --no-emit-find-links \
		--no-header --strip-extras --extra dev -o requirements-dev.txt pyproject.toml
	$(BIN)/pip-compile --quiet --generate-hashes --allow-unsafe --no-emit-index-url --no-emit-find-links \
		--no-header --strip-extras --constraint requirements-dev.txt -o requirements.txt pyproject.toml

clean:
	rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache .hypothesis
