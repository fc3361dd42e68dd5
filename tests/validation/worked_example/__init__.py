"""The figures of one package by hand, by subject: figure, unit, arithmetic, result.

How to read a line: see `tests.validation.test_worked_example`.
"""
