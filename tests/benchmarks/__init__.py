"""Ours beside general solvers, on the same tables, in one run: ``python -m tests.benchmarks``.

``wide`` and ``grown`` make cases, ``instances`` takes their tables apart so that every solver
sees the same ones, ``ours`` and ``others`` solve and measure, ``harness`` keeps each in a process
of its own.
"""
