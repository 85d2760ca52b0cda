// Handles on a drawing, <g class="handle" data-field="lines-3-left">: each moves along its line, by
// hand or by arrow keys, and is another way into its field. The browser moves the handle and says
// how many millimetres from the axis that is, by the scale that the server gave; the curve, the
// figures and the text in the field are the server's answer.
import { ask } from "./live.js";
import { pointIn } from "./svg_point.js";

const form = document.querySelector("form[data-live]");
const over = document.querySelector(".over[data-handles]");
const together = document.querySelector("[data-together]");
// What was moved and is not in its field yet: millimetres by the name of the field.
const moved = new Map();
let held = null;

for (const part of document.querySelectorAll("[data-handles]")) part.hidden = false;

const drawing = () => over.querySelector("svg");
const figure = (name) => Number(drawing().dataset[name]);
const handleOf = (field, where = over) => where.querySelector(`[data-field="${field}"]`);
const unitsAt = (event) => pointIn(drawing(), event);

function placed(handle) {
  const out = Number(handle.dataset.half) / figure("mmPerUnit");
  return figure("axis") + (handle.dataset.side === "left" ? -out : out);
}

function put(handle, half) {
  handle.dataset.half = half;
  handle.setAttribute("aria-valuenow", half);
  handle.setAttribute("transform", `translate(${placed(handle)} ${handle.dataset.y})`);
  moved.set(handle.dataset.field, half);
}

function move(handle, mm) {
  const step = figure("step");
  const most = figure("reach") * figure("mmPerUnit");
  const steps = Math.max(1, Math.round(Math.min(mm, most) / step));
  const half = Number((steps * step).toFixed(4));
  if (half === Number(handle.dataset.half)) return;
  const { field, side } = handle.dataset;
  const other = handleOf(field.replace(side, side === "left" ? "right" : "left"));
  put(handle, half);
  if (together?.checked && other) put(other, half);
  ask(form, 0);
}

over?.addEventListener("pointerdown", (event) => {
  if (!event.target.closest(".handle") || event.button) return;
  // Targets of lines that are near each other overlap: the nearest handle is meant.
  const at = unitsAt(event);
  const distance = (each) => Math.hypot(placed(each) - at.x, Number(each.dataset.y) - at.y);
  const handle = [...over.querySelectorAll(".handle")].reduce((near, each) =>
    distance(each) < distance(near) ? each : near,
  );
  event.preventDefault();
  handle.focus({ preventScroll: true });
  handle.setPointerCapture(event.pointerId);
  held = { handle, pointer: event.pointerId, off: placed(handle) - at.x, start: handle.dataset.half };
});

over?.addEventListener("pointermove", (event) => {
  if (event.pointerId !== held?.pointer) return;
  const right = unitsAt(event).x + held.off - figure("axis");
  move(held.handle, (held.handle.dataset.side === "left" ? -right : right) * figure("mmPerUnit"));
});

for (const end of ["pointerup", "pointercancel"]) {
  over?.addEventListener(end, (event) => {
    if (event.pointerId !== held?.pointer) return;
    // The page was scrolled with this touch: nothing was meant to move.
    if (end === "pointercancel") move(held.handle, Number(held.start));
    // Let go, the drawing may have another scale.
    if (held.handle.dataset.half !== held.start) ask(form, 0);
    held = null;
  });
}

over?.addEventListener("keydown", (event) => {
  const handle = event.target.closest(".handle");
  const outward = handle?.dataset.side === "left" ? "ArrowLeft" : "ArrowRight";
  if (!handle || !event.key.startsWith("Arrow")) return;
  event.preventDefault();
  const by = event.shiftKey ? figure("leap") : figure("step");
  const wider = event.key === outward || event.key === "ArrowUp";
  move(handle, Number(handle.dataset.half) + (wider ? by : -by));
});

// What was moved goes with the form, whether it asks or is sent.
form?.addEventListener("formdata", ({ formData }) => {
  for (const [field, half] of moved) formData.set(field, `${half} mm`);
  if (over && drawing()) formData.set("scale", drawing().dataset.scale);
  if (held) formData.set("still", "");
});

form?.addEventListener("input", ({ target }) => moved.delete(target.name));

form?.addEventListener("live:answer", ({ detail }) => {
  const fresh = detail?.querySelector("svg.handles");
  for (const [field, half] of moved) {
    const said = fresh && handleOf(field, fresh);
    form.elements[field].value = said ? said.dataset.text : `${half} mm`;
    if (!said || Number(said.dataset.half) === half) moved.delete(field);
  }
  if (fresh) renew(fresh);
});

// The handle under a finger, and the one that has the focus, stay the elements that they are.
function renew(fresh) {
  const old = drawing();
  if (!old) return over.append(fresh);
  for (const { name, value } of fresh.attributes) old.setAttribute(name, value);
  for (const handle of old.querySelectorAll(".handle")) {
    if (!handleOf(handle.dataset.field, fresh) && handle !== held?.handle) handle.remove();
  }
  for (const said of fresh.querySelectorAll(".handle")) {
    const handle = handleOf(said.dataset.field);
    if (!handle) old.append(said);
    else {
      handle.lastElementChild.replaceWith(said.lastElementChild);
      for (const { name, value } of said.attributes) {
        if (!moved.has(said.dataset.field)) handle.setAttribute(name, value);
      }
    }
  }
}

// The small pot beside the clay shows when the drawing is out of sight.
new IntersectionObserver(([seen]) => {
  document.querySelector(".plan-bar")?.classList.toggle("away", !seen.isIntersecting);
}).observe(document.querySelector(".plan-board"));
