// Every option of every position as one HTML table. Cells are filled by textContent only.
// Names of parts come once, in a message of their own; what a click changes comes as short lists.
// Only rows that are shown are drawn, and of those only what moved.

const LABELS = { fix: "Fix", free: "Free", out: "Rule out", allow: "Allow", why: "Why not?" };
const COLUMNS = [
  ["part", "Part"], ["state", "State"], ["price", "Cheapest package with it"],
  ["difference", "Against now"], ["moves", "What it moves most, by itself"], ["", "Decide"],
];
const STATES = [
  ["", "every state"], ["available", "available"], ["over", "over budget"],
  ["aside", "set aside by a decision"], ["impossible", "impossible"],
];

function add(parent, name, text, attributes = {}) {
  const made = document.createElement(name);
  if (text !== undefined) made.textContent = text;
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent.appendChild(made);
  return made;
}

function choice(parent, label, options) {
  const line = add(parent, "label", label + " ");
  const select = add(line, "select", undefined, { "aria-label": label });
  for (const [value, text] of options) add(select, "option", text, { value });
  return select;
}

function build(root) {
  const ui = { rows: new Map(), groups: new Map(), sort: "", up: true, active: "" };
  ui.bar = add(root, "div", undefined, { class: "bar", role: "search" });
  const line = add(ui.bar, "label", "Search ");
  ui.search = add(line, "input", undefined, { type: "search", placeholder: "title or number" });
  ui.position = choice(ui.bar, "Position", [["", "every position"]]);
  ui.state = choice(ui.bar, "State", STATES);
  ui.count = add(ui.bar, "span", "", { role: "status", class: "count" });
  const scroll = add(root, "div", undefined,
    { class: "scroll", role: "region", "aria-label": "Options", tabindex: "0" });
  ui.table = add(scroll, "table");
  const head = add(add(ui.table, "thead"), "tr");
  ui.heads = COLUMNS.map(([key, text]) => {
    const cell = add(head, "th", undefined, { scope: "col" });
    if (!key || key === "moves") cell.textContent = text;
    else {
      const button = add(cell, "button", text, { class: "sort", type: "button" });
      button.onclick = () => {
        ui.up = ui.sort === key ? !ui.up : true;
        ui.sort = key;
        arrange(ui);
      };
    }
    return [key, cell];
  });
  ui.search.oninput = () => arrange(ui);
  ui.position.onchange = () => arrange(ui);
  ui.state.onchange = () => arrange(ui);
  ui.table.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-do]");
    if (button) ui.send("act", `${button.dataset.do}\n${button.dataset.key}`);
  });
  ui.table.addEventListener("keydown", (event) => keys(ui, event));
  ui.table.addEventListener("focusin", (event) => {
    const row = event.target.closest("tr[data-key]");
    if (row) activate(ui, row.dataset.key);
  });
  const named = () => {
    if (ui.root.isConnected) update(ui);
    else globalThis.removeEventListener("fitwright-options", named);
  };
  globalThis.addEventListener("fitwright-options", named);
  return ui;
}

function keys(ui, event) {
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  const row = event.target.closest("tr[data-key]");
  if (!step || !row) return;
  const shown = [...ui.table.querySelectorAll("tr[data-key]")].filter((one) => !one.hidden);
  const next = shown[shown.indexOf(row) + step];
  if (!next) return;
  event.preventDefault();
  const word = event.target.dataset.do;
  (next.querySelector(`button[data-do="${word}"]`) || next.querySelector("button[data-do]"))
    ?.focus();
}

// One row of buttons can be reached by Tab, the others by the arrow keys.
function activate(ui, key) {
  if (ui.active === key) return;
  for (const one of [ui.active, key]) {
    const row = ui.rows.get(one)?.element;
    row?.querySelectorAll("button").forEach((b) => (b.tabIndex = one === key ? 0 : -1));
  }
  ui.active = key;
}

// Words of a row: each cell's texts, as they are drawn.
function money(ui, minor) {
  const [code, places] = ui.said.currency;
  return `${(minor / 10 ** places).toFixed(places)} ${code}`;
}

function against(ui, row) {
  const { base } = ui.said;
  if (row.price === null || base === null) return "";
  const more = row.price - base;
  if (more === 0) return row.exact ? "the same" : "the same or more";
  const about = row.exact ? "" : "at least ";
  return `${about}${money(ui, Math.abs(more))} ${more > 0 ? "more" : "less"}`;
}

function texts(ui, row) {
  const about = row.exact ? "" : "at least ";
  return [
    row.words.includes("{}")
      ? row.words.replace("{}", about + money(ui, row.price - ui.said.budget)) : row.words,
    row.price === null ? "none" : about + money(ui, row.price),
    against(ui, row),
    row.moves,
  ];
}

function begin(row) {
  const { element } = row;
  row.part = add(element, "th", undefined, { scope: "row" });
  add(row.part, "span", row.title, { class: "title" });
  if (row.number) add(row.part, "span", row.number, { class: "number" });
  row.fact = add(row.part, "span", "", { class: "fact" });
  row.cells = ["", "right", "right", "moves"].map((name) => add(element, "td", "", { class: name }));
  row.decide = add(element, "td", undefined, { class: "decide" });
  row.drawn = { texts: ["", "", "", ""], marks: "", actions: "" };
}

// Writes what has changed in a row since it was drawn last.
function paint(ui, row) {
  if (!row.drawn) begin(row);
  const { drawn } = row;
  row.stale = false;
  if (row.element.className !== row.state) row.element.className = row.state;
  texts(ui, row).forEach((text, n) => {
    if (drawn.texts[n] !== text) row.cells[n].textContent = drawn.texts[n] = text;
  });
  if (row.fact.textContent !== row.found) row.fact.textContent = row.found;
  const marks = row.marks.join();
  if (drawn.marks !== marks) {
    drawn.marks = marks;
    row.part.querySelectorAll(".mark").forEach((one) => one.remove());
    for (const mark of row.marks) add(row.part, "span", mark, { class: "mark" });
  }
  const actions = row.actions.join();
  if (drawn.actions !== actions) {
    drawn.actions = actions;
    const held = ui.root.activeElement;
    const word = held && row.decide.contains(held) ? held.dataset.do : "";
    row.decide.replaceChildren();
    for (const what of row.actions) {
      const button = add(row.decide, "button", LABELS[what], {
        type: "button", "data-do": what, "data-key": row.key,
        "aria-label": `${LABELS[what]} ${row.title}, ${row.position}`,
      });
      button.tabIndex = ui.active === row.key ? 0 : -1;
    }
    // A button that was clicked is replaced by another: the focus stays in its row.
    if (word) row.decide.querySelector("button")?.focus({ preventScroll: true });
  }
}

// Makes the rows there are names for; those that were there before are kept as they are drawn.
function name(ui, positions) {
  const before = ui.position.value;
  ui.position.replaceChildren();
  add(ui.position, "option", "every position", { value: "" });
  for (const [position] of positions) add(ui.position, "option", position, { value: position });
  ui.position.value = positions.some(([position]) => position === before) ? before : "";
  const rows = ui.rows;
  ui.rows = new Map();
  for (const { body } of ui.groups.values()) body.remove();
  ui.groups.clear();
  for (const [position, options] of positions) {
    const body = add(ui.table, "tbody");
    const line = add(body, "tr", undefined, { class: "group" });
    const cell = add(line, "th", undefined, { colspan: String(COLUMNS.length), scope: "rowgroup" });
    add(cell, "span", position, { class: "name" });
    ui.groups.set(position, { body, line, words: add(cell, "span", "", { class: "now" }) });
    options.forEach(([part, title, number], place) => {
      const key = `${position}\n${part}`;
      let row = rows.get(key);
      if (!row || row.title !== title) {
        row = { key, position, title, number, element: document.createElement("tr") };
        row.element.dataset.key = key;
        row.text = `${title} ${number} ${position}`.toLowerCase();
      }
      row.place = place;
      body.appendChild(row.element);
      ui.rows.set(key, row);
    });
  }
}

function update(ui) {
  const { said } = ui;
  const positions = globalThis.fitwrightOptions?.get(said.version);
  if (!positions) return; // they are on their way, and say so when they are there
  if (ui.version !== said.version) {
    ui.version = said.version;
    name(ui, positions);
  }
  [...ui.groups.values()].forEach((group, n) => {
    if (group.words.textContent !== said.now[n]) group.words.textContent = said.now[n];
  });
  // Who looks something up is not kept from seeing it by a position chosen before.
  if (said.facts && !ui.looking) ui.position.value = "";
  ui.looking = Boolean(said.facts);
  let n = 0;
  for (const row of ui.rows.values()) {
    row.sought = !said.facts || n in said.facts;
    row.found = said.facts?.[n] ?? "";
    const [look, price, moves] = said.rows[n++];
    const [state, words, exact, marks, actions] = said.looks[look];
    Object.assign(row, { state, words, exact, marks, actions, price, stale: true });
    row.moves = said.moves[moves];
  }
  arrange(ui);
}

function order(ui) {
  const way = ui.up ? 1 : -1;
  const last = (value) => (value === null ? Infinity : value);
  const rank = (row) => STATES.findIndex(([state]) => state === row.state);
  const price = (a, b) => way * (last(a.price) - last(b.price)) || a.place - b.place;
  return {
    "": (a, b) => a.place - b.place,
    part: (a, b) => way * a.title.localeCompare(b.title),
    state: (a, b) => way * (rank(a) - rank(b)) || a.place - b.place,
    price,
    difference: price,
  }[ui.sort];
}

function arrange(ui) {
  const words = ui.search.value.toLowerCase().split(/\s+/).filter(Boolean);
  let shown = 0;
  const inGroup = new Map([...ui.groups.keys()].map((name) => [name, []]));
  for (const row of ui.rows.values()) inGroup.get(row.position).push(row);
  for (const [name, rows] of inGroup) {
    const group = ui.groups.get(name);
    const here = !ui.position.value || ui.position.value === name;
    let any = false;
    rows.sort(order(ui));
    let before = group.line;
    for (const row of rows) {
      if (before.nextSibling !== row.element) before.after(row.element);
      before = row.element;
      const fits = here && row.sought && (!ui.state.value || row.state === ui.state.value)
        && words.every((word) => row.text.includes(word));
      if (row.element.hidden === fits) row.element.hidden = !fits;
      // What is not shown is drawn when it is.
      if (fits && row.stale) paint(ui, row);
      any ||= fits;
      shown += fits ? 1 : 0;
    }
    group.body.hidden = !any;
  }
  ui.count.textContent = `${shown} of ${ui.rows.size} options`;
  for (const [key, cell] of ui.heads) {
    if (key && key !== "moves") {
      cell.setAttribute("aria-sort",
        ui.sort !== key ? "none" : ui.up ? "ascending" : "descending");
    }
  }
  const active = ui.rows.get(ui.active);
  if (!active || active.element.hidden || active.element.parentElement.hidden) {
    const first = [...ui.rows.values()].find((row) => !row.element.hidden);
    const inOrder = ui.table.querySelector("tbody:not([hidden]) tr[data-key]:not([hidden])");
    if (first && inOrder) activate(ui, inOrder.dataset.key);
  }
}

export default function ({ data, parentElement, setTriggerValue }) {
  // The table is remembered on the element it is in: the page may give another one.
  const root = parentElement.querySelector(".root");
  const ui = (root.options ??= build(root));
  ui.root = parentElement;
  ui.send = setTriggerValue;
  if (ui.said !== data) {
    ui.said = data;
    update(ui);
  }
}
