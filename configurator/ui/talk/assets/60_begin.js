// Begin: the vehicle, for whom, for how much money, and two or three goals.

function beginOf(ui) {
  const { begin } = ui.data;
  if (!begin) return null;
  const words = (ui.vehicle ?? "").toLowerCase().split(/\s+/).filter(Boolean);
  const shown = begin.vehicles.filter((one) =>
    words.every((word) => `${one.title} ${one.note}`.toLowerCase().includes(word)));
  const many = begin.vehicles.length > 6;
  return h("div.begin", { "data-key": "view begin" },
    h("section.card", {},
      h("h2", {}, "Which vehicle?"),
      many ? h("div.field", {}, h("label", { for: "find-vehicle" }, "Find a vehicle"),
        h("input", { id: "find-vehicle", type: "search", "data-local": "vehicle",
          value: ui.vehicle ?? "", autocomplete: "off" })) : null,
      h("div.vehicles", {}, shown.map((one) => vehicleCard(begin, one))),
      h("p.row", {}, tap("Enter a new vehicle", "part", { part: "vehicle-new" },
        { class: "link" }))),
    h("section.card", {},
      h("h2", {}, "For whom, and for how much?"),
      h("div.row", {},
        field(ui, "title", "Customer or job", begin.title, "own", { name: "title" },
          { "data-field": "title", placeholder: "such as hut support" }),
        field(ui, "budget", "Budget for one vehicle", begin.budget, "own", { name: "budget" },
          { unit: begin.currency, placeholder: "no limit", "data-field": "budget" }),
        field(ui, "alike", "Vehicles alike", begin.alike, "own", { name: "alike" },
          { "data-field": "alike" }))),
    begin.picked ? h("section.card", { "data-key": "begin goals" },
      h("h2", {}, "What should it become?", h("small", {}, "two or three to begin with")),
      begin.goals.map((one) => h("div.row.picked", { "data-key": `picked ${one.figure}` },
        field(ui, `${one.side} ${one.figure}`,
          `${one.title}, ${one.side === "least" ? "at least" : "at most"}`, one.value, "goal",
          { figure: one.figure, side: one.side }, { unit: one.unit }),
        tap("Remove", "remove goal", { figure: one.figure },
          { class: "link", "aria-label": `Remove goal: ${one.title.toLowerCase()}` }))),
      begin.often.length ? h("div.chips", {}, begin.often.filter((one) => one.far !== one.now).map((one) => often(ui, one)))
        : h("p", { role: "status" }, "What is possible is being worked out …"),
      h("p.row", {},
        turn(begin.price ? `Show the package: ${begin.price}` : "Show the package", "start", {},
          { class: "main large" }))) : null,
    h("section.card", {},
      h("h2", {}, "Or open a job"),
      begin.saved.length ? h("p.row", {}, h("b", {}, "Saved:"),
        begin.saved.map(([number, title, day]) => tap(`${title} (${day})`, "saved", { number },
          { class: "chipbutton", "data-key": `saved ${number}` }))) : null,
      h("p.row", {}, h("b", {}, "Demo:"), begin.demos.map(([name, title]) =>
        tap(title, "demo", { name }, { class: "chipbutton", "data-key": `demo ${name}` }))),
      h("p", {}, tap("A file, or all saved jobs", "part", { part: "saved" }, { class: "link" }))));
}

function vehicleCard(begin, one) {
  const picked = begin.picked === one.key;
  if (one.problem) {
    return h("div.vehicle", { "data-key": `vehicle ${one.key}` }, h("h3", {}, one.title),
      h("p.note", {}, one.problem));
  }
  return h("button.vehicle", {
    type: "button", "data-act": "vehicle", "data-args": JSON.stringify({ key: one.key }),
    "data-key": `vehicle ${one.key}`, "aria-pressed": picked ? "true" : "false",
    "aria-label": one.title,
  },
  picture(one.svg, { "aria-hidden": "true" }), h("b", {}, one.title),
  h("span.soft", {}, one.figures.map((figure, n) => [n ? " · " : "",
    h("span.unbroken", {}, `${figure.label.toLowerCase()} ${figure.value}`)])));
}
