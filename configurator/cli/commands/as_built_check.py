"""``fitwright as-built``: promised against measured, and the likely cause."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile, LocaleName, PackageNumber, Paper
from configurator.cli.program import app
from configurator.core import clock


@app.command("as-built", epilog='Example: fitwright as-built JOB.toml --is "front track = 1612 mm"')
def measured(
    ctx: typer.Context,
    job: JobFile,
    package: PackageNumber = 1,
    values: Annotated[
        Path | None,
        typer.Option(metavar="FILE.toml", help="What was measured, under [measured]."),
    ] = None,
    is_: Annotated[
        list[str] | None,
        typer.Option(
            "--is",
            metavar="FIGURE=VALUE",
            help='Such as "front track = 1612 mm" or "engine speed at 80 km/h = 1810 rpm". May be '
            "given several times.",
        ),
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option(
            metavar="VEHICLE.toml",
            help="Write the vehicle as it was built, corrected, for the next job; never over a "
            "file that is there.",
        ),
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the sheet of promised against measured: .pdf, .xlsx or .md; needs --by.",
        ),
    ] = None,
    by: Annotated[str, typer.Option(metavar="NAME", help="Who measured; for the sheet.")] = "",
    locale: LocaleName = "en_GB",
    paper: Paper = None,
    as_json: AsJson = False,
) -> None:
    """Compare what was measured on the finished vehicle with what was promised."""
    from configurator.cli.refusing import bad

    if into is not None and into.exists():
        raise bad(str(into), "the file is there already", "name a new one; nothing is written over")
    if into is not None and not into.absolute().parent.is_dir():
        raise bad(str(into), "its folder is not there", "make the folder or name another")
    if sheet is not None and not by.strip():
        raise bad(str(sheet), "nobody is named who measured", 'add --by "NAME"')
    if sheet is not None:
        from configurator.documents.formats import check_names

        check_names([sheet])
    from configurator.documents.number_style import locale_of

    written_for = locale_of(locale)
    settings = settings_of(ctx)
    prepared = prepare(settings, job, alone=True)

    from configurator.as_built import compare, explain
    from configurator.as_built.ambiguity import alike
    from configurator.as_built.as_built_files import (
        built_vehicle,
        read_values,
        remarks_of,
        stands_otherwise,
        vehicle_text,
    )
    from configurator.as_built.as_built_words import (
        alike_lines,
        findings_record,
        left_lines,
        show_findings,
        together_lines,
    )
    from configurator.as_built.closer_tolerances import confirmed
    from configurator.as_built.entry import refuse_slips
    from configurator.as_built.joint_causes import together
    from configurator.cli.choosing import chosen_package
    from configurator.cli.terminal import Terminal, write_json

    evaluation = prepared.evaluation
    chosen = chosen_package(prepared, package, settings, as_json=as_json)
    reading = read_values(values, is_ or (), evaluation, chosen.choice)
    refuse_slips(reading, evaluation, chosen.choice, settings.units)
    findings = explain(evaluation, chosen.choice, compare(evaluation, chosen.choice, reading))
    twos = together(findings, evaluation, chosen.choice)
    best = findings.best[0] if findings.verdict == "one" else twos[0] if len(twos) == 1 else None
    built = built_vehicle(evaluation, chosen.choice, findings.compared, best)
    otherwise = stands_otherwise(evaluation, chosen.choice, built, findings.compared, best)
    remarks = remarks_of(evaluation, otherwise, best)
    pairs = alike(findings, evaluation, chosen.choice)
    known = confirmed(evaluation, chosen.choice, findings.compared)
    if sheet is not None:
        from configurator.as_built.carry_over import carried
        from configurator.documents.as_built_sheet import About, measured_sheet
        from configurator.documents.formats import write
        from configurator.documents.layout import on_paper

        number = f"Package {package} of those that meet the job, cheapest first"
        about = About(number, clock.today(), by.strip())
        laid_out = measured_sheet(
            evaluation,
            findings,
            about,
            locale=written_for,
            system=settings.units,
            pairs=pairs,
            twos=twos,
            changes=carried(
                evaluation.case.vehicle,
                built,
                evaluation.trade,
                findings.compared,
                built_vehicle(evaluation, chosen.choice, findings.compared),
            ),
            remarks=remarks[-len(otherwise) :] if otherwise else (),
        )
        write(on_paper(laid_out, paper), sheet)
    if into is not None:
        from configurator.core.atomic_files import write_atomically

        write_atomically(into, vehicle_text(built, evaluation.trade, remarks), overwrite=False)
    if as_json:
        record = findings_record(findings, settings.units)
        write_json(
            {
                **record,
                "written": into and str(into),
                "sheet": sheet and str(sheet),
                "remarks": remarks if into is not None else [],
                "confirmed": {item.name: item.within for item in known},
            }
        )
        return
    writer = Terminal()
    writer.heading(f"{evaluation.case.job.title}: promised and measured")
    headings, rows, verdict, items = show_findings(findings, settings.units)
    writer.table(headings, rows, right={1, 2, 3, 4, 5})
    writer.heading("Likely cause")
    writer.line(verdict)
    writer.items(items)
    cannot = alike_lines(findings, pairs, settings.units)
    if cannot:
        writer.heading("What these figures cannot tell")
        writer.items(cannot)
    left = [*left_lines(findings, settings.units), *together_lines(twos, settings.units)]
    if left:
        writer.heading("Not accounted for")
        writer.items(left)
    if known:
        writer.heading("Confirmed values of the list")
        writer.items(f'"{item.name}" = "{item.within}"' for item in known)
        writer.line("Under [tolerances] in workshop.toml they make the next jobs surer.")
    if sheet is not None:
        writer.heading(f"The sheet is in {sheet}")
    if into is not None:
        writer.heading(f"The vehicle as it was built is in {into}")
        writer.items(remarks[1:])
