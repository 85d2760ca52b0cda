// <form data-draft="URL" data-unkept="NAME">: marking one pot. What is chosen and typed is kept while
// it is being chosen and typed; what the service has not answered for when the page is left waits in
// this window under NAME. Digits choose levels, n keeps and goes on. All works without this file.
const SOON_MS = 300;
const TYPING_MS = 1500;
const form = document.querySelector("form[data-draft]");
let flight = null;
let timer = 0;
let behind = false;
let leaving = false;
let stopped = false;

if (form) {
  form.addEventListener("input", (event) => later(typing(event.target) ? TYPING_MS : SOON_MS));
  form.addEventListener("submit", send);
  document.addEventListener("keydown", pressed);
  // Before the next page is asked for, so that it knows; a phone may skip this and only hide.
  window.addEventListener("beforeunload", () => {
    clearTimeout(timer);
    if (behind && !leaving && !stopped) keep();
  });
  window.addEventListener("pagehide", () => {
    if (leaving || stopped) return;
    if (behind || flight) {
      const unkept = [...body()].filter(([name]) => name !== "csrfmiddlewaretoken");
      sessionStorage.setItem(form.dataset.unkept, JSON.stringify(unkept));
    }
    if (behind && !flight) navigator.sendBeacon(form.dataset.draft, body());
  });
  takeUp();
  // Out of the browser's own memory the form would be of an edition that is gone.
  window.addEventListener("pageshow", (event) => event.persisted && location.reload());
  window.addEventListener("online", () => behind && later(0));
  rememberKeys(document.querySelector("[data-keys]"));
}

// With its edition: what came in after all says the same, and another change is told apart.
function takeUp() {
  const unkept = sessionStorage.getItem(form.dataset.unkept);
  sessionStorage.removeItem(form.dataset.unkept);
  if (!unkept) return;
  for (const [name, value] of JSON.parse(unkept)) {
    const field = form.elements[name];
    if (field) field.value = value;
  }
  later(0);
}

function later(pause) {
  behind = true;
  clearTimeout(timer);
  if (!stopped) timer = setTimeout(keep, pause);
}

function keep() {
  if (flight) return;
  behind = false;
  flight = post().finally(() => {
    flight = null;
    if (behind) later(SOON_MS);
  });
}

async function post() {
  try {
    const response = await fetch(form.dataset.draft, {
      method: "POST",
      body: body(),
      headers: { "X-Requested-With": "fetch" },
      keepalive: true,
    });
    if (response.redirected) return say(form.dataset.signedOut, true);
    const said = await response.json();
    if (said.ok) form.elements.edition.value = said.edition;
    // Somebody else changed it: from here on only the button keeps, and shows both.
    stopped = response.status === 409;
    say(said.message, !said.ok);
  } catch {
    behind = true;
    say(form.dataset.offline, true);
  }
}

function body() {
  const data = new FormData(form);
  data.delete("once");
  return data;
}

function say(text, wrong) {
  const line = form.querySelector("[data-state]");
  line.textContent = text;
  line.classList.toggle("offline", wrong);
}

// The button waits for what is on its way, so that it names the newest edition.
async function send(event) {
  clearTimeout(timer);
  leaving = true;
  if (!flight) return;
  event.preventDefault();
  const button = event.submitter;
  await flight;
  clearTimeout(timer);
  form.requestSubmit(button);
}

function typing(element) {
  return element.matches("textarea, select, input:not([type=radio], [type=checkbox])");
}

function pressed(event) {
  const off = document.querySelector("[data-keys]")?.checked === false;
  if (off || event.ctrlKey || event.metaKey || event.altKey || typing(event.target)) return;
  if (event.key === "n") {
    event.preventDefault();
    form.requestSubmit(form.querySelector("[name=next]"));
  } else if (/^[0-9]$/.test(event.key)) {
    choose(event);
  }
}

// In the criterion that has the focus, else in the first that is open; then on to the next one.
function choose(event) {
  const all = [...form.querySelectorAll("[data-criterion]")];
  const open = all.find((each) => each.querySelector("input:checked")?.value === "");
  const here = document.activeElement.closest("[data-criterion]") ?? open ?? all[0];
  const level = here?.querySelector(`[data-digit="${event.key}"]`);
  if (!level) return;
  event.preventDefault();
  level.click();
  const next = all[all.indexOf(here) + 1];
  (next?.querySelector("input:checked") ?? level).focus();
}

function rememberKeys(box) {
  if (!box) return;
  box.closest("[hidden]")?.removeAttribute("hidden");
  box.checked = localStorage.getItem("marking-keys") !== "off";
  box.addEventListener("change", () => {
    localStorage.setItem("marking-keys", box.checked ? "on" : "off");
  });
}
