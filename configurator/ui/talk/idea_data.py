"""What a part would change: the cheapest package with it beside the cheapest one without it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.questions.idea_comparison import compare_idea
from configurator.ui.talk import held_packages
from configurator.ui.talk import talk_words as say
from configurator.wording import idea_words
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.idea_comparison import IdeaComparison
    from configurator.questions.session import Session
    from configurator.ui.visit import Visit

TASK = "idea"


def look(visit: Visit, position: str, part: str) -> None:
    """Begin to compare the package with a part at a position to the one without it."""
    close(visit)
    visit.idea = (position, part)
    visit.work(TASK, "Comparing", lambda talk, _: _compared(talk, position, part))


def close(visit: Visit) -> None:
    """Compare nothing more."""
    task = visit.tasks.pop(TASK, None)
    if task is not None:
        task.stop()
    visit.idea = None


def _compared(talk: Session, position: str, part: str) -> IdeaComparison:
    return talk.asked(
        _question(position, part),
        lambda prepared, _: compare_idea(prepared, {position: part}),
        for_goals=True,
    )


def _question(position: str, part: str) -> str:
    return f"idea {position}\n{part}"


def idea(visit: Visit, evaluation: Evaluation) -> dict[str, Any] | None:
    """Return what was asked and, once it is there, what the part would change."""
    if visit.idea is None:
        return None
    position, part = visit.idea
    task = visit.tasks.get(TASK)
    comparison: IdeaComparison | None = visit.talk.known(_question(position, part))
    data: dict[str, Any] = {
        "position": position,
        "part": part,
        "title": f"What would {say.chosen_words(evaluation, position, part)} change?",
        "state": "done" if comparison is not None else "none" if task is None else task.state,
        "trouble": "" if task is None or task.error is None else str(task.error),
    }
    if comparison is not None:
        data |= {
            "words": idea_words.conclusion(evaluation, comparison, say.exact_money),
            "unproven": "" if comparison.proven else idea_words.UNPROVEN,
            "tables": [
                [heading, rows]
                for heading, rows in idea_words.idea_rows(
                    evaluation, comparison, visit.system, say.exact_money
                ).items()
                if rows
            ],
            "also": [begun(line) for line in idea_words.also_lines(comparison)],
            "whole": comparison.without is not None and comparison.with_idea is not None,
        }
    return data


def hold(visit: Visit) -> None:
    """Compare both packages in full, beside others."""
    if visit.idea is None:
        return
    comparison: IdeaComparison | None = visit.talk.known(_question(*visit.idea))
    if comparison is None or comparison.without is None or comparison.with_idea is None:
        return
    if not held_packages.of_vehicle(visit):
        held_packages.hold(visit, "Cheapest package", comparison.without.choice)
    evaluation = visit.talk.evaluation
    name = f"With {say.chosen_words(evaluation, *visit.idea)}"
    held_packages.hold(visit, name, comparison.with_idea.choice)
