"""How much the search may try, look at and keep: the numbers that were tuned by measuring.

They decide how long an answer takes and when it is given as a bound, never what is proven. A case
is prepared with `LIMITS` unless others are given, and every question about it goes by the same.
`docs/search-log.md` has what was measured.
"""

from __future__ import annotations

import os
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Limits:
    """What the search may take before it goes another way.

    Parameters
    ----------
    unrounded_rows
        Combinations up to which a figure that is not rounded is told value by value; beyond, rules
        on it are decided on whole packages.
    narrowed_rows
        Rows of all tables up to which a case is narrowed to the one job that is asked of it; larger
        ones may have been made exact part by part, and what is kept of that serves any job.
    marked_rows
        Rows of all tables that have a partner in all others, up to which the certainty of every
        limit is marked; beyond, that of limits which forbid nothing as calculated is looked up
        package by package.
    checked_values
        Distinct combinations of values that a rule reads, from which on it is looked up which of
        them are in no package, before it is worked out what tolerances do to them.
    marked_options
        Parts that no rule forbids by itself, up to which certainty is marked in the tables of a
        case; of more it is in those of what costs up to a ceiling (`sure_ceilings`).
    join_pairs
        Pairs of rows that one join may look at.
    circuit_rows
        Inner rows of a circuit that is joined at once, beyond which its tables are too wide.
    unsampled_rows
        Inner rows up to which an order of elimination is kept that was found without a sample.
    perturbed_from_rows
        Inner rows of a circuit from which on orders from perturbed estimates are tried.
    apart_pairs
        Pairs of rows that a join may look at before variables are taken apart instead. Twice as
        many give bounds that are little higher, which each take longer.
    conditioned_rows
        Inner rows of circuits joined part by part.
    ceiling_rows
        Inner rows of a circuit of what costs up to a ceiling, where tables are too wide; below
        zero there is none.
    hopeless_packages
        Estimated packages of the positions that share rules with most others, beyond which tables
        that are large are not joined at once: 9e8 took 5 s and 990 MB, 2e9 took 8 s and 2.3 GB,
        4e10 and 1e11 took more than 60 million rows in every order that was tried.
    hopeless_short
        The same of tables that are not large: those of a vehicle of which little is known, so that
        few rules forbid anything. 3e7 took 5 million inner rows, 1e9 took 9 million and 1.4 GB, or
        were refused after 28 s and 2.4 GB.
    hopeless
        Times the rows that may be kept, with which joining part by part is not begun: so many are
        expected to be made, and half of them are in no package.
    orders_tried
        Orders of elimination tried each time that a case joins.
    order_rows
        Inner rows beyond which an order of elimination is none.
    remembered_values
        Values of columns that may be remembered of joins while orders are tried.
    shifting_rounds
        Rounds of cost shifting at most.
    kept_from_rows
        Inner rows from which on a circuit is kept on disk: smaller ones are made faster than read.
    answer_bytes
        What rules answered for a vehicle, kept on disk, those worked out last first [bytes]; a job
        of 700 parts has a million.
    propagated_bytes
        What tolerances do to values for a vehicle, kept on disk alike [bytes].
    forced_bytes
        What choices force on a vehicle, kept on disk alike [bytes]; one takes some 10,000.
    compiled_from_rows, threaded_from_rows
        Inner rows of a circuit from which on compiling its passes pays, and of a node from which on
        threads do.
    threads
        Threads of a compiled pass.
    cases_before_solver, solver_calls, solver_seconds
        Cases of branch and bound after which, with nothing found, the general solver is asked, how
        often, and how long in all [s].
    multiplier_passes
        Passes that look for multipliers of limited sums before labels are made.
    label_rows
        Inner rows of a circuit beyond which labels are not made for fronts.
    alike_share
        Share of the span of all that is listed, up to which two values count as alike.
    listed_packages
        Packages that are looked at one by one where sums or a budget call for it.
    boxes
        Boxes of options priced in all for what no limit on a sum decides.
    packages_before_boxes
        Packages of each option that are looked at before.
    limits_around
        Limits that are put around packages of a box before it is halved.
    anew_from_share
        As a share of its options, what must be left of a box at most for its limits to be made
        anew.
    box_packages
        Packages that are looked at in a box of options before it is halved.
    counting_effort
        About how long counting by a sum, or by the price, may take [ns].
    click_packages
        Packages looked at before a click is answered with the best found.
    behind_boxes
        Boxes of options priced behind an answer, while others may wait for their turn.
    explained_rows
        Inner rows made in all for the numbers in one explanation, beyond which it goes without.
    """

    unrounded_rows: int = 250_000
    narrowed_rows: int = 400_000
    marked_rows: int = 5_000
    checked_values: int = 1_000
    marked_options: int = 1_200
    join_pairs: int = 60_000_000
    circuit_rows: int = 12_000_000
    unsampled_rows: int = 400_000
    perturbed_from_rows: int = 20_000
    apart_pairs: int = 200_000
    conditioned_rows: int = 800_000_000
    ceiling_rows: int = 1_500_000
    hopeless_packages: float = 5e8
    hopeless_short: float = 5e8
    hopeless: float = 2.5
    orders_tried: int = 600
    order_rows: int = 20_000_000
    remembered_values: int = 50_000_000
    shifting_rounds: int = 80
    kept_from_rows: int = 1_000
    answer_bytes: int = 16_000_000
    propagated_bytes: int = 64_000_000
    forced_bytes: int = 8_000_000
    compiled_from_rows: int = 10_000_000
    threaded_from_rows: int = 50_000
    threads: int = min(4, os.cpu_count() or 1)
    cases_before_solver: int = 60
    solver_calls: int = 20
    solver_seconds: float = 20.0
    multiplier_passes: int = 3
    label_rows: int = 3_000_000
    alike_share: float = 0.05
    listed_packages: int = 300
    boxes: int = 60
    packages_before_boxes: int = 8
    limits_around: int = 2
    anew_from_share: float = 0.8
    box_packages: int = 100
    counting_effort: int = 3_000_000_000
    click_packages: int = 300
    behind_boxes: int = 16
    explained_rows: int = 1_000_000


LIMITS = Limits()
