// Build: the vehicle before and after, what it costs line by line, how long, what to mind.

function bothSizes(each, attributes = {}) {
  return h("div.sizes", attributes,
    picture(each.wide, { class: "picture wide" }), picture(each.narrow, { class: "picture narrow" }));
}

function fiveOf(figures) {
  return h("dl.five", {}, figures.map((each) => h("div", { "data-key": `five ${each.figure}` },
    h("dt", {}, each.label), h("dd", {}, h("b", {}, each.value), h("span", {}, each.moved)))));
}

function buildOf(ui) {
  const { build } = ui.data;
  if (!build) {
    return h("div.stack", { "data-key": "view build" }, clashOf(ui)
      ?? h("p", {}, "There is no package to show yet."));
  }
  if (build.coming) return firstAnswer(ui.data);
  return h("div.stack", { "data-key": "view build" },
    h("section.card", {},
      h("h2", {}, "Before and after", h("small", {}, "to scale; now dashed, with this package solid")),
      h("div.pair", {}, bothSizes(build.pictures.side), bothSizes(build.pictures.ahead)),
      build.pictures.side.remarks.map((line) => h("p.soft", {}, line)),
      fiveOf(build.figures),
      h("div.row", {},
        turn("Save the side picture", "take", { name: "side" }),
        turn("Save the front picture", "take", { name: "ahead" }))),
    h("div.columns", {},
      h("div.stack", {}, newParts(ui, build), certaintyOf(build), timeOf(build), needsOf()),
      h("div.stack", {}, careOf(build), checksOf(build))),
    scaledOf(ui, build), plansOf(ui));
}

function newParts(ui, build) {
  const rows = build.lines.map(([position, title, number, pieces, price]) =>
    h("tr", { "data-key": `line ${position}` }, h("th", { scope: "row" }, position,
      h("span.soft", {}, [title, number, pieces ? `${pieces} pieces` : ""]
        .filter(Boolean).join(" · "))), h("td", {}, price)));
  return h("section.card", { "data-key": "new parts" },
    h("h2", {}, "New parts and work", h("small", {}, build.each)),
    h("table.bill", {},
      h("caption.hidden", {}, "New parts, work and their total"),
      h("thead.hidden", {}, h("tr", {}, h("th", { scope: "col" }, "What"),
        h("th", { scope: "col" }, "Price"))),
      h("tbody", {}, rows,
        h("tr", { "data-key": "line parts" }, h("th", { scope: "row" }, "Parts"),
          h("td", {}, build.parts)),
        h("tr", { "data-key": "line work" }, h("th", { scope: "row" }, build.work.words),
          h("td", {}, build.work.price))),
      h("tfoot", {},
        h("tr", {}, h("th", { scope: "row" }, "Total, tax included",
          build.tax ? h("span.soft", {}, build.tax) : null), h("td", {}, build.total)))),
    fold("operations", "Each operation", h("table.bill", {}, h("tbody", {},
      build.work.operations.map(([name, hours, price]) => h("tr", {},
        h("th", { scope: "row" }, name, h("span.soft", {}, hours)), h("td", {}, price)))))),
    Object.entries(build.unchanged).map(([what, names]) => (names.length
      ? fold(`stays ${what}`, `${begun(what)}: ${names.length}`, h("p", {}, names.join(", ")))
      : null)),
    h("div.row", {},
      tap("Quotation and documents", "part", { part: "documents" }, { class: "main" })));
}

function certaintyOf(build) {
  const { lines, running, about } = build.certainty;
  return h("section.card", { "data-key": "certainty" },
    h("h2", {}, "What certainty costs", h("small", {}, "parts and measures are never exact")),
    lines.length ? h("ul.plainlist", {}, lines.map((line) => h("li", {}, line)))
      : running ? h("p.soft", {}, "Being worked out.")
        : [h("p", {}, about),
          tap("Work out what certainty costs", "certainty")]);
}

function timeOf(build) {
  return h("section.card", { "data-key": "time" }, h("h2", {}, "Time"),
    build.time.map((line) => h("p", {}, line)));
}

function needsOf() {
  return h("section.card", { "data-key": "needs" }, h("h2", {}, "What else it needs"),
    h("p", {}, "Which part needs which other, as a graph and as a list, and the order of the work."),
    tap("Show what else it needs", "part", { part: "needs" }));
}

function careOf(build) {
  const fresh = build.cautions.filter((caution) => caution.new).length;
  const standing = build.cautions.length - fresh;
  return h("section.card", { "data-key": "care" },
    h("h2", {}, "Take care", h("small", {}, `${fresh} new with this package, ${standing} standing`)),
    build.cautions.map((caution) => fold(`caution ${caution.name}`,
      [h("b", {}, caution.name), caution.new ? h("span.mark2", {}, "new") : null],
      h("p", {}, caution.says), caution.more.map((line) => h("p", {}, line)))),
    h("p.soft", {}, build.notice));
}

function checksOf(build) {
  const lists = [
    ["sure", "As calculated only", build.sure],
    ["tightest", "Tightest margins", build.tightest],
    ["assumed", "", build.assumed, build.assumedHead],
    ["unchecked", "Not checked", build.unchecked, build.uncheckedHead],
    ["unpriced", "Not priced", build.unpriced],
    ["sources", "Lists and prices", build.sources],
  ].filter(([, , lines]) => lines.length);
  return h("section.card", { "data-key": "checks" }, h("h2", {}, "For whoever asks"),
    lists.map(([key, title, lines, head]) => fold(`list ${key}`,
      [title, head || lines.length].filter(Boolean).join(": "),
      h("ul", {}, lines.map((line) => h("li", {}, line))))));
}

// At the width of the page: lettering is to be read at arm's length.
function scaledOf(ui, build) {
  const { drawing } = ui.data;
  return h("section.card", { "data-key": "scaled" }, h("h2", {}, "Drawing to scale"),
    choice("drawing", "Which drawing to scale", [["", "none"], ...build.drawings],
      drawing?.name ?? "", "drawing", { is: "name" }, { hidden: true }),
    drawing ? h("div", { "data-key": `drawn ${drawing.name}` },
      drawing.svg ? h("div.scroll", { tabindex: 0, role: "region", "aria-label": "Drawing to scale" },
        picture(drawing.svg, { class: "picture scaled" })) : null,
      h("p.soft", {}, drawing.words)) : null);
}

// Saves a picture for the customer: made here, from what is on the page.
function takePicture(ui, name) {
  const svg = ui.data.build?.pictures[name]?.take;
  if (!svg) return;
  const image = new Image();
  const source = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
  image.onload = () => {
    const canvas = document.createElement("canvas");
    canvas.width = image.width * 2;
    canvas.height = image.height * 2;
    canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
    URL.revokeObjectURL(source);
    canvas.toBlob((blob) => {
      const link = document.createElement("a");
      link.href = URL.createObjectURL(blob);
      link.download = `${ui.data.head.title.toLowerCase().replace(/[^a-z0-9]+/g, "-")}-${name}.png`;
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    });
  };
  image.src = source;
}
