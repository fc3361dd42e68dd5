"""A supplier's list: uploaded, mapped in a table, compared with last month's, taken over."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import streamlit as st

from configurator.core import clock, money
from configurator.core.errors import FitwrightError
from configurator.files.part_columns import POSITION
from configurator.model.parts import attributes_of
from configurator.supplier_lists.headings import headings_at
from configurator.ui.html_tables import table
from configurator.ui.lists import list_in_hand, mapping_table
from configurator.ui.lists.list_in_hand import ListInHand
from configurator.ui.safe_text import plain
from configurator.ui.shared_cases import catalog_folders

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.core.errors import Problem
    from configurator.supplier_lists.mapping import Mapping
    from configurator.ui.visit import Visit

_KINDS = ["xlsx", "xls", "ods", "csv", "tsv", "txt"]
_HAND = "list in hand"
_NEW = "a new catalog"
_MOST = 12
_WORDS_BESIDE = 4  # of a supplier's words


def own_catalogs(visit: Visit) -> dict[str, Path]:
    """Return name → folder of the catalogs that are the shop's own, not those that come along."""
    homes = {home.resolve() for home in visit.shelves.folders}
    return {
        folder.name: folder
        for folder in catalog_folders(visit.shelves)
        if folder.resolve().parent in homes
    }


def show(visit: Visit) -> None:
    """Show the way of a supplier's list into a catalog."""
    st.header("Take over a supplier's list")
    st.write("A workbook or CSV as the supplier sends it. It is not changed.")
    given = st.file_uploader("Supplier's list", type=_KINDS, key="supplier list")
    families = visit.shelves.trade.families
    left, right = st.columns(2)
    family = left.selectbox(
        "What it lists", [*families], format_func=lambda key: families[key].title, key="list of"
    )
    own = own_catalogs(visit)
    name = right.selectbox("Into the catalog", [*own, _NEW], key="list into")
    if name == _NEW:
        name = right.text_input("Name of the new catalog", key="list catalog name").strip()
    if given is None or not family or not name:
        return
    folder = own.get(str(name)) or visit.shelves.folders[0] / Path(str(name)).name
    mark = (given.name, given.size, family, str(folder))
    sheets = st.session_state.get("list sheets", [])
    if st.session_state.get("list mark") != mark or st.button("Begin again", key="list anew"):
        try:
            with st.spinner("Reading the list"):
                data = given.getvalue()
                hand = list_in_hand.take_in_hand(
                    given.name,
                    data,
                    families[str(family)],
                    folder,
                    sheets,
                    visit.shelves.trade.former_names,
                )
        except FitwrightError as problem:
            _problems(getattr(problem, "problems", ()), "list refused")
            _ask_sheets()
            return
        st.session_state[_HAND], st.session_state["list mark"] = hand, mark
    hand = st.session_state[_HAND]
    try:
        _mapped(hand)
        _previewed(hand)
        _compared(hand)
    except FitwrightError as problem:
        _problems(getattr(problem, "problems", ()), "list problems")


def _ask_sheets() -> None:
    st.text_input(
        "Sheets to read as one list, divided by commas; * for all",
        key="list sheet names",
        on_change=lambda: st.session_state.update(
            {
                "list sheets": [
                    name.strip() for name in st.session_state["list sheet names"].split(",")
                ]
            }
        ),
    )


def _mapped(hand: ListInHand) -> None:
    """Let the table of columns be edited."""
    prices = hand.opened()
    headings = [heading.text for heading in headings_at(prices, hand.mapping.headings)]
    with st.expander("What was found out about the file"):
        st.markdown("\n".join(f"- {plain(note)}" for note in prices.notes) or "Nothing.")
    st.subheader("Which column is which")
    st.caption(
        "Tick *right* where a line is right; choose another column, unit or way of reading where "
        "it is not. An empty supplier's column is not taken."
    )
    st.button("All of these are right", key="list all right", on_click=hand.confirm_all)
    joined = [
        mapping_table.SEPARATOR.join(source.headings)
        for source in hand.begun.columns.values()
        if source.beside
    ]
    rows = mapping_table.table_rows(hand.begun, hand.family)
    shown = st.data_editor(
        rows,
        key=f"mapping {hand.path} {hand.version}",
        hide_index=True,
        height=36 * (len(rows) + 1),
        disabled=[mapping_table.OURS, mapping_table.WHY],
        column_config={
            mapping_table.THEIRS: st.column_config.SelectboxColumn(
                options=[mapping_table.NOT_TAKEN, *headings, *dict.fromkeys(joined)]
            ),
            mapping_table.READ: st.column_config.SelectboxColumn(options=mapping_table.readings()),
            mapping_table.SURE: st.column_config.CheckboxColumn(),
        },
    )
    hand.settle(_words(hand, mapping_table.mapping_of(hand.begun, _records(shown), headings)))


def _records(shown: Any) -> list[dict[str, Any]]:
    """Return the rows of an edited table, whatever Streamlit makes of a list."""
    return shown.to_dict("records") if hasattr(shown, "to_dict") else list(shown)


def _words(hand: ListInHand, mapping: Mapping) -> Mapping:
    """Let the supplier's words be matched to ours."""
    choices = {
        attribute.name: list(attribute.choices)
        for attribute in attributes_of(hand.family)
        if attribute.choices
    }
    places = [place.name for place in hand.family.positions]
    choices[POSITION] = [*places, *([" | ".join(places)] if len(places) > 1 else [])]
    for name, source in mapping.columns.items():
        if not source.words or name not in choices:
            continue
        st.caption(plain(f"The supplier's words for {name}, and which of ours each is"))
        options = ["", *choices[name]]
        words, columns = {}, st.columns(min(_WORDS_BESIDE, len(source.words)))
        for number, (word, ours) in enumerate(source.words.items()):
            words[word] = columns[number % len(columns)].selectbox(
                plain(word),
                options,
                index=options.index(ours) if ours in options else 0,
                format_func=lambda choice: choice or "not said yet",
                key=f"word {name} {word} {hand.path} {hand.version}",
            )
        mapping = mapping_table.with_words(mapping, name, words)
    return mapping


def _previewed(hand: ListInHand) -> None:
    st.subheader("How its first rows are read")
    if hand.lacking:
        st.warning(plain(f"Every new part needs them: {', '.join(hand.lacking)}."))
    rows, report = list_in_hand.preview(hand)
    _problems(report.errors, "preview problems")
    if rows:
        names = list(dict.fromkeys(name for row in rows for name in row.cells))
        table(names, [[row.cells.get(name, "") for name in names] for row in rows], key="preview")


def _compared(hand: ListInHand) -> None:
    doubts = [name for name, source in hand.mapping.columns.items() if not source.confirmed]
    if doubts:
        st.info(plain(f"Still to be ticked as right: {', '.join(doubts)}."))
        return
    without = st.checkbox(
        "Leave out rows with a problem; their parts stay as they are", key="list bad rows"
    )
    if st.button("Compare with the list as it stands", key="list compare"):
        with st.spinner("Comparing"):
            list_in_hand.compare(hand, without_bad_rows=without)
    made = hand.compared
    if made is None:
        return
    counts = made.differences.counts
    st.write(
        f"{made.tally.rows} rows: {counts['new']} new parts, {counts['withdrawn']} withdrawn, "
        f"{counts['priced']} with another price, {counts['changed']} otherwise changed, "
        f"{counts['same']} as before; {made.tally.bad} rows with a problem, {made.held} parts "
        "stay as they are because of it."
    )
    _problems(made.errors, "list errors")
    _problems(made.left_out, "list left out", "Rows left out")
    _problems(made.warnings, "list warnings", "Likely mistakes")
    if made.differences.priced:
        table(
            ("part number", "title", "old price", "new price"),
            [
                (number, title, money.amount(old, made.currency), money.amount(new, made.currency))
                for number, title, old, new in made.differences.priced[:_MOST]
            ],
            right=(2, 3),
            caption="Prices, largest change first",
            key="list prices",
        )
    for name, problem in made.asks.items():
        if st.checkbox(plain(f"{problem.what}: go on all the same"), key=f"accept {name}"):
            hand.accepted.add(name)
        else:
            hand.accepted.discard(name)
    if made.errors:
        return
    date = st.date_input("Date of these prices", value=clock.today(), key="list date")
    open_questions = set(made.asks) - hand.accepted
    if st.button("Take over", key="list take over", type="primary", disabled=bool(open_questions)):
        path = list_in_hand.take_over(hand, str(date), without_bad_rows=without)
        st.success(plain(f"Written: {path.name} of {path.parent.name}, {made.length} parts."))
        st.caption(
            "Read the lists again above to work with it; what a job needs of a long list is made "
            "ready in the background then."
        )


def _problems(problems: Sequence[Problem], key: str, caption: str = "What is wrong") -> None:
    if problems:
        table(
            ("where", "what", "what to do"),
            [(problem.where, problem.what, problem.do) for problem in problems[:50]],
            caption=f"{caption}: {len(problems)}",
            key=key,
        )
