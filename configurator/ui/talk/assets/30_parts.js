// Parts: by system, tyres and wheels first. What is in the package on top, the best alternatives
// beneath, all on request; what does not fit is counted and folded, each with its reason.

const BEST = 3;
const FOLDS = [["fits", "that fit"], ["over", "over budget"], ["aside", "set aside by your choice"]];
const LABELS = { fix: "Choose", free: "Unlock", why: "Why", idea: "Effect", out: "Rule out",
  allow: "Allow" };

// Puts names, which stay, and states, which follow each tap, together.
function positionsOf(ui) {
  const { parts, version } = ui.data;
  const names = globalThis.fitwrightNames?.get(version);
  if (!names || !parts) return null; // they are on their way, and drawn when they are there
  return names.map(([position, system, options], n) => ({
    position, system,
    rows: options.map(([key, title, number, price, pieces], k) => {
      const [look, whole, moves, reason] = parts.rows[n][k];
      const [state, words, exact, marks, actions] = parts.looks[look];
      return {
        position, key, title, number, own: price, pieces, state, words, exact, marks, actions,
        price: whole, moves: parts.moves[moves], reason: parts.reasons[reason],
        place: k,
      };
    }),
  }));
}

function partsOf(ui) {
  const positions = positionsOf(ui);
  if (!positions) return h("p", { "data-key": "view parts" }, "What each part would cost is being worked out …");
  const { parts } = ui.data;
  const systems = [...new Set(positions.map((card) => card.system))];
  const words = (ui.search ?? "").toLowerCase().split(/\s+/).filter(Boolean);
  const shown = positions.filter((card) => !ui.system || card.system === ui.system);
  const cards = [];
  let system = "";
  let count = 0;
  for (const card of shown) {
    const met = words.length
      ? card.rows.filter((row) => words.every((word) =>
        `${row.title} ${row.number} ${row.position}`.toLowerCase().includes(word))) : null;
    if (met && !met.length) continue;
    count += met ? met.length : 0;
    if (card.system !== system) {
      system = card.system;
      cards.push(h("h2.system", { "data-key": `system ${system}` }, system));
    }
    cards.push(positionCard(ui, card, met));
  }
  return h(`div.parts${parts.stale ? ".old" : ""}`, { "data-key": "view parts" },
    clashOf(ui),
    h("div.finder", { role: "search" },
      h("div.field", {}, h("label", { for: "find-part" }, "Find a part"),
        h("input", { id: "find-part", type: "search", "data-local": "search",
          value: ui.search ?? "", placeholder: "title, size or number", autocomplete: "off" })),
      h("div.chips", { role: "group", "aria-label": "Systems" },
        turn("All systems", "system", { system: "" },
          { class: "chipbutton", "aria-pressed": ui.system ? "false" : "true" }),
        systems.map((name) => turn(name, "system", { system: name },
          { class: "chipbutton", "aria-pressed": ui.system === name ? "true" : "false",
            "data-key": `pick ${name}` })))),
    words.length ? h("p.soft", { role: "status" }, `${plural(count, "part")} found`) : null,
    parts.open ? h("p.soft", {}, `${plural(parts.open, "price")} can only be given as a minimum. `,
      tap(parts.long ? "Join long lists" : "Make them exact", "exact", {}, { class: "link" })) : null,
    h("div.cards", {}, cards));
}

function positionCard(ui, { position, rows }, met) {
  const filter = ui.data.parts.filter?.position === position ? ui.data.parts.filter : null;
  const facts = filter?.facts;
  const top = rows.find((row) => row.marks.includes("in"))
    ?? rows.find((row) => row.marks.includes("chosen"));
  const of = (state) => rows.filter((row) => row.state === state && row !== top);
  const byPrice = (a, b) => a.price - b.price || a.place - b.place;
  const cheapest = of("fits").sort(byPrice);
  // Where few fit, the best are still worth a word of what they would cost.
  const best = [...cheapest, ...of("over").sort(byPrice)].slice(0, BEST);
  const whole = ui.open.has(position) || Boolean(filter) || Boolean(met);
  const busy = whole || !top || !top.marks.includes("fitted") || top.marks.includes("chosen")
    || ["tyres", "wheels"].includes(position);
  const list = [];
  if (met || facts) {
    const wanted = (met ?? rows).filter((row) => !facts || row.key in facts);
    list.push(...wanted.filter((row) => row !== top).slice(0, 60)
      .map((row) => rowOf(ui, row, facts?.[row.key])));
  } else {
    if (busy) list.push(...best.map((row) => rowOf(ui, row)));
    if (whole) list.push(...cheapest.slice(BEST).map((row) => rowOf(ui, row)));
  }
  const rest = whole ? 0 : Math.max(0, cheapest.length - (busy ? BEST : 0));
  return h("section.card.position", { "data-key": `position ${position}` },
    h("h3", {}, begun(position), h("small", {}, countsOf(rows))),
    filter ? filterOf(ui, filter) : null,
    top ? rowOf(ui, top, facts?.[top.key] ?? "", true) : null,
    list,
    met ? null : h("div.row.more", {},
      rest > 0 ? turn(busy ? `${rest} more that fit` : `${plural(rest, "option")} that fit`,
        "open", { position }, { "aria-expanded": "false", "aria-label":
          `${rest} that fit, ${position}` }) : null,
      ui.open.has(position) ? turn("Show fewer", "open", { position },
        { "aria-expanded": "true", "aria-label": `Show fewer, ${position}` }) : null,
      ["over", "aside"].map((state) => of(state).length
        ? foldButton(ui, position, state, `${of(state).length} ${FOLDS.find(([key]) =>
          key === state)[1]}`) : null),
      filter ? null : tap("Filter by specification", "filter", { how: "open", position },
        { class: "link", "aria-label": `Filter by specification, ${position}` })),
    met ? null : ["over", "aside"].map((state) => (ui.folds.has(`${position} ${state}`)
      ? of(state).sort(byPrice).filter((row) => !(busy && best.includes(row)))
        .map((row) => rowOf(ui, row)) : null)),
    met ? null : notFitting(ui, position, of("not")));
}

function countsOf(rows) {
  const number = (state) => rows.filter((row) => row.state === state).length;
  const counts = [[number("fits"), "fit"], [number("over"), "over budget"],
    [number("aside"), "set aside"], [number("not"), "do not fit"]];
  return counts.filter(([count]) => count).map(([count, what]) => `${count} ${what}`).join(" · ");
}

function foldButton(ui, position, state, label) {
  const key = `${position} ${state}`;
  return turn(label, "fold", { key }, { class: "chipbutton", "data-key": `fold ${key}`,
    "aria-expanded": ui.folds.has(key) ? "true" : "false", "aria-label": `${label}, ${position}` });
}

// What does not fit, by reason: each reason opens its own.
function notFitting(ui, position, rows) {
  if (!rows.length) return null;
  const by = new Map();
  for (const row of rows) {
    const reason = row.reason || "reason being worked out";
    by.set(reason, [...(by.get(reason) ?? []), row]);
  }
  const sorted = [...by].sort((a, b) => b[1].length - a[1].length);
  const open = sorted.filter(([reason]) => ui.folds.has(`${position} not ${reason}`));
  return h("div.notfit", { "data-key": `not ${position}` },
    h("p.row", {}, h("b", {}, `${rows.length} do not fit:`),
      sorted.map(([reason, each]) =>
        foldButton(ui, position, `not ${reason}`, `${reason}: ${each.length}`))),
    open.map(([, each]) => each.map((row) => rowOf(ui, row))));
}

function rowOf(ui, row, fact = "", top = false) {
  const { why, idea } = ui.data;
  const asked = why && why.position === row.position && why.part === row.key;
  const tried = idea && idea.position === row.position && idea.part === row.key;
  const key = `${row.position}\n${row.key}`;
  return h(`div.option.${row.state}${top ? ".top" : ""}`, { "data-key": `row ${key}` },
    h("div.name", {}, h("b", {}, row.title),
      row.number ? h("span.number", {}, row.number) : null,
      h("span.soft", {}, [marksOf(row, top), fact, row.moves].filter(Boolean).join(" · "))),
    h("div.own", {}, row.own && !row.marks.includes("fitted") ? money(ui, row.own) : ""),
    h("div.whole", {}, wholeOf(ui, row, top)),
    h("div.actions", {}, row.actions.map((what) => (what === "why" && asked
      ? tap("Close", "close why", {}, { "aria-label": `Close the reasons for ${row.title}` })
      : what === "idea" && tried
      ? tap("Close", "close idea", {}, { class: "link",
        "aria-label": `Close the effect of ${row.title}` })
      : tap(what === "fix" && top ? "Lock" : LABELS[what], what, { position: row.position, part: row.key }, {
        class: what === "out" || what === "idea" ? "link" : "",
        "aria-label": `${what === "fix" && top ? "Lock" : LABELS[what]}: ${row.title}, ${row.position}`,
        "data-key": `${what} ${key}`,
      })))),
    asked ? h("div.inrow", { "data-key": `why ${key}` },
      h("p", {}, row.reason ? `Does not fit: ${row.reason}. ` : "", why.title), repairsOf(ui, why))
      : null,
    tried ? ideaOf(ui, idea, key) : null);
}

// The cheapest package with a part, beside the cheapest one without it.
function ideaOf(ui, idea, key) {
  return h("div.inrow", { "data-key": `idea ${key}` },
    idea.state === "running" ? h("p", { role: "status" }, "The packages with it and without it are being compared. ",
      tap("Stop", "stop", { name: "idea" }, { class: "link", "aria-label": "Stop comparing" })) : null,
    idea.state === "stopped" ? h("p", {}, "Stopped.") : null,
    idea.trouble ? h("p", { role: "alert" }, idea.trouble) : null,
    idea.words ? h("p", {}, h("b", {}, idea.words), idea.unproven ? ` ${idea.unproven}` : "") : null,
    (idea.tables ?? []).map(([heading, rows]) => h("div.scroll", { tabindex: 0, role: "region",
      "aria-label": `${heading}, without it and with it` }, h("table.idea", {},
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, heading),
        h("th", { scope: "col" }, "without it"), h("th", { scope: "col" }, "with it"))),
      h("tbody", {}, rows.map(([name, then, now]) => h("tr", { class: then === now ? "" : "differs" },
        h("th", { scope: "row" }, name), h("td", {}, then), h("td", {}, now))))))),
    idea.also?.length ? fold(`also ${key}`, `What else differs: ${idea.also.length}`,
      h("ul", {}, idea.also.map((line) => h("li", {}, line)))) : null,
    idea.whole ? tap("Add both to Compare", "hold idea", {},
      { class: "link", disabled: (ui.data.compare?.names.length ?? 0) >= 4 }) : null);
}

function marksOf(row, top) {
  if (row.marks.includes("out")) return "ruled out by you";
  if (row.marks.includes("chosen")) return "chosen by you";
  if (row.marks.includes("in")) {
    return row.marks.includes("fitted") ? "unchanged" : top ? "" : "in the package";
  }
  return row.marks.includes("fitted") ? "as fitted now" : "";
}

function wholeOf(ui, row, top) {
  const from = row.exact ? "" : "from ";
  if (row.state === "not") return h("span.no", {}, "✕ ", row.reason || "does not fit");
  if (row.price === null) return row.words;
  if (top) return [h("span.ok", {}, "● in the package")];
  const mark = row.state === "over" ? h("span.warn", {}, "▲ over budget") : null;
  const { base } = ui.data.parts;
  return [h("b", {}, `${from}${base === null ? money(ui, row.price)
    : difference(ui, row.price, base)}`),
  h("span.soft", {}, `package ${from}${money(ui, row.price)}`), mark,
  row.words ? h("span.soft", {}, row.words) : null];
}

function filterOf(ui, filter) {
  const { position } = filter;
  return h("div.filter", { "data-key": `filter ${position}` },
    filter.conditions.map((condition, n) => h("div.row", { "data-key": `condition ${n}` },
      choice(`filter field ${n}`, `Specification ${n + 1}`,
        filter.fields.map(([name]) => [name, name]), condition.field, "filter",
        { how: "put", number: n, way: condition.way, text: "", is: "of" }),
      choice(`filter way ${n}`, `Comparison ${n + 1}`, filter.ways[condition.field], condition.way, "filter",
        { how: "put", number: n, of: condition.field, text: condition.value, is: "way" }),
      field(ui, `filter value ${n}`, `Value ${n + 1}`, condition.value, "filter",
        { how: "put", number: n, of: condition.field, way: condition.way },
        { unit: filter.fields.find(([name]) => name === condition.field)?.[1] }),
      tap("Remove", "filter", { how: "drop", number: n },
        { "aria-label": `Remove condition ${n + 1}` }),
      condition.problem ? h("p.note", { role: "alert" }, condition.problem) : null)),
    h("p.row", {},
      filter.facts ? h("span", { role: "status" },
        `${plural(Object.keys(filter.facts).length, "part")} meet this`) : null,
      tap("Add a condition", "filter", { how: "put", number: filter.conditions.length,
        of: filter.fields[0][0], way: "", text: "" }, { class: "link" }),
      tap("Close the filter", "filter", { how: "close" }, { class: "link" })),
    filter.unknown.map((line) => h("p.soft", {}, line)));
}
