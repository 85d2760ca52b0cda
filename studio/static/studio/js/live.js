// <form data-live="URL" data-live-into="#figures">: while its fields change, the form is posted to
// the URL and the answered fragment shown. The server computes; nothing is worked out here. A
// fragment of [data-part]s takes the place of those parts, and what it leaves out stays as it is.
// One question at a time: the next one is asked with what the form holds when the answer is there.
import { word } from "./words.js";

const PAUSE_MS = 150;
const PATIENCE_MS = 15000;
const forms = new WeakMap();
let unsaved = false;

document.addEventListener("input", (event) => {
  const form = event.target.closest?.("form[data-live]");
  if (!form) return;
  // What was wrong with a line is no longer said once that line is changed.
  const said = event.target.closest("tr")?.previousElementSibling;
  if (said?.matches(".wrong")) {
    said.remove();
    for (const link of document.querySelectorAll("[data-error-summary] a")) {
      if (event.target.closest("tr").querySelector(link.hash)) link.closest("li").remove();
    }
  }
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

export function ask(form, pause = PAUSE_MS) {
  unsaved = true;
  const state = forms.get(form) ?? { timer: 0, flying: false, again: false, behind: false };
  forms.set(form, state);
  clearTimeout(state.timer);
  state.timer = setTimeout(() => post(form, state), pause);
}

async function post(form, state) {
  state.again = state.flying;
  if (state.flying) return;
  state.flying = true;
  try {
    const response = await fetch(form.dataset.live, {
      method: "POST",
      body: new URLSearchParams(new FormData(form)),
      headers: { "X-Requested-With": "fetch" },
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    const text = await response.text();
    const failed = response.redirected ? "signedOut" : response.ok ? "" : "unanswered";
    show(form, failed ? null : parsed(text));
    say(form, failed, state);
  } catch {
    show(form, null);
    say(form, "offline", state);
  }
  state.flying = false;
  if (state.again) post(form, state);
}

function parsed(fragment) {
  const template = document.createElement("template");
  template.innerHTML = fragment;
  return template.content;
}

function show(form, fragment) {
  form.dispatchEvent(new CustomEvent("live:answer", { bubbles: true, detail: fragment }));
  const parts = fragment?.querySelectorAll("[data-part]") ?? [];
  for (const part of parts) {
    const old = document.querySelector(`[data-part="${part.dataset.part}"]`);
    if (!old || old.innerHTML === part.innerHTML) continue;
    for (const { id } of old.querySelectorAll("details[open]")) {
      part.querySelector(`#${id}`)?.setAttribute("open", "");
    }
    old.replaceChildren(...part.childNodes);
  }
  if (fragment && !parts.length) {
    document.querySelector(form.dataset.liveInto)?.replaceChildren(fragment);
  }
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
