// <figure data-solid data-address="URL">: the pot in it, a still picture, becomes one that can be
// turned. Nothing is loaded before it comes near the window, nothing changes where WebGL is missing.
const near = new IntersectionObserver((entries) => {
  for (const { isIntersecting, target } of entries) {
    if (!isIntersecting) continue;
    near.unobserve(target);
    show(target);
  }
}, { rootMargin: "200px" });

for (const figure of document.querySelectorAll("[data-solid]")) near.observe(figure);

async function show(figure) {
  try {
    if (!document.createElement("canvas").getContext("webgl2")) return;
    const response = await fetch(figure.dataset.address, { headers: { "X-Requested-With": "fetch" } });
    if (!response.ok || response.redirected) return;
    const shape = await response.json();
    const { SolidView } = await import("./solid_view.js");
    new SolidView(figure).show(shape);
  } catch {
    // No connection, or the drawing surface was refused: the still picture stays.
  }
}
