"""``fitwright plugins``: which plugins are in use and what each declares."""

from collections import Counter
from typing import TYPE_CHECKING, Annotated, Any

import typer

from configurator.cli.open_case import load_plugins, settings_of
from configurator.cli.parameters import AsJson
from configurator.cli.program import app

if TYPE_CHECKING:
    from configurator.model.knowledge import Trade


def _names(trade: "Trade") -> dict[str, list[dict[str, str]]]:
    """Return what a job or a workshop may name: goals, conditions, practices."""
    figures = [
        _record(figure.name, figure.unit, "", figure.meaning) for figure in trade.figures.values()
    ]
    totals = [_record(total.name, total.unit, "", total.meaning) for total in trade.totals.values()]
    return {
        "goals": [*figures, *totals],
        "conditions": [
            _record(condition.name, condition.unit, condition.default, condition.meaning)
            for condition in trade.conditions.values()
        ],
        "practices": [
            _record(
                practice.name,
                practice.unit,
                f"{practice.default:g} {practice.unit}".rstrip(),
                practice.meaning,
            )
            | {"source": practice.source}
            for practice in trade.practices.values()
        ],
    }


def _record(name: str, unit: str, default: str, meaning: str) -> dict[str, str]:
    return {"name": name, "unit": unit, "default": default, "meaning": meaning}


@app.command("plugins", epilog="Example: fitwright plugins --trace")
def plugins(
    ctx: typer.Context,
    trace: Annotated[
        bool, typer.Option("--trace", help="Show each hook call and what was answered.")
    ] = False,
    names: Annotated[
        bool,
        typer.Option("--names", help="List goals, conditions and practices, with units."),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """List the plugins in use, what each declares, and what is not in use and why."""
    declared: dict[str, Counter[str]] = {}
    calls: list[tuple[str, str, list[str]]] = []

    def note(plugin: str, hook: str, answer: list[Any]) -> None:
        calls.append((plugin, hook, [_name(item) for item in answer]))
        kinds = declared.setdefault(plugin, Counter())
        kinds.update(type(item).__name__.lower() for item in answer)

    loaded = load_plugins(settings_of(ctx), note)
    trade = loaded.trade

    from configurator.cli.terminal import Terminal, write_json

    if as_json:
        write_json(
            {
                "plugins": [
                    {
                        "name": plugin.name,
                        "origin": plugin.origin,
                        "place": plugin.place,
                        "declares": dict(declared[plugin.name]),
                    }
                    for plugin in loaded.plugins
                ],
                **(
                    {
                        "trace": [
                            {"plugin": plugin, "hook": hook, "answer": names}
                            for plugin, hook, names in calls
                        ]
                    }
                    if trace
                    else {}
                ),
                **({"names": _names(trade)} if names else {}),
                "not_in_use": [
                    {"rule": rule.name, "plugin": rule.plugin, "why": why}
                    for rule, why in trade.not_in_use
                ],
                "failures": [
                    {"plugin": failure.plugin, "reason": failure.reason}
                    for failure in trade.failures
                ],
            }
        )
        return
    writer = Terminal()
    if names:
        for title, listed in _names(trade).items():
            writer.heading(f"{title.capitalize()}: {len(listed)}")
            writer.table(
                ("name", "unit", "default", "meaning"),
                [
                    (record["name"], record["unit"], record["default"], record["meaning"])
                    for record in listed
                ],
            )
        return
    if trace:
        writer.heading(f"{len(calls)} hook calls, in this order")
        writer.items(
            f"{plugin}: {hook}() answered {len(names)}{': ' if names else ''}{', '.join(names)}"
            for plugin, hook, names in calls
        )
    rows = [
        (
            plugin.name,
            plugin.origin,
            _counted(declared[plugin.name]),
            plugin.place if plugin.origin != "bundled" else "",
        )
        for plugin in loaded.plugins
    ]
    writer.heading(f"{len(rows)} plugins in use")
    writer.table(("plugin", "origin", "declares", "from"), rows)
    if trade.failures:
        writer.heading("Plugins not in use")
        writer.items(f"{failure.plugin}: {failure.reason}" for failure in trade.failures)
    if trade.not_in_use:
        writer.heading("Rules not in use")
        writer.items(f"{rule.name} ({rule.plugin}): {why}" for rule, why in trade.not_in_use)


def _name(declaration: Any) -> str:
    return str(getattr(declaration, "name", "") or getattr(declaration, "key", declaration))


def _counted(kinds: Counter[str]) -> str:
    from configurator.wording.quantities import counted

    return ", ".join(counted(number, kind) for kind, number in kinds.items())
