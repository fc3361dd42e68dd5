// Begin: the vehicle, for whom, for how much money, and two or three goals.

function beginOf(ui) {
  const { begin } = ui.data;
  if (!begin) return null;
  const words = (ui.vehicle ?? "").toLowerCase().split(/\s+/).filter(Boolean);
  const shown = begin.vehicles.filter((vehicle) =>
    words.every((word) => `${vehicle.title} ${vehicle.note}`.toLowerCase().includes(word)));
  const many = begin.vehicles.length > 6;
  return h("div.begin", { "data-key": "view begin" },
    h("section.card", {},
      h("h2", {}, "Which vehicle?"),
      many ? h("div.field", {}, h("label", { for: "find-vehicle" }, "Find a vehicle"),
        h("input", { id: "find-vehicle", type: "search", "data-local": "vehicle",
          value: ui.vehicle ?? "", autocomplete: "off" })) : null,
      h("div.vehicles", {}, shown.map((vehicle) => vehicleCard(begin, vehicle))),
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
      begin.goals.map((goal) => h("div.row.picked", { "data-key": `picked ${goal.figure}` },
        field(ui, `${goal.side} ${goal.figure}`,
          `${goal.title}, ${goal.side === "least" ? "at least" : "at most"}`, goal.value, "goal",
          { figure: goal.figure, side: goal.side }, { unit: goal.unit }),
        tap("Remove", "remove goal", { figure: goal.figure },
          { class: "link", "aria-label": `Remove goal: ${goal.title.toLowerCase()}` }))),
      begin.often.length ? h("div.chips", {}, begin.often
        .filter((idea) => idea.far !== idea.now).map((idea) => often(ui, idea)))
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

function vehicleCard(begin, vehicle) {
  const picked = begin.picked === vehicle.key;
  if (vehicle.problem) {
    return h("div.vehicle", { "data-key": `vehicle ${vehicle.key}` }, h("h3", {}, vehicle.title),
      h("p.note", {}, vehicle.problem));
  }
  return h("button.vehicle", {
    type: "button", "data-act": "vehicle", "data-args": JSON.stringify({ key: vehicle.key }),
    "data-key": `vehicle ${vehicle.key}`, "aria-pressed": picked ? "true" : "false",
    "aria-label": vehicle.title,
  },
  picture(vehicle.svg, { "aria-hidden": "true" }), h("b", {}, vehicle.title),
  h("span.soft", {}, vehicle.figures.map((figure, n) => [n ? " · " : "",
    h("span.unbroken", {}, `${figure.label.toLowerCase()} ${figure.value}`)])));
}
