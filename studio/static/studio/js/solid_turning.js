// Turning by hand: a finger or the mouse drawn sideways, the arrow keys. It never turns by itself.
// A finger that moves up or down scrolls the page as everywhere (touch-action in the style sheet).
const STEP = 10; // degrees a key
const LOWEST = 5;
const HIGHEST = 75;

export function turnable(view, changed) {
  const { canvas, figure, way } = view;
  const button = figure.querySelector("[data-solid-above]");
  const before = way.down;
  let held = null;

  canvas.tabIndex = 0;
  canvas.setAttribute("role", "slider");
  canvas.setAttribute("aria-label", figure.dataset.label);
  canvas.setAttribute("aria-valuemin", 0);
  canvas.setAttribute("aria-valuemax", 359);
  move(0, 0);

  canvas.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    held = [event.clientX, event.clientY];
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!held) return;
    const [x, y] = held;
    held = [event.clientX, event.clientY];
    // Once across the picture is half a turn. A finger doesn't tilt, for it scrolls.
    const tilt = event.pointerType === "touch" ? 0 : (event.clientY - y) / 3;
    move(((event.clientX - x) / canvas.clientWidth) * 180, tilt);
  });
  for (const name of ["pointerup", "pointercancel", "lostpointercapture"]) {
    canvas.addEventListener(name, () => {
      held = null;
    });
  }
  canvas.addEventListener("keydown", (event) => {
    const steps = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, STEP], ArrowDown: [0, -STEP] };
    const step = event.key === "Home" ? [-way.turn, before - way.down] : steps[event.key];
    if (!step || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    move(...step);
  });
  button?.addEventListener("click", () => {
    const above = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", above);
    move(0, (above ? 60 : before) - way.down);
  });

  function move(turn, down) {
    way.turn = (way.turn + turn + 360) % 360;
    way.down = Math.min(Math.max(way.down + down, LOWEST), HIGHEST);
    const turned = Math.round(way.turn) % 360;
    canvas.setAttribute("aria-valuenow", turned);
    canvas.setAttribute("aria-valuetext", figure.dataset.said.replace("{}", turned));
    changed();
  }
}
