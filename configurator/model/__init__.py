"""What plugins declare, shops have and jobs ask for: records, nothing that works anything out.

Imports `core` only; everything from here on may import it.

Begin with `parts` (families, positions, parts), `rules` (what plugins declare) and `jobs`.
"""
