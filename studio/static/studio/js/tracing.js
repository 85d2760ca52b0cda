// Over the photo of a drawing: handles that move along their height lines (.traced), and points that
// are tapped (.taps). Both are other ways into fields. The server says where paper and picture meet
// (photo_plane.js); what is measured from it is worked out there.
import { toPaper, toPhoto } from "./photo_plane.js";
import { pointIn } from "./svg_point.js";

const NEAR_PX = 44;
const LENS_PX = 26; // of the screen, to each side of what is shown larger
let held = null;

const photoOf = (svg) => svg.closest("[data-over-photo]").querySelector("img");

document.addEventListener("pointerdown", (event) => {
  const svg = event.target.closest?.("svg.traced, svg.taps");
  if (!svg || event.button || held) return;
  held = svg.matches(".taps") ? tapped(svg, event) : nearest(svg, ".handle", event);
  if (!held) return;
  svg.setPointerCapture(event.pointerId);
  if (svg.matches(".taps")) follow(event);
});
document.addEventListener("pointermove", (event) => held && follow(event));
document.addEventListener("pointerup", (event) => {
  if (!held) return;
  follow(event);
  letGo(true);
});
// The page is scrolled instead: what was touched stays where it was.
document.addEventListener("pointercancel", () => held && letGo(false));

function letGo(said) {
  const { svg, moved, fields } = held;
  lens(svg, null);
  held = null;
  if (said && moved) {
    for (const field of fields) field.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

function follow(event) {
  const at = pixels(held.svg, event);
  held.moved = true;
  if (held.mark.matches(".tap")) {
    place(held.mark, at);
    held.fields[0].value = at[0].toFixed(1);
    held.fields[1].value = at[1].toFixed(1);
    lens(held.svg, at, event);
  } else {
    const { sign, height } = held.mark.dataset;
    const half = Math.max(0, Number(sign) * toPaper(held.svg, at)[0]);
    const [x, y] = toPhoto(held.svg, [Number(sign) * half, Number(height)]);
    held.mark.setAttribute("cx", x);
    held.mark.setAttribute("cy", y);
    held.mark.classList.remove("unplaced");
    held.fields[0].value = typed(half, held.svg.dataset.unit);
    lens(held.svg, [x, y], event);
  }
}

// As a ruler in the studio's unit shows it.
function typed(mm, unit) {
  if (unit === "mm") return String(Math.round(mm));
  if (unit === "cm") return (mm / 10).toFixed(1);
  const sixteenths = Math.round((mm / 25.4) * 16);
  const over = sixteenths % 16;
  return `${Math.floor(sixteenths / 16)}${over ? ` ${over}/16` : ""}`;
}

// As it stands on the screen: a tapped mark carries where it is in its transform.
function nearest(svg, marks, event) {
  let best = null;
  for (const mark of svg.querySelectorAll(marks)) {
    const box = (mark.querySelector(".ring") ?? mark).getBoundingClientRect();
    const off = Math.hypot(
      box.x + box.width / 2 - event.clientX,
      box.y + box.height / 2 - event.clientY,
    );
    if (off < NEAR_PX && (!best || off < best.off)) best = { mark, off };
  }
  return best && holding(svg, best.mark);
}

// One after the other is placed; when all are, the nearest one is moved.
function tapped(svg, event) {
  const waiting = svg.querySelector(".tap[hidden]");
  if (event.target.closest(".tap") || !waiting) return nearest(svg, ".tap:not([hidden])", event);
  waiting.removeAttribute("hidden");
  return holding(svg, waiting);
}

function holding(svg, mark) {
  const names = [mark.dataset.field, mark.dataset.x, mark.dataset.y];
  const fields = names.filter(Boolean).map((name) => document.getElementById(name));
  return fields.every(Boolean) && fields.length ? { svg, mark, fields, moved: false } : null;
}

function place(mark, [x, y]) {
  const each = pixelsEach(mark.ownerSVGElement);
  mark.setAttribute("transform", `translate(${x} ${y}) scale(${each})`);
}

// Points that are in their fields already, and what is typed there.
function placeAll() {
  for (const mark of document.querySelectorAll("svg.taps .tap")) {
    const { fields } = holding(mark.ownerSVGElement, mark) ?? { fields: [] };
    if (fields.length !== 2 || fields.some((field) => !field.value)) continue;
    mark.removeAttribute("hidden");
    place(mark, fields.map((field) => Number(field.value)));
  }
}
document.addEventListener("input", (event) => {
  if (document.querySelector("svg.taps") && event.target.matches("input[type=number]")) placeAll();
});
window.addEventListener("load", placeAll);

// Within the picture, in its pixels.
function pixels(svg, event) {
  const { x, y } = pointIn(svg, event);
  const { width, height } = svg.viewBox.baseVal;
  return [Math.min(Math.max(x, 0), width), Math.min(Math.max(y, 0), height)];
}

const pixelsEach = (svg) => svg.viewBox.baseVal.width / svg.getBoundingClientRect().width;

// What is under the finger, larger, in the corner that the finger leaves free.
function lens(svg, at, event) {
  const figure = svg.closest("[data-over-photo]");
  let glass = figure.querySelector("canvas");
  if (!glass) {
    glass = document.createElement("canvas");
    glass.width = glass.height = 260;
    glass.className = "lens";
    figure.append(glass);
  }
  glass.hidden = !at;
  if (!at) return;
  const box = figure.getBoundingClientRect();
  glass.classList.toggle("right", event.clientX - box.left < box.width / 2);
  const half = LENS_PX * pixelsEach(svg);
  const pen = glass.getContext("2d");
  pen.clearRect(0, 0, 260, 260);
  pen.drawImage(photoOf(svg), at[0] - half, at[1] - half, 2 * half, 2 * half, 0, 0, 260, 260);
  pen.strokeStyle = "#1F4E8C";
  pen.lineWidth = 2;
  for (const [x0, y0, x1, y1] of [[130, 0, 130, 112], [130, 148, 130, 260], [0, 130, 112, 130], [148, 130, 260, 130]]) {
    pen.beginPath();
    pen.moveTo(x0, y0);
    pen.lineTo(x1, y1);
    pen.stroke();
  }
}
