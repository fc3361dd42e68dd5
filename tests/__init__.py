"""A package, so that no other `tests` in an environment is taken for this one."""
