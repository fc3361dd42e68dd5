"""What the propagation of tolerances needs of an evaluation: the rule functions, bound to a job."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.option import Option
    from configurator.evaluation.tolerance_table import ToleranceTable
    from configurator.model.parts import Value
    from configurator.model.references import Reference
    from configurator.model.rules import Figure, Limit, Rule, Total


class RuleFunctions(Protocol):
    """The part of `evaluator.Evaluation` that one package is followed through with."""

    fitted: dict[str, Option]
    tolerances: ToleranceTable
    answers: dict[tuple[Any, ...], Any]

    def definition(self, name: str) -> Figure | Total:
        """Return the figure or total of a name."""

    def reach(self, rule: Rule) -> frozenset[str]:
        """Positions that a rule reads, directly or through figures."""

    def late(self, rule: Rule) -> bool:
        """Whether a rule is decided on whole packages only."""

    def attribute(self, option: Option, name: str) -> Value:
        """Return an attribute of an option."""

    def constant(self, reference: Reference) -> Value:
        """Return the value of a reference that does not depend on the package."""

    def figure(
        self, name: str, choice: Mapping[str, Option], seen: dict[str, Value] | None = None
    ) -> Value:
        """Work out a figure or total of a package, in SI, rounded."""

    def bound(self, rule: Limit | Total, bound: Any, choice: Mapping[str, Option]) -> Any:
        """Return a bound in SI."""

    def ask(self, rule: Rule, values: tuple[Value, ...]) -> Any:
        """Call a rule's function."""

    def call(self, rule: Rule, values: tuple[Value, ...]) -> Any:
        """Call a rule's function once per distinct input."""

    def term_values(self, rule: Total, option: Option) -> tuple[Value, ...]:
        """Return what a total's function reads of an option."""
