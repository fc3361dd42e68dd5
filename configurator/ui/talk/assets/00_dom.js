// What all parts of the talk draw with: elements whose texts are never read as markup, and a way
// to bring what is on the page in line with what it should be, keeping focus and what is typed.

const SVG = "http://www.w3.org/2000/svg";

// Makes an element. Texts become text nodes; an attribute that is null, false or undefined is left
// out; `value` is that of a field as the server knows it.
function h(tag, attributes = {}, ...children) {
  const [name, ...classes] = tag.split(".");
  const element = name.startsWith("svg:")
    ? document.createElementNS(SVG, name.slice(4)) : document.createElement(name || "div");
  if (classes.length) element.setAttribute("class", classes.join(" "));
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(key, value === true ? "" : String(value));
  }
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined || child === false || child === "") continue;
    element.append(child instanceof Node ? child : document.createTextNode(String(child)));
  }
  return element;
}

// A button that tells the server something, or only turns something on the page (`turn`).
function tap(label, what, args = {}, attributes = {}) {
  return h("button", {
    type: "button", "data-act": what, "data-args": JSON.stringify(args), ...attributes,
  }, label);
}

function turn(label, what, args = {}, attributes = {}) {
  return h("button", {
    type: "button", "data-turn": what, "data-args": JSON.stringify(args), ...attributes,
  }, label);
}

// A field whose text is told to the server as soon as it is left, or Enter is pressed.
function field(ui, name, label, value, what, args = {}, more = {}) {
  const note = ui.data.notes[name];
  const id = `field-${name.replace(/[^a-z0-9]+/gi, "-")}`;
  const { unit, hidden, list, ...attributes } = more;
  return h("div.field", { "data-key": `field ${name}` },
    h(`label${hidden ? ".hidden" : ""}`, { for: id }, label),
    h("span.entry", {},
      h("input", {
        id, type: "text", value, autocomplete: "off", "data-what": what, "data-name": name,
        "data-args": JSON.stringify({ ...args, field: name }), "aria-invalid": note ? "true" : null,
        "aria-describedby": note ? `${id}-note` : null, "data-note": note ? "yes" : null,
        maxlength: 80, ...attributes,
      }),
      unit ? h("span.unit", {}, unit) : null),
    note ? h("p.note", { id: `${id}-note`, role: "alert" }, note) : null);
}

function choice(name, label, options, value, what, args = {}, more = {}) {
  const id = `choice-${name.replace(/[^a-z0-9]+/gi, "-")}`;
  const { hidden, ...attributes } = more;
  return h("div.field", { "data-key": `choice ${name}` },
    h(`label${hidden ? ".hidden" : ""}`, { for: id }, label),
    h("select", {
      id, "data-what": what, "data-args": JSON.stringify(args), "data-shown": value, ...attributes,
    }, options.map(([key, text]) =>
      h("option", { value: key, selected: key === value || null }, text))));
}

function fold(key, summary, ...children) {
  return h("details", { "data-key": key }, h("summary", {}, summary), ...children);
}

// A drawing of the server's: parsed as XML, never as HTML, so that a script in it does not run.
const drawn = new Map();
function picture(svg, attributes = {}) {
  const holder = h("div.picture", { ...attributes, "data-svg": `${svg.length}:${checksum(svg)}` });
  if (!drawn.has(svg)) {
    if (drawn.size > 60) drawn.clear();
    drawn.set(svg, new DOMParser().parseFromString(svg, "image/svg+xml").documentElement);
  }
  const parsed = drawn.get(svg);
  if (parsed.nodeName === "svg") holder.append(document.importNode(parsed, true));
  else holder.append("This drawing could not be read.");
  return holder;
}

function checksum(text) {
  let sum = 0;
  for (let k = 0; k < text.length; k += 1) sum = (sum * 31 + text.charCodeAt(k)) | 0;
  return sum;
}

// Brings `old` in line with `made`, which is like it: elements stay what they are wherever they can.
function morph(ui, old, made) {
  if (old.dataset?.svg && old.dataset.svg === made.dataset.svg) return;
  for (const { name } of [...old.attributes]) {
    if (!made.hasAttribute(name) && !(name === "open" && old.nodeName === "DETAILS")) {
      old.removeAttribute(name);
    }
  }
  for (const { name, value } of made.attributes) {
    if (name === "value" && old.nodeName === "INPUT") continue;
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  if (old.nodeName === "INPUT") {
    showValue(ui, old, made);
    return;
  }
  morphChildren(ui, old, made);
  if (old.nodeName === "SELECT" && old !== ui.root.activeElement) {
    const wanted = made.querySelector("option[selected]")?.value ?? "";
    if (old.value !== wanted) old.value = wanted;
  }
}

// What somebody types, or typed and the server has not answered yet, or could not read, stays.
function showValue(ui, old, made) {
  const value = made.getAttribute("value") ?? "";
  if (old.type === "checkbox") {
    old.checked = made.hasAttribute("checked");
    return;
  }
  const typing = old === ui.root.activeElement && old.value !== (old.shown ?? "")
    && old.value !== old.known;
  const pending = (old.sent ?? 0) > ui.answered;
  if (typing || pending || made.dataset.note) return;
  if (old.value !== value) old.value = value;
  old.shown = value;
  old.known = undefined;
}

function morphChildren(ui, old, made) {
  const keyed = new Map();
  for (const child of old.children) if (child.dataset?.key) keyed.set(child.dataset.key, child);
  let at = old.firstChild;
  for (const wanted of [...made.childNodes]) {
    const key = wanted.dataset?.key;
    let match = key ? keyed.get(key) : at;
    if (key && match && match !== at) old.insertBefore(match, at);
    const same = match && match.nodeType === wanted.nodeType && match.nodeName === wanted.nodeName
      && (match.dataset?.key ?? "") === (key ?? "");
    if (!same) {
      old.insertBefore(wanted, at);
      prime(ui, wanted);
      continue;
    }
    at = match.nextSibling;
    if (match.nodeType === Node.TEXT_NODE) {
      if (match.data !== wanted.data) match.data = wanted.data;
    } else morph(ui, match, wanted);
  }
  while (at) {
    const next = at.nextSibling;
    at.remove();
    at = next;
  }
}

// Notes what a new field shows as the server knows it.
function prime(ui, element) {
  if (element.nodeType !== Node.ELEMENT_NODE) return;
  for (const input of [element, ...element.querySelectorAll("input")]) {
    if (input.nodeName === "INPUT") input.shown = input.value;
  }
}

const group = (number) => String(number).replace(/\B(?=(\d{3})+$)/g, ",");

// Prices in whole units, never less than they are.
function money(ui, minor) {
  const [sign, places] = ui.data.currency;
  return `${minor < 0 ? "−" : ""}${sign}${group(Math.ceil(Math.abs(minor) / 10 ** places))}`;
}

// What the prices shown differ by; where that is nothing, the cents.
function difference(ui, price, before) {
  if (price === before) return "same price";
  const [sign, places] = ui.data.currency;
  const unit = 10 ** places;
  const whole = Math.abs(Math.ceil(price / unit) - Math.ceil(before / unit));
  const text = whole ? group(whole) : (Math.abs(price - before) / unit).toFixed(places);
  return `${price > before ? "+" : "−"}${sign}${text}`;
}

const begun = (text) => text.charAt(0).toUpperCase() + text.slice(1);
const plural = (number, what) => `${number} ${what}${number === 1 ? "" : "s"}`;
