// The head, which stays in sight: price, budget, goals met, what the last step changed; the ways.

const WAYS = [
  ["goals", "Goals"], ["parts", "Parts"], ["build", "Build"], ["compare", "Compare"],
];
const WORKSHOP = [
  ["documents", "Documents"], ["saved", "Saved jobs"], ["as-built", "As-built check"],
  ["vehicle", "Vehicle"], ["needs", "What else it needs"], ["fleet", "Fleet"], ["lists", "Lists and rules"], ["share", "Share and open"],
];
const SYSTEMS = [["", "list units"], ["metric", "metric"], ["imperial", "imperial"]];

function headOf(ui) {
  const { data } = ui;
  const { head } = data;
  const inWorkshop = data.part !== "talk";
  // What is entered for a new vehicle is part of the lists.
  const part = data.part === "vehicle-new" ? "lists" : data.part;
  return h("header.head", { "data-key": "head" },
    head && data.begun ? h("div.sums", {}, titleOf(head), priceOf(ui, head),
      budgetOf(head), lastOf(head), toolsOf(ui, head))
      : h("div.sums.bare", {}, h("h1", {}, "Fitwright")),
    h("nav.ways", { "aria-label": "Parts of the talk" },
      data.begun ? WAYS.map(([key, label]) => turn([label, badge(ui, key)], "view", { view: key }, {
        class: "way", "aria-current": !inWorkshop && ui.view === key ? "page" : null,
        "data-key": `way ${key}`,
      })) : turn("New job", "view", { view: "begin" }, {
        class: "way", "aria-current": inWorkshop ? null : "page", "data-key": "way begin",
      }),
      h("span.gap"),
      data.begun ? tap("New job", "new", {}, { class: "way", "data-key": "way new" }) : null,
      tap("Workshop", "part", { part: inWorkshop ? data.part : "documents" }, {
        class: "way", "aria-current": inWorkshop ? "page" : null, "data-key": "way workshop",
      })),
    inWorkshop ? h("nav.ways.second", { "aria-label": "Parts of the workshop" },
      WORKSHOP.map(([key, label]) => tap(label, "part", { part: key }, {
        class: "way", "aria-current": part === key ? "page" : null, "data-key": `shop ${key}`,
      }))) : null,
    inWorkshop ? h("div.shop", {}, choice("shop", "Part of the workshop", WORKSHOP, part, "part",
      { is: "part" }, { hidden: true })) : null);
}

function badge(ui, key) {
  const held = ui.data.compare?.names.length;
  return key === "compare" && held ? h("small", {}, ` (${held})`) : null;
}

function titleOf(head) {
  return h("div.what", {},
    h("h1", { title: head.title }, head.title),
    h("p", {}, `${head.vehicle} · ${head.alike}`));
}

// Where there is room for a line only, what the last step cost and the days stand in it.
function priceOf(ui, head) {
  return h("div.price", {},
    h("p.total", { class: head.none ? "total none" : "total" }, head.total),
    h("p.split", {}, head.split.join(" · ")),
    h("p.brief", {}, head.delta ? h("b", {}, head.delta) : null, head.delta && head.brief ? " · " : null,
      head.brief),
    head.sure ? h("p.warn", {}, head.sure, " ", longer()) : null);
}

function longer() {
  return tap("Look longer", "longer", {}, { class: "link" });
}

function budgetOf(head) {
  const { budget } = head;
  return h("div.money", {},
    h("p.between", {}, h("span", { class: head.allMet ? "ok" : "warn" }, head.met, sureOf(head)),
      h("span", { class: budget.over ? "no" : "" }, budget.words)),
    budget.share === null ? null : h("div.bar", { role: "img",
      "aria-label": `${Math.round(budget.share * 100)} % of the budget` },
    h("i", { style: `width:${budget.share * 100}%`, class: budget.over ? "over" : "" })));
}

// How sure the goals are, where anything behind them has a tolerance.
function sureOf({ how }) {
  if (!how) return null;
  return h("span", { class: how.state === "sure" ? "how" : "how calculated", title: how.words },
    h("span", { "aria-hidden": "true" }, ` ${how.mark} `), h("span.long", {}, how.words));
}

function lastOf(head) {
  return h("p.last", {}, head.delta ? h("b", {}, head.delta) : null, head.delta ? " " : null,
    head.last);
}

// What has no room in the head of a tablet or a phone, on top of what it is the head of.
function underHead(head) {
  if (!head) return null;
  return h("div.under", { "data-key": "under head" },
    h("p.whole-title", { "aria-hidden": "true" }, head.title),
    head.last ? lastOf(head) : null,
    head.sure ? h("p.warn", {}, head.sure, " ", longer()) : null);
}

function toolsOf(ui, head) {
  return h("div.tools", {},
    tap("↶", "undo", {}, { class: "icon", disabled: !head.undo,
      "aria-label": head.undo ? `Undo: ${head.undo}` : "Undo: nothing to undo",
      title: head.undo ? `Undo: ${head.undo}` : "Nothing to undo", "data-key": "undo" }),
    tap("↷", "redo", {}, { class: "icon", disabled: !head.redo,
      "aria-label": head.redo ? `Redo: ${head.redo}` : "Redo: nothing to redo",
      title: head.redo ? `Redo: ${head.redo}` : "Nothing to redo", "data-key": "redo" }),
    choice("units", "Units", SYSTEMS, head.system, "units", {}, { hidden: true }));
}

// What is being made anew, and what went wrong with the last thing that was done.
function newsOf(ui) {
  const { data } = ui;
  const { updating } = data;
  const going = updating ? updating.state === "running" : data.coming && ui.late;
  // Its place is there before the words: only then are they read out.
  const lines = [h("div", { role: "status", "data-key": "going on" }, going
    ? h("p.updating", {}, !updating ? "Updating prices, levels and the vehicle. What is grey is the last answer's."
      : data.head ? "Updating. What you see is the last answer." : `${updating.what} …`) : null)];
  if (updating && !going) {
    lines.push(h("div.refused", { role: "alert", "data-key": "failed" },
      h("p", {}, updating.state === "stopped" ? "Stopped before it was worked out."
        : "This job cannot be worked out:"),
      updating.error.filter(Boolean).map((line) => h("p", {}, line)),
      tap("Try again", "retry"), data.head?.undo ? tap("Undo the last step", "undo") : null));
  }
  if (data.refused.length) {
    lines.push(h("div.refused", { role: "alert", "data-key": "refused" },
      data.refused.map((line) => h("p", {}, line)),
      tap("Close", "dismiss", {}, { "aria-label": "Close the message" })));
  }
  return lines;
}
