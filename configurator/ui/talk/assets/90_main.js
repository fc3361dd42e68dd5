// Puts the talk together, and tells the server what is tapped. What was told and is not answered
// yet is told again with the next, so that no tap is lost however fast they come.

const VIEWS = {
  begin: beginOf, goals: goalsOf, parts: partsOf, build: buildOf, compare: compareOf,
};
let newest = null;

function render(ui) {
  const { data } = ui;
  const inTalk = data.part === "talk";
  const view = data.begun ? ui.view : "begin";
  const body = !inTalk ? null : (VIEWS[view] ?? goalsOf)(ui) ?? firstAnswer(data);
  const busy = data.updating?.state === "running" || (ui.queue.length > 0 && ui.slow);
  return h("div", { class: `page${inTalk ? "" : " over"}` },
    headOf(ui),
    h("p.hidden", { role: "status", "data-key": "status" }, data.head?.status ?? ""),
    h("div.news", { "data-key": "news" }, newsOf(ui)),
    inTalk ? h("div.body", { "aria-busy": busy ? "true" : "false", "data-key": "body" },
      data.begun && view !== "begin" ? underHead(data.head) : null, body)
      : null);
}

function firstAnswer(data) {
  return h("section.card.first", { "data-key": "view first" }, h("h2", {}, "One moment"),
    h("p", {}, data.updating?.what ?? "Working out what fits with what"),
    h("p.soft", {}, "Every rule is read against every part in the lists. This is done once for a "
      + "vehicle and its use; answers after that come at once."));
}

function redraw(ui) {
  if (ui.held) {
    ui.stale = true;
    return;
  }
  ui.stale = false;
  const focused = ui.root.activeElement;
  const near = focused?.closest("[data-key]")?.dataset.key;
  const row = focused?.closest("[data-key^='row ']")?.dataset.key;
  const made = render(ui);
  const page = ui.holder.firstElementChild;
  if (page) morph(ui, page, made);
  else {
    ui.holder.append(made);
    prime(ui, made);
  }
  // What was tapped may be gone: the focus stays near it.
  if (focused && !ui.root.activeElement) {
    for (const key of [near, row]) {
      const place = key && ui.root.querySelector(`[data-key="${CSS.escape(key)}"]`);
      const target = place?.matches("button, input, select") ? place
        : place?.querySelector("button, input, select, summary");
      if (target) {
        target.focus({ preventScroll: true });
        break;
      }
    }
  }
  ui.holder.dataset.done = ui.data.done;
  const sought = ui.sought && ui.root.querySelector(`[data-key="${CSS.escape(ui.sought)}"]`);
  if (sought) {
    sought.scrollIntoView({ block: "center" });
    ui.sought = "";
  }
}

// -- what is told -------------------------------------------------------------------------------

function tell(ui, what, args = {}) {
  if (what !== "address") commit(ui, ui.root.activeElement);
  push(ui, what, args);
}

function push(ui, what, args) {
  ui.n = Math.max(ui.n, ui.data.done) + 1;
  ui.queue.push({ view: ui.view, ...args, n: ui.n, what, fields: fieldsOf(ui) });
  ui.send("acts", JSON.stringify(ui.queue));
  sendAgain(ui);
  clearTimeout(ui.timer);
  ui.slow = false;
  ui.timer = setTimeout(() => {
    ui.slow = true;
    if (ui.queue.length) redraw(ui);
  }, 200);
  return ui.n;
}

// What is not answered after a while is told once more, and what should follow, or is worked on, is
// asked after: each act is carried out once, however often it comes.
function awaited(data) {
  return data.updating ? data.updating.state === "running" : Boolean(data.coming);
}

function sendAgain(ui) {
  clearTimeout(ui.again);
  ui.again = setTimeout(() => {
    if (ui.queue.length) ui.send("acts", JSON.stringify(ui.queue));
    else if (awaited(ui.data)) push(ui, "go", {});
    if (ui.queue.length || awaited(ui.data)) sendAgain(ui);
  }, 4000);
}

function fieldsOf(ui) {
  const texts = {};
  for (const input of ui.holder.querySelectorAll("input[data-field]")) {
    texts[input.dataset.field] = input.value;
  }
  return texts;
}

// Tells what stands in a field, where the server does not know it yet.
function commit(ui, input) {
  if (!input?.dataset?.what || input.nodeName !== "INPUT") return;
  if (input.value === (input.known ?? input.shown ?? "")) return;
  input.known = input.value;
  const args = JSON.parse(input.dataset.args);
  input.sent = push(ui, input.dataset.what, { ...args, text: input.value });
}

// -- what is tapped, typed and pressed ----------------------------------------------------------

const TURNS = {
  view(ui, { view }) {
    ui.view = view;
    // The server keeps the address: the part of the page stands in it.
    push(ui, ui.data.part === "talk" ? "go" : "part", { part: "talk" });
    if (view === "compare" && ui.data.alternatives?.state === "none") push(ui, "others", {});
    document.querySelector('[data-testid="stMain"]')?.scrollTo(0, 0);
  },
  start(ui) {
    commit(ui, ui.root.activeElement);
    TURNS.view(ui, { view: "goals" });
  },
  system(ui, { system }) { ui.system = system; },
  open(ui, { position }) { toggle(ui.open, position); },
  fold(ui, { key }) { toggle(ui.folds, key); },
  take(ui, { name }) { takePicture(ui, name); },
  "add any"(ui) {
    const side = ui.anySide ?? "least";
    const known = ui.data.goals.figures.some(([name]) => name === ui.any);
    if (!known || (side !== "high" && side !== "low" && !ui.anyText)) return;
    tell(ui, "goal", side === "high" || side === "low" ? { figure: ui.any, side: "way", text: side }
      : { figure: ui.any, side, text: ui.anyText });
    ui.any = ui.anyText = "";
    for (const id of ["any-figure", "any-value"]) ui.root.getElementById(id).value = "";
  },
};

function toggle(set, key) {
  if (set.has(key)) set.delete(key);
  else set.add(key);
}

// While somebody holds a button down nothing changes under the pointer: it would be the click of
// whatever came there meanwhile, or none. It ends by itself, should nobody see the pointer go up.
const HELD_AT_MOST = 2000;

function hold(ui, event) {
  if (!event.target.closest("button, summary")) return;
  ui.held = true;
  clearTimeout(ui.holding);
  ui.holding = setTimeout(() => letGo(ui), HELD_AT_MOST);
}

function letGo(ui) {
  clearTimeout(ui.holding);
  ui.held = false;
  if (ui.stale) redraw(ui);
}

function clicked(ui, event) {
  const button = event.target.closest("[data-act], [data-turn]");
  const args = button && JSON.parse(button.dataset.args);
  letGo(ui);
  if (!button || button.disabled) return;
  if (button.dataset.turn) {
    commit(ui, ui.root.activeElement);
    TURNS[button.dataset.turn](ui, args);
    redraw(ui);
    return;
  }
  const what = button.dataset.act;
  if (what === "demo" || what === "saved") ui.view = "goals";
  if (what === "new") ui.view = "begin";
  tell(ui, what, args);
}

function changed(ui, event) {
  const input = event.target;
  if (input.dataset.local) {
    ui[input.dataset.local] = input.value;
    redraw(ui);
    return;
  }
  if (input.nodeName === "SELECT" && input.dataset.what) {
    const args = JSON.parse(input.dataset.args);
    const { is = "text", ...rest } = args;
    tell(ui, input.dataset.what, { ...rest, [is]: input.value });
  } else commit(ui, input);
}

function typed(ui, event) {
  const name = event.target.dataset.local;
  if (!name || event.target.nodeName === "SELECT") return;
  ui[name] = event.target.value;
  clearTimeout(ui.typing);
  ui.typing = setTimeout(() => redraw(ui), 80);
}

// -- price curves: point or arrow keys choose a level -------------------------------------------

function aim(ui, slider, event) {
  const steps = JSON.parse(slider.dataset.steps);
  const box = slider.getBoundingClientRect();
  const x = ((event.clientX - box.left) / box.width) * slider.viewBox.baseVal.width;
  let at = 0;
  steps.forEach(([place], n) => {
    if (Math.abs(place - x) < Math.abs(steps[at][0] - x)) at = n;
  });
  ui.preview = { figure: slider.dataset.slide, at };
  redraw(ui);
}

function settle(ui, slider) {
  const { preview } = ui;
  ui.preview = null;
  if (preview) {
    const [, si] = JSON.parse(slider.dataset.steps)[preview.at] ?? [];
    if (si !== undefined) tell(ui, "level", { figure: preview.figure, si });
  }
  redraw(ui);
}

function slide(ui) {
  ui.holder.addEventListener("pointerdown", (event) => {
    const slider = event.target.closest("[data-slide]");
    if (!slider) return;
    slider.setPointerCapture(event.pointerId);
    aim(ui, slider, event);
  });
  ui.holder.addEventListener("pointermove", (event) => {
    const slider = event.target.closest("[data-slide]");
    if (slider?.hasPointerCapture(event.pointerId)) aim(ui, slider, event);
  });
  ui.holder.addEventListener("pointerup", (event) => {
    const slider = event.target.closest("[data-slide]");
    if (slider && ui.preview) settle(ui, slider);
  });
  ui.holder.addEventListener("pointercancel", () => {
    ui.preview = null;
    redraw(ui);
  });
}

const KEYS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 };

function pressed(ui, event) {
  const slider = event.target.closest("[data-slide]");
  if (!slider) return;
  const steps = JSON.parse(slider.dataset.steps);
  const figure = slider.dataset.slide;
  const at = ui.preview?.figure === figure ? ui.preview.at : Number(slider.dataset.at);
  if (event.key in KEYS || event.key === "Home" || event.key === "End") {
    const to = event.key === "Home" ? 0 : event.key === "End" ? steps.length - 1
      : at + KEYS[event.key];
    ui.preview = { figure, at: Math.min(steps.length - 1, Math.max(0, to)) };
    redraw(ui);
  } else if ((event.key === "Enter" || event.key === " ") && ui.preview) settle(ui, slider);
  else if (event.key === "Escape" && ui.preview) {
    ui.preview = null;
    redraw(ui);
  } else return;
  event.preventDefault();
}

// -- the page around it -------------------------------------------------------------------------

function shortcut(event) {
  const ui = newest;
  const key = event.key.toLowerCase();
  if (!ui || !(event.ctrlKey || event.metaKey) || (key !== "z" && key !== "y")) return;
  const at = event.composedPath()[0];
  // In a field it is the field's own.
  if (at instanceof Element && at.matches("input, textarea, [contenteditable]")) return;
  const what = event.shiftKey || key === "y" ? "redo" : "undo";
  if (!ui.data.head?.[what]) return;
  event.preventDefault();
  tell(ui, what);
}

function wentBack() {
  const ui = newest;
  if (!ui) return;
  const query = new URLSearchParams(globalThis.location.search);
  const part = query.get("part") ?? "";
  ui.view = part in VIEWS ? part : query.has("job") ? "goals" : "begin";
  tell(ui, "address", { job: query.get("job") ?? "", part });
  redraw(ui);
}

function build(holder, root) {
  const query = new URLSearchParams(globalThis.location.search);
  const part = query.get("part");
  const ui = {
    holder, root, n: 0, answered: 0, queue: [], slow: false, open: new Set(), folds: new Set(),
    system: "",
    view: part in VIEWS ? part : query.has("job") ? "goals" : "begin", preview: null, held: false,
  };
  holder.addEventListener("pointerdown", (event) => hold(ui, event));
  holder.addEventListener("click", (event) => clicked(ui, event));
  holder.addEventListener("change", (event) => changed(ui, event));
  holder.addEventListener("input", (event) => typed(ui, event));
  holder.addEventListener("keydown", (event) => pressed(ui, event));
  slide(ui);
  globalThis.addEventListener("fitwright-names", () => redraw(ui));
  if (!globalThis.fitwrightTalks) {
    globalThis.fitwrightTalks = true;
    globalThis.addEventListener("keydown", (event) => shortcut(event));
    globalThis.addEventListener("popstate", () => wentBack());
    // The click comes after the pointer has gone up, of a finger a moment later.
    for (const end of ["pointerup", "pointercancel"]) {
      globalThis.addEventListener(end, () => newest && setTimeout(letGo, 50, newest), true);
    }
  }
  return ui;
}

export default function ({ data, parentElement, setTriggerValue }) {
  // The talk is remembered on the element it is in: the page may give another one.
  const holder = parentElement.querySelector(".talk");
  const ui = (holder.talk ??= build(holder, parentElement));
  newest = ui;
  ui.root = parentElement;
  ui.send = setTriggerValue;
  if (ui.data === data) return;
  ui.data = data;
  ui.n = Math.max(ui.n, data.done);
  // While it is worked on, all but what was typed is the last answer's.
  if (!data.updating) ui.answered = data.done;
  // Something else on the page leads to a part of the talk.
  const [turned, card, view] = data.turned;
  if (turned > (ui.turned ?? 0) && view in VIEWS) {
    ui.view = view;
    ui.sought = card;
  }
  ui.turned = turned;
  ui.queue = ui.queue.filter((act) => act.n > data.done);
  if (!ui.queue.length) ui.slow = false;
  // What follows within a moment needs no word of waiting.
  if (!data.coming) {
    clearTimeout(ui.waiting);
    ui.waiting = null;
    ui.late = false;
  }
  if (awaited(data)) sendAgain(ui);
  if (data.coming) ui.waiting ??= setTimeout(() => {
    ui.late = true;
    redraw(ui);
  }, 400);
  redraw(ui);
}
