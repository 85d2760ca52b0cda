// <figure data-solid data-address="URL">: the pot in it, a still picture, becomes one that can be
// turned. Nothing is loaded before it comes near the window, nothing changes where WebGL is missing.
//
// When the form has changed: document.dispatchEvent(new CustomEvent("form-changed")) and every
// figure asks its address again; with { detail: { shape } }, as that address answers, it is shown
// at once. A figure that was put into the page later is found by the same event, or htmx's.
const shown = new WeakMap();

const near = new IntersectionObserver((entries) => {
  for (const { isIntersecting, target } of entries) {
    if (!isIntersecting) continue;
    near.unobserve(target);
    show(target);
  }
}, { rootMargin: "200px" });

function find() {
  for (const figure of document.querySelectorAll("[data-solid]")) {
    if (shown.has(figure)) continue;
    shown.set(figure, { asked: 0, view: null });
    near.observe(figure);
  }
}

async function show(figure, given) {
  const state = shown.get(figure);
  const asked = ++state.asked;
  let shape = given;
  try {
    if (!document.createElement("canvas").getContext("webgl2")) return;
    shape ??= await answer(figure.dataset.address);
    const { SolidView } = await import("./solid_view.js");
    // A newer form is on its way, or the form can't be computed as it stands.
    if (asked !== state.asked || !shape) return;
    state.view ??= new SolidView(figure);
    state.view.show(shape);
  } catch {
    // No connection, or the drawing surface was refused: the still picture stays.
  }
}

async function answer(address) {
  const response = await fetch(address, { headers: { "X-Requested-With": "fetch" } });
  return response.ok && !response.redirected ? response.json() : null;
}

document.addEventListener("form-changed", ({ detail }) => {
  for (const figure of document.querySelectorAll("[data-solid]")) {
    if (shown.get(figure)?.asked) show(figure, detail?.shape);
  }
  find();
});
document.addEventListener("htmx:afterSwap", find);
find();
