"""What a workshop works out, as pure functions; one module per subject.

Every formula takes and returns SI numbers (metres, kilograms, newtons, radians, plain numbers for
ratios and shares) and works alike on a float, on a numpy array of them and on a pint quantity. The
unit of each parameter and of the result stands in square brackets in the docstring, where a test
reads it to prove the dimension of every result. No formula holds a conversion factor; a number
with a dimension is a `configurator.core.units.Constant` with its source.

A rule of thumb says "common practice, no source"; a value nobody looked up says "from memory".

Imports `configurator.core` only; plugins import it.

Begin with `constants` and any subject.
"""
