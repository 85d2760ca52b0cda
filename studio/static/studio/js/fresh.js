// When the last photo has been read, every [data-fresh] part of the page is brought up to date from
// the page as it now stands, so that counts and next steps tell the truth without a reload.
let asked = 0;

document.addEventListener("htmx:afterSwap", () => {
  if (!document.querySelector(".sheet[hx-get]")) freshen();
});

async function freshen() {
  const mine = ++asked;
  let page;
  try {
    const response = await fetch(location.href, { headers: { "X-Requested-With": "fetch" } });
    if (!response.ok || response.redirected) return;
    page = new DOMParser().parseFromString(await response.text(), "text/html");
  } catch {
    // No connection: the page stays as it is until it is loaded again.
    return;
  }
  if (mine !== asked) return;
  for (const part of document.querySelectorAll("[data-fresh]")) {
    const now = page.getElementById(part.id);
    if (!now) {
      part.remove();
      continue;
    }
    part.replaceWith(document.adoptNode(now));
    window.htmx?.process(now); // it may ask again by itself
  }
  for (const line of document.querySelectorAll(".sending .arrived")) line.remove();
}
