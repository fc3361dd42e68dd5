// Build, below the package: in stages, ready by a day, and as last time.

function plansOf(ui) {
  const { plans } = ui.data;
  if (!plans) return null;
  return [stagesOf(ui, plans.stages),
    h("div.columns", { "data-key": "plans" }, readyOf(ui, plans.ready), againOf(ui, plans.again))];
}

// How work stands: going on beside the page, or what became of it where there is no answer.
function standing(plan, doing) {
  if (plan.state === "running") return h("p", { role: "status" }, doing);
  return plan.trouble ? h("p", { role: "alert" }, begun(plan.trouble)) : null;
}

function stagesOf(ui, stages) {
  const { answer } = stages;
  return h("section.card", { "data-key": "stages" },
    h("h2", {}, "In stages", h("small", {}, "part of it now, the rest later; it drives in between")),
    h("div.row", {},
      field(ui, "stage budgets", "Budget of each stage, for one vehicle", stages.budgets, "plan",
        { name: "stage budgets" }, { placeholder: "6,000; 6,500" }),
      choice("stage packages", "Package to split", stages.counts, stages.packages, "plan",
        { name: "stage packages" }),
      tap("Split into stages", "stages", { field: "stage budgets" }, { class: "main" })),
    standing(stages, "The vehicles in between are being looked at."),
    answer ? h("div.stack.planned", { "data-key": "stages answer" },
      h("p", {}, h("b", {}, answer.split ? answer.asked : `${answer.asked}: not possible`)),
      answer.which.map((line) => h("p", {}, line)),
      h("div.cards", {}, answer.cards.map((card) => h("div.card",
        { "data-key": `stage ${card.title}` },
        h("h3", {}, card.title, ": ", card.price),
        h("ul", {}, card.parts.map(([position, title, price]) => h("li", {},
          `${position}: ${title}, ${price}`))),
        card.lines.map((line) => h("p", {}, line)),
        card.operations.length ? fold(`work ${card.title}`, card.work,
          h("ul", {}, card.operations.map((name) => h("li", {}, name)))) : null))),
      answer.summary.map((line) => h("p", {}, line)),
      fold("together", "What must be fitted together, and why",
        h("ul", {}, answer.together.map((line) => h("li", {}, line))))) : null);
}

function readyOf(ui, ready) {
  const { answer } = ready;
  return h("section.card", { "data-key": "ready" },
    h("h2", {}, "Ready by", h("small", {}, "parts and work together")),
    h("div.row", {},
      field(ui, "ready by", "Ready by", ready.by, "plan", { name: "ready by" },
        { placeholder: "2026-12-18" }),
      field(ui, "ready ordered", "Parts ordered on", ready.ordered, "plan",
        { name: "ready ordered" }, { placeholder: ready.today }),
      field(ui, "ready lifts", "Lifts, each with a fitter", ready.lifts, "plan",
        { name: "ready lifts" }, { placeholder: "1", inputmode: "numeric" }),
      tap("Show days and prices", "ready", { field: "ready by" }, { class: "main" })),
    standing(ready, "Days and prices are being worked out."),
    answer ? h("div.planned", { "data-key": "ready answer" },
      answer.rows.length ? h("div.scroll", { tabindex: 0, role: "region",
        "aria-label": "Days and prices" }, h("table.days", {},
        h("thead", {}, h("tr", {}, answer.headings.map((heading) =>
          h("th", { scope: "col" }, heading)))),
        h("tbody", {}, answer.rows.map(([day, ...cells]) => h("tr", { "data-key": `day ${day}` },
          h("th", { scope: "row" }, day), cells.map((cell) => h("td", {}, cell))))))) : null,
      answer.lines.map((line) => h("p", {}, line))) : null);
}

function againOf(ui, again) {
  const { answer } = again;
  return h("section.card", { "data-key": "again" },
    h("h2", {}, "As last time", h("small", {}, "what changes least since a saved quotation")),
    h("div.row", {},
      field(ui, "again number", "Number of the quotation", again.number, "plan",
        { name: "again number" }, { placeholder: "2026-0001", maxlength: 40 }),
      tap("Show what changes least", "again", { field: "again number" }, { class: "main" })),
    standing(again, "What changes least is being looked for."),
    answer ? h("div.planned", { "data-key": "again answer" },
      answer.words ? h("p", {}, answer.words) : null,
      answer.cards.map((card, number) => h("div", { "data-key": `like ${number}` },
        h("h3", {}, card.title),
        h("ul", {}, card.lines.map((line) => h("li", {}, line)))))) : null);
}
