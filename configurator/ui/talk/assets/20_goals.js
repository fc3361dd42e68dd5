// Goals: a line each, with what is now, what the package has, and what each level would cost.

const AIMS = [["", "just meet it"], ["high", "as high as possible"], ["low", "as low as possible"]];
const ASKS = [["least", "at least"], ["most", "at most"], ["high", "as high as possible"],
  ["low", "as low as possible"]];
const GRADES = [["", "as calculated"], ["yes", "sure within tolerances"]];
const MARKS = { met: "●", missed: "▲", open: "○" };

function goalsOf(ui) {
  const { goals } = ui.data;
  if (!goals) return null;
  return h("div.columns", { "data-key": "view goals" },
    h("div.stack", {},
      clashOf(ui),
      h("section.card", {},
        h("h2", {}, "Goals", h("small", {}, goals.lines.length ? "most important first" : "")),
        goals.lines.length ? goals.lines.map((line, n) => goalLine(ui, line, n))
          : h("p.soft", {}, "No goals yet. Pick one below."),
        h("div.row.grade-of-job", { "data-key": "job grade" },
          choice("job grade", "Law, plates and clearances", GRADES, goals.sure ? "yes" : "",
            "own", { name: "sure" }),
          h("p.soft", {}, goals.sure
            ? "They hold within usual tolerances, or no worse than now. Each goal has its own grade."
            : "They hold by the figures as they are calculated. Each goal has its own grade.")),
        addGoal(ui, goals)),
      moneyAndUse(ui, goals)),
    h("div.stack", {}, glanceOf(ui)));
}

// On a wide page the vehicle stays beside the goals.
function glanceOf(ui) {
  const { build } = ui.data;
  if (!build) return null;
  const solid = build.stale ? "with the last answer's package solid" : "with this package solid";
  const title = h("h2", {}, "The vehicle", h("small", {}, `now dashed, ${solid}`));
  if (build.coming) {
    return h("section.card.glance", { "data-key": "glance" }, title,
      h("p.soft", {}, "It is being drawn."));
  }
  return h(`section.card.glance${build.stale ? ".stale" : ""}`, { "data-key": "glance" }, title,
    bothSizes(build.pictures.side), fiveOf(build.figures),
    h("h3", {}, "What is new"),
    h("ul.plainlist", {}, build.lines.slice(0, 8).map(([position, title]) =>
      h("li", {}, h("b", {}, position), `: ${title}`)),
    build.lines.length > 8 ? h("li", {}, `and ${build.lines.length - 8} more`) : null,
    build.lines.length ? null : h("li", {}, "Nothing: the vehicle meets this as it stands.")),
    turn("Show the build", "view", { view: "build" }));
}

function goalLine(ui, line, n) {
  const name = line.title.toLowerCase();
  return h("div.goal", { "data-key": `goal ${line.figure}` },
    h("div.aim", {}, h("h3", {}, line.title),
      h("p", { class: `mark ${line.state}` },
        h("span", { "aria-hidden": "true" }, MARKS[line.state]), ` ${line.mark}`),
      line.how ? h("p", { class: `mark grade ${line.how.state}` },
        h("span", { "aria-hidden": "true" }, line.how.mark), ` ${line.how.words}`) : null),
    h("div.bounds", {},
      field(ui, `least ${line.figure}`, "at least", line.least, "goal",
        { figure: line.figure, side: "least" },
        { unit: line.unit, "aria-label": `at least, ${name}`, placeholder: "–" }),
      field(ui, `most ${line.figure}`, "at most", line.most, "goal",
        { figure: line.figure, side: "most" },
        { unit: line.unit, "aria-label": `at most, ${name}`, placeholder: "–" })),
    h(`div.curvebox${line.coming ? ".stale" : ""}`, {}, line.curve ? curveOf(ui, line) : null,
      offerOf(line)),
    h("p.reach", {}, line.words, " ", line.how ? `${line.how.why} ` : null, line.far ? h(line.coming ? "span.stale" : "span", {}, line.far)
      : line.coming ? h("span.stale", {}, "How far one could go is being worked out.") : null),
    h("div.row.quiet", {},
      choice(`aim ${line.figure}`, "Aim", AIMS, line.way, "goal",
        { figure: line.figure, side: "way" }, { "aria-label": `Aim, ${name}`, hidden: true }),
      choice(`sure ${line.figure}`, "Certainty", GRADES, line.sure ? "yes" : "", "goal",
        { figure: line.figure, side: "sure" }, { "aria-label": `Certainty, ${name}`, hidden: true }),
      n ? tap("Move up", "up", { figure: line.figure },
        { class: "link", "aria-label": `Move up: ${name}` }) : null,
      tap("Remove", "remove goal", { figure: line.figure },
        { class: "link", "aria-label": `Remove goal: ${name}` })));
}

function offerOf(line) {
  const name = line.title.toLowerCase();
  if (line.offer === "running") return h("p.soft", {}, "Prices are being worked out.");
  if (line.offer === "curve") {
    return tap("Work out its prices", "curve", { figure: line.figure },
      { class: "link", "aria-label": `Work out prices: ${name}` });
  }
  if (line.offer === "exact") {
    const shown = line.curve ? stepsOf(line.curve) : [];
    // Levels that cost more than a better one are not shown: what is not known of them is no matter.
    if (shown.length && shown.every((step) => step.exact)) return null;
    const some = shown.some((step) => step.exact);
    return h("p.soft", {}, some ? "Some of these are minimum prices. " : "Minimum prices. ",
      tap("Make exact", "curve", { figure: line.figure },
        { class: "link", "aria-label": `Make prices exact: ${name}` }));
  }
  return null;
}

// The cheapest price of at least, or of at most, each level; of a band, of exactly each.
function stepsOf(curve) {
  const steps = curve.values.map((value, n) => ({
    value, price: curve.prices[n], exact: curve.exact[n], said: curve.said[n], si: curve.si[n],
  }));
  if (!curve.better) return steps;
  if (curve.better === "low") steps.reverse();
  let best = Infinity;
  const kept = [];
  for (const step of steps.reverse()) {
    if (step.price >= best) continue;
    best = step.price;
    kept.push(step);
  }
  return kept.reverse();
}

function curveOf(ui, line) {
  const steps = stepsOf(line.curve);
  if (steps.length < 2) return null;
  const [wide, tall, edge] = [260, 62, 8];
  const values = steps.map((step) => step.value);
  const prices = steps.map((step) => step.price);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const [least, most] = [Math.min(...prices), Math.max(...prices)];
  const x = (value) => edge + (value - low) / (high - low || 1) * (wide - 2 * edge);
  const y = (price) => tall - edge - (price - least) / (most - least || 1) * (tall - 2 * edge);
  const ordered = [...steps].sort((a, b) => a.value - b.value);
  let path = "";
  ordered.forEach((step, n) => {
    // The price of a level holds for all that ask less of the figure.
    if (!n) path = `M${x(step.value)} ${y(step.price)}`;
    else if (line.curve.better === "high") path += `V${y(step.price)}H${x(step.value)}`;
    else path += `H${x(step.value)}V${y(step.price)}`;
  });
  const has = line.curve.has;
  const nearest = has === null ? null
    : ordered.reduce((a, b) => (Math.abs(b.value - has) < Math.abs(a.value - has) ? b : a));
  const at = nearest ? ordered.indexOf(nearest) : 0;
  const preview = ui.preview?.figure === line.figure ? ordered[ui.preview.at] : null;
  const shown = preview ?? nearest;
  const first = ordered[0], last = ordered[ordered.length - 1];
  return h("div.curve", { "data-key": `curve ${line.figure}` },
    h("svg:svg", {
      viewBox: `0 0 ${wide} ${tall}`, role: "slider", tabindex: 0, "data-slide": line.figure,
      "aria-label": `Price by ${line.title.toLowerCase()}: choose a level`,
      "aria-valuemin": 0, "aria-valuemax": ordered.length - 1,
      "aria-valuenow": preview ? ui.preview.at : at,
      "aria-valuetext": shown ? `${shown.said}, ${fromPrice(ui, shown)}` : "none",
      "data-steps": JSON.stringify(ordered.map((step) => [x(step.value), step.si])),
      "data-at": at,
    },
    // Prices of a band go up and down from level to level: dots, not a line.
    line.curve.better ? h("svg:path", { d: path, class: "line" })
      : ordered.map((step) => h("svg:circle", {
        cx: x(step.value), cy: y(step.price), r: 1.8, class: "level" })),
    nearest ? h("svg:circle", { cx: x(nearest.value), cy: y(nearest.price), r: 5, class: "dot" })
      : null,
    preview ? h("svg:circle", {
      cx: x(preview.value), cy: y(preview.price), r: 7, class: "aimed" }) : null),
    h("p.ends", {}, preview
      ? h("b", {}, `${preview.said}: ${fromPrice(ui, preview)}`)
      : [first, last].map((step) => h("span", {},
        `${step.said}: ${step.exact ? "" : "at least "}${money(ui, step.price)}`))));
}

function fromPrice(ui, step) {
  return `${step.exact ? "from" : "at least"} ${money(ui, step.price)}`;
}

function addGoal(ui, goals) {
  return h("div.add", { "data-key": "add goal" },
    h("h3", {}, "Add a goal"),
    h("div.chips", {}, goals.often.filter((idea) => idea.far !== idea.now)
      .map((idea) => often(ui, idea))),
    h("div.row", {},
      h("div.field.longer", {}, h("label", { for: "any-figure" }, "Any other figure"),
        h("input", { id: "any-figure", type: "text", list: "figures", "data-local": "any",
          autocomplete: "off", placeholder: "such as turning circle", value: ui.any ?? "" }),
        h("datalist", { id: "figures" }, goals.figures.map(([name]) =>
          h("option", { value: name })))),
      h("div.field", {}, h("label", { for: "any-side" }, "Asked"),
        h("select", { id: "any-side", "data-local": "anySide" }, ASKS.map(([key, text]) =>
          h("option", { value: key, selected: key === (ui.anySide ?? "least") || null }, text)))),
      h("div.field", {}, h("label", { for: "any-value" }, "Value"),
        h("span.entry", {}, h("input", { id: "any-value", type: "text", "data-local": "anyText",
          autocomplete: "off", value: ui.anyText ?? "" }), unitOfAny(ui, goals))),
      turn("Add this figure", "add any")));
}

function unitOfAny(ui, goals) {
  const unit = goals.figures.find(([name]) => name === ui.any)?.[1];
  return unit ? h("span.unit", {}, unit) : null;
}

function often(ui, idea) {
  const limit = idea.side === "least" ? "at least" : "at most";
  if (idea.coming && !idea.far) {
    return h("div.chip", { "data-key": `often ${idea.figure}` }, h("b", {}, idea.title),
      h("span", {}, `now ${idea.now}, possible: being worked out`));
  }
  return h(`div.chip${idea.coming ? ".stale" : ""}`, { "data-key": `often ${idea.figure}` },
    h("b", {}, idea.title),
    h("span", {}, `now ${idea.now}`, farOf(idea)),
    tap(`Ask for ${limit} ${idea.asks}`, "goal",
      { figure: idea.figure, side: idea.side, text: idea.suggested },
      { "aria-label": `Ask for ${idea.title.toLowerCase()} ${limit} ${idea.asks}` }));
}

// Where no package does as well as the vehicle does now, that is said.
function farOf(idea) {
  if (!idea.far) return "";
  if (!idea.ahead) return `; with the package ${idea.far} at best`;
  return `, possible ${idea.side === "most" ? "down to" : "up to"} ${idea.far}`;
}

function moneyAndUse(ui, goals) {
  const use = goals.use.filter((condition) => condition.value).slice(0, 3)
    .map((condition) => `${condition.name} ${condition.words}`).join(", ");
  return h("section.card", { "data-key": "money" },
    h("h2", {}, "Money, time and use"),
    h("div.row", {},
      field(ui, "budget", "Budget for one vehicle", goals.budget, "own", { name: "budget" },
        { unit: goals.currency, placeholder: "no limit", "data-field": "budget" }),
      field(ui, "ready", "All parts in within", goals.ready, "own", { name: "ready" },
        { unit: "days", placeholder: "no limit", "data-field": "ready" }),
      field(ui, "title", "Customer or job", goals.title, "own", { name: "title" },
        { "data-field": "title" }),
      field(ui, "alike", "Vehicles alike", goals.vehicles, "own", { name: "alike" },
        { "data-field": "alike" }),
      h("div.units", {}, choice("units below", "Units", SYSTEMS, ui.data.head.system, "units"))),
    deliveryOf(goals.delivery),
    fold("use", `Use of the vehicle: ${use}`,
      h("div.row", {}, goals.use.map(({ name, value, unit, meaning }) =>
        field(ui, `use ${name}`, begun(name), value, "use", { name }, { unit, title: meaning })))),
    goals.chosen.length ? h("div", { "data-key": "chosen" }, h("h3", {}, "Chosen by you"),
      goals.chosen.map((decision) => h("p.between", { "data-key": `mine ${decision.words}` },
        h("span", {}, decision.words),
        tap(decision.act === "free" ? "Unlock" : "Allow", decision.act,
          { position: decision.position, part: decision.part },
          { "aria-label": `${decision.act === "free" ? "Unlock" : "Allow"} ${decision.words}` })))) : null,
    ui.data.noticed?.length ? fold("noticed",
      `Noticed in the lists and the job: ${ui.data.noticed.length}`,
      h("ul", {}, ui.data.noticed.map((line) => h("li", {}, line)))) : null);
}

function deliveryOf(delivery) {
  if (delivery.state === "running") return h("p.soft", {}, "Prices are being worked out.");
  if (!delivery.lines.length) {
    return h("p", {}, tap("Price by delivery time", "waits", {}, { class: "link" }));
  }
  return fold("delivery", "Price by delivery time", h("ul", {}, delivery.lines.map(
    ([days, words, price]) => h("li.between", {}, h("span", {}, `all parts in within ${words}: `,
      h("b", {}, price)), tap("Choose", "own", { name: "ready", text: days },
      { "aria-label": `All parts in within ${words}` })))));
}

// What can change where goals clash, each with the price that its click leads to.
function clashOf(ui) {
  const { clash, why } = ui.data;
  if (!clash) return null;
  return h("section.card.clash", { "data-key": "clash" }, h("h2", {}, clash), repairsOf(ui, why));
}

function repairsOf(ui, why) {
  if (!why) return null;
  const at = why.position ? ` for ${why.position}` : "";
  return h("div.why", {},
    why.state === "running" ? h("p", {}, "Looking for what can change … ",
      tap("Stop", "stop", { name: "repairs" },
        { class: "link", "aria-label": "Stop looking for what can change" })) : null,
    why.none ? h("p", {}, why.none) : null,
    why.repairs.map((repair, n) => h("p.between.repair", { "data-key": `repair ${n}` },
      h("span", {}, repair.words, repair.price ? [": ", h("b", {}, repair.price)] : null),
      tap("Do this", "repair", { number: n }, { "aria-label": `${repair.words}${at}` }))),
    why.proofState === "running" ? h("p.soft", {}, "The reasons in numbers are being worked out. ",
      tap("Stop", "stop", { name: "why" },
        { class: "link", "aria-label": "Stop working out the reasons" })) : null,
    ["none", "stopped"].includes(why.proofState) && why.state === "done" ? h("p", {},
      tap("Why: the numbers and sources", "proof", {}, { class: "link",
        "aria-label": `Why: the numbers and sources${at}` })) : null,
    why.proof.length ? h("div", { "data-key": `proof ${why.position} ${why.part}` },
      h("h3", {}, "Why: the numbers and sources"),
      h("ul", {}, why.proof.map((step) => h("li", {}, step.words,
        step.details.map((line) => h("p.soft", {}, line)))))) : null);
}
