// A pot on the map of its shelf, <g class="mover">, goes where a finger, the mouse or the arrow keys
// take it. The browser moves it and says how far its middle is from the left and the front; what
// the fields show and whether it fits there is the server's answer. One unit is a millimetre.
import { ask } from "./live.js";
import { pointIn } from "./svg_point.js";

const STEP_MM = 5;
const FINE_MM = 1;
const form = document.querySelector("form[data-live]");
const fields = { left: form?.elements.left_mm, front: form?.elements.front_mm };
// Where it is held, in millimetres, until somebody types a figure.
let at = null;
let held = null;

document.querySelector("[data-drag]").hidden = false;

const mover = () => document.querySelector(".mover");
const drawn = (pot) => ({ x: Number(pot.dataset.x), y: Number(pot.dataset.y) });
const within = (value, most) => Math.min(Math.max(value, -most / 2), most / 2);

function place(pot, x, y) {
  const [wide, deep] = [Number(pot.dataset.left), Number(pot.dataset.front)];
  at = { x: within(x, wide), y: within(y, deep), wide, deep };
  const from = drawn(pot);
  // Paper counts downwards, a shelf towards its back.
  pot.setAttribute("transform", `translate(${at.x - from.x} ${from.y - at.y})`);
  ask(form, 0);
}

document.addEventListener("pointerdown", (event) => {
  const pot = event.target.closest?.(".mover");
  if (!pot || event.button || held) return;
  event.preventDefault();
  pot.focus({ preventScroll: true });
  pot.setPointerCapture(event.pointerId);
  const { x, y } = pointIn(pot.ownerSVGElement, event);
  const now = at ?? drawn(pot);
  held = { pot, pointer: event.pointerId, x: now.x - x, y: now.y + y, from: now };
});

document.addEventListener("pointermove", (event) => {
  if (event.pointerId !== held?.pointer) return;
  const { x, y } = pointIn(held.pot.ownerSVGElement, event);
  place(held.pot, Math.round(held.x + x), Math.round(held.y - y));
});

for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, (event) => {
    if (event.pointerId !== held?.pointer) return;
    if (end === "pointercancel") place(held.pot, held.from.x, held.from.y);
    held = null;
    if (at) ask(form, 0); // let go: the map is drawn anew
  });
}

document.addEventListener("keydown", (event) => {
  const pot = event.target.closest?.(".mover");
  if (!pot || !event.key.startsWith("Arrow")) return;
  event.preventDefault();
  const by = event.shiftKey ? FINE_MM : STEP_MM;
  const now = at ?? drawn(pot);
  const x = { ArrowLeft: -by, ArrowRight: by }[event.key] ?? 0;
  const y = { ArrowDown: -by, ArrowUp: by }[event.key] ?? 0;
  place(pot, now.x + x, now.y + y);
});

// What was dragged goes with the form exactly, whether it asks or is sent.
form?.addEventListener("formdata", ({ formData }) => {
  if (held) formData.set("still", "");
  if (!at) return;
  formData.set("left_mm", `${Number((at.x + at.wide / 2).toFixed(2))} mm`);
  formData.set("front_mm", `${Number((at.y + at.deep / 2).toFixed(2))} mm`);
});

form?.addEventListener("input", ({ target }) => {
  if (target.name === "left_mm" || target.name === "front_mm") at = null;
});

// The map of the answer replaces the drawn one: the pot keeps the focus, and whether it fits.
form?.addEventListener("live:answer", ({ detail }) => {
  const focused = document.activeElement?.matches(".mover");
  const wrong = detail?.querySelector("[data-part=move-said] .needs-person");
  mover()?.classList.toggle("wrong", Boolean(wrong));
  const said = detail?.querySelector("[data-left]")?.dataset;
  if (at && said) [fields.left.value, fields.front.value] = [said.left, said.front];
  if (detail) queueMicrotask(() => focused && mover()?.focus({ preventScroll: true }));
});
