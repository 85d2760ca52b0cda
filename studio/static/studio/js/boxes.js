// Boxes over the photo of a sheet (svg.boxes): picked by a tap, dragged by their corners, changed by
// the buttons beside them. Every change is posted at once as the page's own form would post it, with
// the edition that it changes; the server answers what stands then, and that is what is shown.
import { moved, joined, middle, resized, smallestAt, split, usual } from "./boxes_sums.js";
import { pointIn } from "./svg_point.js";

const SVG = "http://www.w3.org/2000/svg";
const HANDLE_PX = 9; // of the screen, as those below
const REACH_PX = 24;
const SLIP_PX = 8;
const LETTER_PX = 18;
const AGAIN_MS = 4000;
const CORNERS = [[0, 0], [1, 0], [1, 1], [0, 1]];

let picked = new Set();
let before = [];
let held = null;
let wanted = null; // boxes, and the keys of those to be split where their drawings part
let flying = false;
let taking = false;
let timer = 0;

const overlay = () => document.querySelector("svg.boxes[data-open]");
const tools = () => document.querySelector("[data-box-tools]");
const each = (svg) => svg.viewBox.baseVal.width / svg.getBoundingClientRect().width;
const within = (svg) => [svg.viewBox.baseVal.width, svg.viewBox.baseVal.height];
const boxOf = (mark) => mark.dataset.box.split(" ").map(Number);
const boxesOf = (svg) => [...svg.querySelectorAll(".box")].map(boxOf);
const key = (box) => box.join(" ");

function start() {
  const svg = overlay();
  if (!svg) return;
  tools().hidden = false;
  show(svg);
}
start();
document.addEventListener("htmx:afterSwap", start);
window.addEventListener("resize", () => overlay() && show(overlay()));

// What is drawn, from a list of boxes or as it is.
function draw(svg, boxes) {
  const focus = document.activeElement?.closest?.(".box")?.dataset.box;
  svg.replaceChildren(
    ...boxes.map((box, n) => {
      const mark = made("g", { class: "box", "data-box": key(box) });
      const [x, y, width, height] = box;
      const number = made("text", { x, y, dx: ".3em", dy: "1.1em" });
      number.textContent = n + 1;
      mark.append(made("rect", { x, y, width, height }), number);
      return mark;
    }),
  );
  show(svg);
  if (focus) svg.querySelector(`[data-box="${focus}"]`)?.focus();
}

function made(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

function show(svg) {
  const px = each(svg);
  svg.querySelector(".corners")?.remove();
  svg.querySelectorAll(".box").forEach((mark, n) => {
    const is = picked.has(mark.dataset.box);
    mark.classList.toggle("picked", is);
    mark.classList.toggle("alone", is && picked.size === 1);
    mark.setAttribute("role", "checkbox");
    mark.setAttribute("tabindex", "0");
    mark.setAttribute("aria-checked", String(is));
    mark.setAttribute("aria-label", `${tools().dataset.boxName} ${n + 1}`);
    mark.querySelector("text").setAttribute("font-size", LETTER_PX * px);
  });
  const alone = svg.querySelector(".box.alone");
  if (alone) svg.append(corners(boxOf(alone), px));
  const [some, several] = [picked.size > 0, picked.size > 1];
  const may = { add: true, remove: some, join: several, split: some, undo: before.length > 0 };
  for (const button of tools().querySelectorAll("[data-do]")) {
    button.disabled = !may[button.dataset.do];
  }
}

function corners([x, y, width, height], px) {
  const group = made("g", { class: "corners" });
  for (const [right, foot] of CORNERS) {
    const at = { cx: x + right * width, cy: y + foot * height };
    group.append(made("circle", { class: "reach", r: REACH_PX * px, ...at }));
    group.append(made("circle", { class: "handle", r: HANDLE_PX * px, ...at }));
  }
  return group;
}

function toggle(svg, box) {
  if (!box) picked.clear();
  else if (!picked.delete(key(box))) picked.add(key(box));
  show(svg);
}

function change(boxes, now, kept = { boxes }) {
  const svg = overlay();
  before.push(held?.from ?? boxesOf(svg));
  picked = new Set(now.map(key));
  draw(svg, boxes);
  keep(kept);
}

// A finger on the picture: a tap picks, a drag of the one that is picked moves or stretches it,
// anything else scrolls the page.
document.addEventListener("pointerdown", (event) => {
  const svg = event.target.closest?.("svg.boxes[data-open]");
  if (!svg || event.button || held) return;
  const at = place(svg, event);
  const [box] = picked.size === 1 ? [...picked].map((each) => each.split(" ").map(Number)) : [];
  const corner = box && cornerAt(box, at, REACH_PX * each(svg));
  const inside = box && smallestAt([box], at);
  const grips = Boolean(corner || inside);
  const screen = [event.clientX, event.clientY];
  held = { svg, at, box, corner, grips, screen, from: boxesOf(svg), finger: event.pointerId, slipped: false };
  if (held.grips) svg.setPointerCapture(event.pointerId);
});

document.addEventListener("pointermove", (event) => {
  if (held?.finger !== event.pointerId) return;
  const off = Math.hypot(event.clientX - held.screen[0], event.clientY - held.screen[1]);
  held.slipped ||= off > SLIP_PX;
  if (!held.grips || !held.slipped) return;
  const { svg, box, corner, from } = held;
  const to = place(svg, event);
  const by = [to[0] - held.at[0], to[1] - held.at[1]];
  held.now = corner ? resized(box, corner, by, within(svg)) : moved(box, by, within(svg));
  picked = new Set([key(held.now)]);
  draw(svg, from.map((each) => (key(each) === key(box) ? held.now : each)));
});

document.addEventListener("pointerup", (event) => {
  if (held?.finger !== event.pointerId) return;
  const { svg, now, from, slipped } = held;
  if (now) change(boxesOf(svg), [now]);
  else if (!slipped) toggle(svg, smallestAt(from, place(svg, event)));
  held = null;
});

document.addEventListener("pointercancel", (event) => {
  if (held?.finger !== event.pointerId) return;
  if (held.now) {
    picked = new Set([key(held.box)]);
    draw(held.svg, held.from);
  }
  held = null;
});

document.addEventListener("keydown", (event) => {
  const mark = event.target.closest?.("svg.boxes[data-open] .box");
  if (!mark || (event.key !== " " && event.key !== "Enter")) return;
  event.preventDefault();
  toggle(mark.ownerSVGElement, boxOf(mark));
});

function place(svg, event) {
  const { x, y } = pointIn(svg, event);
  return [x, y];
}

function cornerAt([x, y, width, height], at, reach) {
  const off = ([right, foot]) => Math.hypot(x + right * width - at[0], y + foot * height - at[1]);
  const nearest = [...CORNERS].sort((a, b) => off(a) - off(b))[0];
  return off(nearest) < reach ? nearest : null;
}

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-do]");
  const svg = overlay();
  if (!button || !svg) return;
  const all = boxesOf(svg);
  const [theirs, others] = [true, false].map((is) => all.filter((each) => picked.has(key(each)) === is));
  if (button.dataset.do === "undo") {
    const last = before.pop();
    if (!last) return;
    picked.clear();
    draw(svg, last);
    keep({ boxes: last });
  } else if (button.dataset.do === "add") {
    const box = middle(usual(all, within(svg)), seen(svg), all, within(svg));
    change([...all, box], [box]);
  } else if (button.dataset.do === "remove") {
    change(others, []);
  } else if (button.dataset.do === "join") {
    const box = joined(theirs);
    change([...others, box], [box]);
  } else {
    // Halves are shown until the server has seen where the drawings part.
    const halves = theirs.flatMap((each) => split(each, within(svg)));
    change([...others, ...halves], [], { boxes: all, split: theirs.map(key) });
  }
});

// The part of the picture that is on the screen, in its pixels.
function seen(svg) {
  const box = svg.getBoundingClientRect();
  const top = Math.max(0, -box.top);
  const foot = Math.min(box.height, window.innerHeight - box.top);
  return [0, top, box.width, Math.max(foot - top, 0)].map((side) => side * each(svg));
}

// One post at a time; what changed meanwhile is posted next, whole.
function keep(kept) {
  wanted = kept;
  if (!flying) send();
}

async function send() {
  clearTimeout(timer);
  flying = true;
  while (wanted) {
    const kept = wanted;
    wanted = null;
    say(tools().dataset.keeping);
    const answer = await post(kept);
    if (!answer) {
      wanted ??= kept;
      say(tools().dataset.unkept, true);
      timer = setTimeout(() => wanted && send(), AGAIN_MS);
      break;
    }
    if (answer.status === 403 || answer.redirected) {
      say(tools().dataset.signedOut, true);
      wanted ??= kept;
      break;
    }
    if (!answer.said.ok) {
      wanted = null;
      picked.clear();
      before = [];
    }
    lay(answer.said.html, wanted);
    say(answer.said.ok ? tools().dataset.kept : answer.said.message, !answer.said.ok);
    if (!answer.said.ok) taking = false;
  }
  flying = false;
  if (taking && !wanted) {
    taking = false;
    document.querySelector("form[data-take]")?.requestSubmit();
  }
}

window.addEventListener("online", () => wanted && !flying && send());
window.addEventListener("beforeunload", (event) => {
  if (wanted) event.preventDefault();
});

async function post({ boxes, split: parted = [] }) {
  const form = document.querySelector("form[data-boxes]");
  const fields = new URLSearchParams({
    csrfmiddlewaretoken: form.elements.csrfmiddlewaretoken.value,
    edition: overlay().dataset.edition,
    "box-TOTAL_FORMS": boxes.length,
    "box-INITIAL_FORMS": 0,
  });
  boxes.forEach((box, n) => {
    ["x", "y", "width", "height"].forEach((name, k) => fields.set(`box-${n}-${name}`, box[k]));
    if (parted.includes(key(box))) fields.set(`box-${n}-split`, "on");
  });
  try {
    const response = await fetch(form.action, {
      method: "POST",
      body: fields,
      headers: { "X-Requested-With": "fetch", Accept: "application/json" },
    });
    const { status, redirected } = response;
    if (status === 403 || redirected) return { status, redirected };
    const said = await response.json();
    return typeof said.html === "string" ? { status, redirected, said } : null;
  } catch {
    return null; // no connection, or a page that isn't ours
  }
}

// What stands now; while more is waiting to be kept, only which edition it changes.
function lay(html, more) {
  const parts = new DOMParser().parseFromString(html, "text/html");
  if (more) {
    overlay().dataset.edition = parts.querySelector("svg.boxes").dataset.edition;
    return;
  }
  const focus = document.activeElement?.closest?.(".box")?.dataset.box;
  const open = document.querySelector("[data-part=said] details")?.open;
  for (const part of parts.querySelectorAll("[data-part]")) {
    document
      .querySelector(`[data-part="${part.dataset.part}"]`)
      .replaceChildren(...[...part.childNodes].map((node) => document.adoptNode(node)));
  }
  const numbers = document.querySelector("[data-part=said] details");
  if (numbers && open) numbers.open = true;
  const svg = overlay();
  if (!svg) return location.reload(); // taken in another window
  const there = new Set(boxesOf(svg).map(key));
  picked = new Set([...picked].filter((each) => there.has(each)));
  show(svg);
  if (focus) svg.querySelector(`[data-box="${focus}"]`)?.focus();
}

function say(text, wrong = false) {
  const state = tools()?.querySelector(".live-state");
  if (!state) return;
  state.textContent = text;
  state.classList.toggle("offline", wrong);
}

// What was changed last is kept before it is taken.
document.addEventListener("submit", (event) => {
  if (!event.target.matches?.("form[data-take]") || (!flying && !wanted)) return;
  event.preventDefault();
  taking = true;
  if (!flying) send();
});
