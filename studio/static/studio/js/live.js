// <form data-live="URL" data-live-into="#figures">: while its fields change, the form is posted to
// the URL and the answered fragment shown. The server computes; nothing is worked out here.
import { word } from "./words.js";

const PAUSE_MS = 150;
const forms = new WeakMap();
let unsaved = false;

document.addEventListener("input", (event) => {
  const form = event.target.closest?.("form[data-live]");
  if (!form) return;
  unsaved = true;
  // What was wrong with a line is no longer said once that line is changed.
  const said = event.target.closest("tr")?.previousElementSibling;
  if (said?.matches(".wrong")) said.remove();
  ask(form);
});

document.addEventListener("submit", () => {
  unsaved = false;
});

// Figures that were typed and not saved: the browser asks before they are left behind.
window.addEventListener("beforeunload", (event) => {
  if (unsaved) event.preventDefault();
});

window.addEventListener("online", () => {
  for (const form of document.querySelectorAll("form[data-live]")) {
    if (forms.get(form)?.behind) ask(form, 0);
  }
});

function ask(form, pause = PAUSE_MS) {
  const state = forms.get(form) ?? { asked: 0, timer: 0, flight: null, behind: false };
  forms.set(form, state);
  clearTimeout(state.timer);
  state.timer = setTimeout(() => post(form, state), pause);
}

async function post(form, state) {
  const asked = ++state.asked;
  state.flight?.abort();
  state.flight = new AbortController();
  try {
    const response = await fetch(form.dataset.live, {
      method: "POST",
      body: new FormData(form),
      headers: { "X-Requested-With": "fetch" },
      signal: state.flight.signal,
    });
    const fragment = await response.text();
    // A newer question is under way: its answer counts, not this one.
    if (asked !== state.asked) return;
    if (response.redirected) say(form, "signedOut", state);
    else if (!response.ok) say(form, "unanswered", state);
    else {
      document.querySelector(form.dataset.liveInto)?.replaceChildren(parsed(fragment));
      say(form, "", state);
    }
  } catch (failure) {
    if (failure.name !== "AbortError" && asked === state.asked) say(form, "offline", state);
  }
}

function parsed(fragment) {
  const template = document.createElement("template");
  template.innerHTML = fragment;
  return template.content;
}

function say(form, name, state) {
  state.behind = Boolean(name);
  let line = form.querySelector("[data-live-state]");
  if (!line) {
    line = document.createElement("p");
    line.dataset.liveState = "";
    line.setAttribute("role", "status");
    line.className = "live-state";
    form.append(line);
  }
  line.textContent = name && word(name);
  line.classList.toggle("offline", state.behind);
}
