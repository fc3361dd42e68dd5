"""The search: exact answers over all packages.

``tables`` holds relations and how they are joined; ``plan`` chooses the order of joins and builds
a ``circuit`` of index arrays; where that gets too wide, ``loose`` makes one of bounds and
``conditioned`` one for each part of the position most hangs on; ``preparing`` has the model and its
circuit ready, ``semirings`` say what is computed over it (the cheapest price, a
number of packages); ``queries`` ask; ``referee`` holds every package against the original rule
functions by python-constraint; ``conflicts`` explain why nothing fits and what would have to give.
"""
