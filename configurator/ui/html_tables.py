"""Tables as plain HTML whose cells are text, whatever a catalog writes in them.

Streamlit's own data frames are a canvas that screen readers and the keyboard see little of, and
its plain tables read their cells as markup. Cells are filled by ``textContent``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import streamlit as st

if TYPE_CHECKING:
    from collections.abc import Sequence

STYLE = """
:host, .root { font-family: var(--st-font); color: var(--st-text-color); font-size: 0.9rem; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; }
caption { text-align: left; font-weight: 600; padding: 0 0 0.35rem; }
th, td { text-align: left; vertical-align: top; padding: 0.3rem 0.6rem 0.3rem 0;
  border-bottom: 1px solid var(--st-border-color); overflow-wrap: break-word; }
th { font-weight: 600; }
thead th { border-bottom: 2px solid var(--st-text-color); }
.right { text-align: right; padding-right: 1.2rem; white-space: nowrap;
  font-variant-numeric: tabular-nums; }
.root { container-type: inline-size; }
/* On a phone a row of many cells is a card: nothing is cut off at the edge. */
@container (max-width: 560px) {
  table.many, table.many caption, table.many tbody, table.many tr, table.many th[role=rowheader],
  table.many td { display: block; }
  table.many thead { position: absolute; clip-path: inset(50%); }
  table.many tr { border-bottom: 2px solid var(--st-border-color); padding: 0.4rem 0; }
  table.many tbody th, table.many td { border: 0; padding: 0.1rem 0; text-align: left;
    white-space: normal; }
  table.many td:empty { display: none; }
  table.many [data-label]:not([data-label=""])::before { content: attr(data-label) ": ";
    font-weight: 400; opacity: 0.8; }
}
"""

_SCRIPT = """
export default function ({ data, parentElement }) {
  const text = JSON.stringify(data);
  // What is shown is remembered on the element it is in: the page may give another one.
  const root = parentElement.querySelector(".root");
  if (root.shown === text) return;
  root.shown = text;
  const table = document.createElement("table");
  if (data.columns.length > 3) table.className = "many";
  // Stated, since a table that is shown as cards would be none to who hears it.
  table.setAttribute("role", "table");
  const add = (parent, name, text) => {
    const made = document.createElement(name);
    if (text !== undefined) made.textContent = text;
    parent.appendChild(made);
    return made;
  };
  if (data.caption) add(table, "caption", data.caption);
  const right = new Set(data.right);
  const group = (name) => {
    const made = add(table, name);
    made.setAttribute("role", "rowgroup");
    return made;
  };
  const head = add(group("thead"), "tr");
  head.setAttribute("role", "row");
  data.columns.forEach((name, n) => {
    const cell = add(head, "th", name);
    cell.scope = "col";
    cell.setAttribute("role", "columnheader");
    if (right.has(n)) cell.className = "right";
  });
  const body = group("tbody");
  for (const row of data.rows) {
    const line = add(body, "tr");
    line.setAttribute("role", "row");
    row.forEach((text, n) => {
      const cell = add(line, n === 0 ? "th" : "td", text);
      if (n === 0) cell.scope = "row";
      cell.setAttribute("role", n === 0 ? "rowheader" : "cell");
      cell.dataset.label = data.columns[n];
      if (right.has(n)) cell.className = "right";
    });
  }
  const scroll = document.createElement("div");
  scroll.className = "scroll";
  scroll.tabIndex = 0;
  scroll.setAttribute("role", "region");
  scroll.setAttribute("aria-label", data.caption || data.columns.join(", "));
  scroll.appendChild(table);
  root.replaceChildren(scroll);
}
"""

_table = st.components.v2.component(
    "fitwright_table", html="<div class='root'></div>", css=STYLE, js=_SCRIPT
)


def table(
    columns: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    caption: str = "",
    right: Sequence[int] = (),
    key: str,
) -> None:
    """Show a table.

    Parameters
    ----------
    columns, rows
        Headings and cells, as plain text; the first cell of a row names it.
    caption
        Heading of the table.
    right
        Numbers of the columns of numbers.
    key
        Of the table on the page.
    """
    data: dict[str, Any] = {
        "columns": list(columns),
        "rows": [list(row) for row in rows],
        "caption": caption,
        "right": list(right),
    }
    _table(key=key, data=data)
