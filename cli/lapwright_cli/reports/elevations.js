(() => {
"use strict";
// All texts come from the page itself and go back as text, never as markup.
const root = document.documentElement;
const all = (what, at = document) => [...at.querySelectorAll(what)];
const one = (what, at = document) => at.querySelector(what);
const byId = (id) => document.getElementById(id);
const make = (tag, text = "", more = {}) => Object.assign(document.createElement(tag), { textContent: text }, more);
const card = byId("card"), said = byId("said"), found = byId("found"), wanted = byId("wanted");
const sections = all("main > section"), walls = sections.filter((s) => s.classList.contains("wall"));
const kindOf = (section) => (section.classList.contains("soffit") ? "soffit" : "wall");
const pieces = new Map();
const kept = { cut: new Set(), hung: new Set() };
let chosen = null, lastFocus = null;
root.classList.add("js");

for (const wall of walls) {
  const rows = all("tr[id]", wall);
  rows.forEach((row) => pieces.set(row.id, {
    id: row.id, row, wall, label: one("th", row).textContent,
    isTrim: Boolean(row.closest("[data-trim]")), shape: null, boxes: {},
  }));
  for (const shape of all("svg a", wall)) {
    const piece = pieces.get(shape.getAttribute("href").slice(1));
    if (piece) piece.shape = shape;
  }
  one("svg", wall)?.setAttribute("role", "group");  // an open eave has no drawing
  const first = one("svg a", wall);
  if (first) first.setAttribute("tabindex", "0");
}
for (const piece of pieces.values()) {
  // Else the browser would go to the table's row after all, away from the drawing.
  one("th a", piece.row).removeAttribute("id");
  for (const box of all("input", piece.row)) {
    piece.boxes[box.dataset.tick] = box;
    box.autocomplete = "off";
    box.addEventListener("change", () => tick(piece, box.dataset.tick, box.checked));
  }
  if (piece.shape) {
    const [work, sheet, bar] = all("td:not(.tick)", piece.row).slice(-3).map((cell) => cell.textContent);
    piece.name = `${one("title", piece.shape).textContent}, sheet ${sheet}, bar ${bar}${work && `. ${work}`}`;
  }
}

// Ticks, kept by job and by what the plan says.
const before = `lapwright ticks ${root.dataset.job} `, place = before + root.dataset.plan;
let store = null, older = [];
try {
  store = window.localStorage;
  for (let i = 0; i < store.length; i += 1) {
    const key = store.key(i);
    if (key.startsWith(before) && key !== place) older.push(key);
  }
} catch { store = null; }

function load() {
  let data = {};
  try { data = JSON.parse(store?.getItem(place) ?? "{}") ?? {}; } catch { data = {}; }
  for (const kind of ["cut", "hung"]) {
    const ids = Array.isArray(data[kind]) ? data[kind] : [];
    kept[kind] = new Set(ids.filter((id) => pieces.has(id)));
  }
  pieces.forEach(dress);
  count();
}

function save() {
  try {
    store.setItem(place, JSON.stringify({ cut: [...kept.cut], hung: [...kept.hung] }));
  } catch { tell("This browser keeps no ticks: they are lost when the page is closed."); }
}

function dress(piece) {
  const states = [];
  for (const kind of ["cut", "hung"]) {
    const on = kept[kind].has(piece.id);
    if (on) states.push(kind);
    if (piece.boxes[kind]) piece.boxes[kind].checked = on;
    if (piece.shape) piece.shape.classList.toggle(kind, on);
  }
  if (piece.shape) one("title", piece.shape).textContent = [piece.name, ...states].join(", ");
}

function tick(piece, kind, on) {
  load();  // what another page of the same plan has ticked meanwhile
  kept[kind][on ? "add" : "delete"](piece.id);
  dress(piece);
  count();
  save();
  all("input", card).forEach((box) => { if (chosen) box.checked = kept[box.dataset.tick].has(chosen.id); });
}

function leftOf(list) {
  const hang = list.filter((p) => !kept.hung.has(p.id));
  const cut = hang.filter((p) => !kept.cut.has(p.id));
  return `to cut ${cut.length}, to hang ${hang.length} of ${list.length}`;
}

function count() {
  const every = [...pieces.values()];
  byId("left-all").textContent = `Left of all walls: ${leftOf(every)} pieces`;
  for (const wall of walls) {
    one("p.left", wall).textContent = `Left on this ${kindOf(wall)}: ${leftOf(every.filter((p) => p.wall === wall))} pieces`;
    for (const body of all("tbody", wall)) {
      const note = one(".left", body);
      if (note) note.textContent = leftOf(all("tr[id]", body).map((row) => pieces.get(row.id)));
    }
  }
}

byId("clear").addEventListener("click", () => {
  if (!window.confirm("Clear every tick of this plan?")) return;
  kept.cut.clear();
  kept.hung.clear();
  try { [place, ...older].forEach((key) => store.removeItem(key)); } catch { /* nothing was kept */ }
  older = [];
  pieces.forEach(dress);
  count();
  all("input", card).forEach((box) => { box.checked = false; });
  tell("All ticks are cleared.");
});
window.addEventListener("storage", load);

function tell(text) { said.textContent = text; }

// One part of the page at a time; paper has them all.
function show(section) {
  sections.forEach((each) => { each.hidden = each !== section; });
  for (const link of all("nav a")) {
    if (link.hash === `#${section.id}`) link.setAttribute("aria-current", "true");
    else link.removeAttribute("aria-current");
  }
  const view = one(".view", section);
  if (view && !view.dataset.zoomed) fit(view);
}

// Zoom; moving is plain scrolling.
function widest(view) { return Number.parseFloat(one("svg", view).dataset.least); }
function whole(view) {
  const [, , wide, high] = one("svg", view).getAttribute("viewBox").split(" ").map(Number);
  return Math.min(view.clientWidth, (0.7 * window.innerHeight * wide) / high);
}
function zoom(view, width, x = view.clientWidth / 2, y = view.clientHeight / 2) {
  const svg = one("svg", view), old = svg.getBoundingClientRect().width;
  const next = Math.max(whole(view), Math.min(width, 12 * Math.max(view.clientWidth, widest(view))));
  const [left, top] = [view.scrollLeft + x, view.scrollTop + y];
  svg.style.width = `${next}px`;
  view.dataset.zoomed = "yes";
  view.scrollLeft = (left * next) / old - x;
  view.scrollTop = (top * next) / old - y;
}
function fit(view) {
  if (!view.clientWidth) return;
  zoom(view, Math.max(view.clientWidth, widest(view)));
  view.scrollTop = view.scrollHeight;  // hanging begins at the bottom
}
for (const view of all(".view")) {
  const svg = one("svg", view), wide = () => svg.getBoundingClientRect().width;
  svg.dataset.least = svg.style.minWidth;
  svg.style.minWidth = "0";
  const ways = { in: () => zoom(view, wide() * 1.5), out: () => zoom(view, wide() / 1.5), all: () => zoom(view, 0) };
  all("[data-zoom]", view.parentElement).forEach((button) => button.addEventListener("click", ways[button.dataset.zoom]));
  view.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const way = { "+": "in", "=": "in", "-": "out", 0: "all" }[event.key];
    if (way) { event.preventDefault(); ways[way](); }
  });
  const inside = (x, y) => { const box = view.getBoundingClientRect(); return [x - box.left, y - box.top]; };
  view.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    zoom(view, wide() * Math.exp(-event.deltaY / 300), ...inside(event.clientX, event.clientY));
  }, { passive: false });
  let pinch = null;
  const apart = ([a, b]) => Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
  view.addEventListener("touchstart", ({ touches }) => {
    pinch = touches.length === 2 ? { apart: apart(touches), wide: wide() } : null;
  }, { passive: true });
  view.addEventListener("touchmove", (event) => {
    if (!pinch || event.touches.length !== 2) return;
    event.preventDefault();
    const [a, b] = event.touches;
    zoom(view, (pinch.wide * apart(event.touches)) / pinch.apart,
      ...inside((a.clientX + b.clientX) / 2, (a.clientY + b.clientY) / 2));
  }, { passive: false });
  let drag = null;
  view.addEventListener("dragstart", (event) => event.preventDefault());
  view.addEventListener("pointerdown", (event) => {
    if (event.pointerType !== "mouse" || event.button !== 0) return;
    drag = { x: event.clientX, y: event.clientY, left: view.scrollLeft, top: view.scrollTop, far: false };
  });
  window.addEventListener("pointermove", (event) => {
    if (!drag) return;
    const [x, y] = [event.clientX - drag.x, event.clientY - drag.y];
    drag.far ||= Math.hypot(x, y) > 6;
    if (!drag.far) return;
    view.classList.add("dragged");
    view.scrollLeft = drag.left - x;
    view.scrollTop = drag.top - y;
  });
  window.addEventListener("pointerup", () => {
    if (drag?.far) setTimeout(() => view.classList.remove("dragged"));
    drag = null;
  });
  svg.addEventListener("click", (event) => {
    const shape = event.target.closest("a");
    if (!shape) return;
    event.preventDefault();
    if (!view.classList.contains("dragged")) choose(pieces.get(shape.getAttribute("href").slice(1)));
  });
  svg.addEventListener("focusin", (event) => {
    const piece = pieces.get(event.target.closest("a")?.getAttribute("href").slice(1));
    if (piece && event.target.matches(":focus-visible")) choose(piece);
  });
  svg.addEventListener("keydown", (event) => {
    const piece = pieces.get(event.target.closest("a")?.getAttribute("href").slice(1));
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!piece || !way || event.ctrlKey || event.altKey) return;
    event.preventDefault();
    const next = beside(piece, way);
    if (next) next.shape.focus();
  });
}

function beside(piece, [across, down]) {
  const row = piece.row.closest("tbody");
  const own = [...pieces.values()].filter((p) => p.shape && p.wall === piece.wall);
  if (across) return own[own.indexOf(piece) + across];
  const bodies = [...new Set(own.map((p) => p.row.closest("tbody")))];
  const body = bodies[bodies.indexOf(row) - down];
  const middle = (p) => { const box = p.shape.getBoundingClientRect(); return box.left + box.width / 2; };
  const at = middle(piece);
  return own.filter((p) => p.row.closest("tbody") === body)
    .sort((a, b) => Math.abs(middle(a) - at) - Math.abs(middle(b) - at))[0];
}

// The card of the chosen piece or sheet.
function unmark(kind) { all(`.${kind}`).forEach((each) => each.classList.remove(kind)); }

function openCard(...parts) {
  card.replaceChildren(...parts);
  card.hidden = false;
  card.scrollTop = 0;
  document.body.classList.add("carded");
}

function closeCard() {
  card.hidden = true;
  document.body.classList.remove("carded");
  unmark("chosen");
  unmark("of-sheet");
  all("nav .marked").forEach((each) => each.remove());
  const back = chosen?.shape ?? chosen?.row.querySelector("a") ?? lastFocus;
  chosen = null;
  if (back?.isConnected) back.focus({ preventScroll: true });
}

function button(text, act) {
  const made = make("button", text, { type: "button" });
  made.addEventListener("click", act);
  return made;
}

function facts(list) {
  const made = make("dl");
  for (const [what, ...value] of list) {
    const answer = make("dd");
    answer.append(...value);
    made.append(make("dt", what), answer);
  }
  return made;
}

function choose(piece, { into = false } = {}) {
  if (!piece) return;
  unmark("chosen");
  chosen = piece;
  show(piece.wall);
  piece.row.classList.add("chosen");
  if (piece.shape) {
    all("svg a[tabindex='0']", piece.wall).forEach((each) => each.setAttribute("tabindex", "-1"));
    piece.shape.setAttribute("tabindex", "0");
    piece.shape.classList.add("chosen");
  }
  const heads = all("thead th", piece.row.closest("table")).slice(3).map((cell) => cell.textContent);
  const cells = all("td:not(.tick)", piece.row).map((cell) => cell.textContent);
  const own = [...pieces.values()].filter((p) => p.wall === piece.wall && p.isTrim === piece.isTrim);
  const number = own.indexOf(piece);
  const sheet = byId(`sheet-${cells.at(-2)}`);
  const link = make("a", `sheet ${cells.at(-2)}`, { href: `#sheet-${cells.at(-2)}` });
  const spot = all("li", sheet).find((each) => all("a", each).some((a) => a.hash === `#${piece.id}`));
  const list = heads.slice(0, -2).map((head, i) => [head, cells[i]]).filter(([, value]) => value);
  const course = one("th.course", piece.row.closest("tbody"));
  list.push(["cut from", link, `, bar ${cells.at(-1)}, at ${one(".place", spot).textContent}`]);
  list.push(["that sheet", `${one(".what", sheet).textContent}. ${one(".marks", sheet).textContent}`]);
  list.push(["order", `${number + 1} of ${own.length} of the ${piece.isTrim ? "trim" : "siding"} of this ${kindOf(piece.wall)}`]);
  if (course) list.push(["course", one(".at span", course).textContent]);
  const bar = make("div", "", { className: "bar" });
  for (const kind of ["cut", "hung"]) {
    const box = make("input", "", { type: "checkbox", checked: kept[kind].has(piece.id) });
    box.dataset.tick = kind;
    box.addEventListener("change", () => tick(piece, kind, box.checked));
    const label = make("label");
    label.append(box, kind);
    bar.append(label);
  }
  if (number > 0) bar.append(button("Before", () => choose(own[number - 1], { into: true })));
  if (number + 1 < own.length) bar.append(button("Next", () => choose(own[number + 1], { into: true })));
  bar.append(button("Close", closeCard));
  const title = make("h2", piece.label, { tabIndex: -1 });
  title.append(make("small", one("h2", piece.wall).textContent));
  openCard(title, bar, facts(list));
  if (into) title.focus({ preventScroll: true });
  history.replaceState(null, "", `#${encodeURIComponent(piece.label)}`);
  tell(`${piece.label} is shown.`);
  bring(piece);
}

function bring(piece) {
  if (!piece.shape) { piece.row.scrollIntoView({ block: "center" }); return; }
  const view = one(".view", piece.wall), box = piece.shape.getBoundingClientRect();
  const frame = view.getBoundingClientRect();
  const inSight = box.left >= frame.left && box.right <= frame.right && box.top >= frame.top && box.bottom <= frame.bottom;
  if (!inSight) {
    view.scrollLeft += box.left + box.width / 2 - frame.left - frame.width / 2;
    view.scrollTop += box.top + box.height / 2 - frame.top - frame.height / 2;
  }
  const now = piece.shape.getBoundingClientRect(), low = window.innerHeight - card.offsetHeight;
  if (now.top < 8 || now.bottom > low - 8) window.scrollBy(0, (now.top + now.bottom) / 2 - low / 2);
}

function chooseSheet(article) {
  unmark("chosen");
  unmark("of-sheet");
  all("nav .marked").forEach((each) => each.remove());
  chosen = null;
  article.classList.add("chosen");
  const own = [...new Set(all("li a", article).map((a) => pieces.get(a.hash.slice(1))).filter(Boolean))];
  own.forEach((piece) => { piece.row.classList.add("of-sheet"); piece.shape?.classList.add("of-sheet"); });
  const lists = [];
  for (const wall of walls) {
    const here = own.filter((piece) => piece.wall === wall);
    if (!here.length) continue;
    const link = all("nav a").find((each) => each.hash === `#${wall.id}`);
    link.append(make("span", `${here.length} marked`, { className: "marked" }));
    const to = here.flatMap((piece) => [make("a", piece.label, { href: `#${piece.id}` }), " "]);
    lists.push([one("h2", wall).textContent, ...to]);
  }
  const bar = make("div", "", { className: "bar" });
  const first = own[0];
  if (first) bar.append(button("Show on the wall", () => { show(first.wall); bring(first); }));
  bar.append(button("Close", closeCard));
  const title = make("h2", one("h3", article).textContent, { tabIndex: -1 });
  lastFocus = one("h3 a", article);
  openCard(title, bar, make("p", `${one(".what", article).textContent}. ${one(".marks", article).textContent}`), facts(lists));
  title.focus({ preventScroll: true });
  tell(`${title.textContent}: ${own.length} pieces are marked on the walls.`);
}

card.addEventListener("keydown", (event) => { if (event.key === "Escape") closeCard(); });
for (const view of all(".view")) view.addEventListener("keydown", (event) => { if (event.key === "Escape" && !card.hidden) closeCard(); });

// Finding by label, and the page's address.
const same = (text) => text.normalize("NFC").toLocaleUpperCase().replace(/\s+/g, " ").trim();
function named(text) {
  const list = [...pieces.values()];
  return list.find((p) => p.label === text) ?? list.find((p) => same(p.label) === same(text));
}
byId("find").addEventListener("submit", (event) => {
  event.preventDefault();
  const text = wanted.value;
  found.replaceChildren();
  if (!same(text)) { tell("Type the label of a piece."); return; }
  const hit = named(text);
  if (hit) { choose(hit, { into: true }); return; }
  const near = [...pieces.values()].filter((p) => same(p.label).includes(same(text)));
  tell(near.length ? `${near.length} pieces have this in their label.` : "No piece has this label.");
  for (const piece of near.slice(0, 40)) {
    const item = make("li");
    item.append(make("a", piece.label, { href: `#${piece.id}` }));
    found.append(item);
  }
});

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href^='#']");
  if (!link || link.closest("svg") || event.defaultPrevented || event.ctrlKey || event.metaKey) return;
  // A second touch on the same link must act too, though the address stays as it is.
  const id = link.getAttribute("href").slice(1);
  const piece = pieces.get(id), target = byId(id);
  if (piece) { event.preventDefault(); choose(piece, { into: true }); return; }
  if (target?.matches("article")) { event.preventDefault(); history.pushState(null, "", `#${id}`); follow(); }
});

function follow() {
  let text = location.hash.slice(1);
  try { text = decodeURIComponent(text); } catch { /* as it stands */ }
  const target = byId(text), piece = pieces.get(text) ?? named(text);
  if (sections.includes(target)) { show(target); target.scrollIntoView(); }
  else if (piece) choose(piece);
  else if (target?.matches("main article")) {
    if (sections.every((each) => each.hidden || each.contains(target))) show(target.closest("section"));
    else show(sections.find((each) => each.contains(target)));
    chooseSheet(target);
    target.scrollIntoView();
  } else {
    if (!sections.some((each) => !each.hidden) || sections.every((each) => !each.hidden)) show(sections[0]);
    if (text && text !== "main") tell(`No piece is called ${text}.`);
  }
}
window.addEventListener("hashchange", follow);
window.addEventListener("load", () => {
  if (chosen) { bring(chosen); requestAnimationFrame(() => { if (chosen) bring(chosen); }); }
});
load();
follow();
if (!store) tell("This browser keeps no ticks: they are lost when the page is closed.");
else if (older.length && !location.hash) tell("An earlier plan of this job had ticks; this plan is another one and begins without.");
})();
