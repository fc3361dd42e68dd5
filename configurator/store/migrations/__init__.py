"""Steps that bring a database up to date; alembic runs them in order."""
