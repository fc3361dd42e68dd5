// Compare: up to four packages, differences only; alternatives join with one tap.

const MEANING = { better: "▲ better", worse: "▼ worse", differs: "differs" };

function compareOf(ui) {
  const { compare, alternatives } = ui.data;
  if (!compare) return null;
  return h("div.stack", { "data-key": "view compare" }, tableOf(ui, compare),
    othersOf(compare, alternatives));
}

function tableOf(ui, compare) {
  const { names } = compare;
  return h("section.card", { "data-key": "compared" },
    h("h2", {}, "Compared", h("small", {}, names.length > 1
      ? `what differs from ${names[0].name}, and whether the goals are met` : "")),
    names.length ? h("div.scroll", { tabindex: 0, role: "region", "aria-label": "Packages compared" },
      h("table.compare", {},
        h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "Figure or part"),
          names.map((held) => h("th", { scope: "col", "data-key": `column ${held.number}` }, held.name,
            held.now ? h("span.mark2", {}, "now") : null)))),
        h("tbody", {}, compare.rows.map((row) => h("tr", { "data-key": `compare ${row.name}` },
          h("th", { scope: "row" }, row.name),
          row.cells.map((cell) => h("td", { class: cell.mark },
            cell.off ? h("b", {}, cell.off) : null,
            h(cell.mark && cell.mark !== "differs" ? "span.unbroken" : "span", {}, cell.text),
            cell.mark && cell.mark !== "differs"
              ? h("span.soft.unbroken", {}, MEANING[cell.mark]) : null))))))) : h("p", {},
      "Nothing is compared yet. Add this package, or one of the alternatives below."),
    h("div.row", {}, compare.canAdd
      ? tap("Compare this package", "hold", {}, { class: "main" }) : null),
    names.map((held) => h("div.row.held", { "data-key": `held ${held.number}` },
      field(ui, `name ${held.number}`, `Name of package ${held.number + 1}`, held.name, "rename",
        { number: held.number }, { maxlength: 60 }),
      held.now ? null : tap("Use this one", "take held", { number: held.number },
        { "aria-label": `Use ${held.name}` }),
      tap("Remove", "drop", { number: held.number }, { "aria-label": `Remove ${held.name}` }))),
    compare.gone.map((lost) => h("p.between", { "data-key": `gone ${lost.number}` },
      h("span", {}, `${lost.name}: ${lost.words}`),
      tap("Remove", "drop", { number: lost.number }, { "aria-label": `Remove ${lost.name}` }))));
}

function othersOf(compare, alternatives) {
  const full = compare.names.length >= 4;
  return h("section.card", { "data-key": "alternatives" },
    h("h2", {}, "Alternatives", h("small", {}, "packages that differ in what matters")),
    alternatives.state === "running" ? h("p", { role: "status" }, "Alternatives are being looked for.")
      : null,
    alternatives.words ? h("p.soft", {}, alternatives.words) : null,
    full && alternatives.cards.some((card) => !card.held) ? h("p.soft", {},
      "Four packages are compared, which is as many as there is room for: remove one of them to compare another.")
      : null,
    alternatives.state !== "running" && !alternatives.cards.length
      ? tap(alternatives.state === "none" ? "Find alternatives" : "Look again", "others", {},
        { class: "main" }) : null,
    h("div.cards", {}, alternatives.cards.map((card) => h("div.card.alternative",
      { "data-key": `alternative ${card.number}` },
      h("h3", {}, card.name), h("p", {}, h("b", {}, card.price), ` (${card.more})`),
      h("ul", {}, card.result.map((line) => h("li", {}, begun(line)))),
      card.proven ? null : h("p.soft", {}, "There may be a cheaper one that differs as much."),
      fold(`each ${card.number}`,
        h("span", {}, `Each part that differs: ${card.each.length}`, h("span.hidden", {}, `, ${card.name}`)),
        h("ul", {}, card.parts.map((line) => h("li", {}, begun(line))), card.each.map(([position, was, is]) =>
          h("li", {}, `${begun(position)}: ${is} instead of ${was}`)))),
      h("div.row", {},
        card.held ? h("span.soft", {}, "compared above") : tap("Compare", "hold other",
          { number: card.number }, { class: "main", disabled: full,
            "aria-label": `Compare: ${card.name}` }),
        tap("Use this one", "take other", { number: card.number },
          { "aria-label": `Use: ${card.name}` }))))));
}
