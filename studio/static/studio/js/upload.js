// <form data-upload data-upload-into="#list"> with a file input: each file by its own request, each
// with its own line, progress and reason; one that fails leaves the others alone. With
// data-upload-shown what arrives in the list is brought into sight.
import { word } from "./words.js";

const AT_ONCE = 2;

document.addEventListener("submit", (event) => {
  const form = event.target.closest("form[data-upload]");
  const input = form?.querySelector("input[type=file]");
  if (!input?.files.length) return;
  event.preventDefault();
  const status = statusList(form);
  const waiting = [...input.files].map((file) => {
    const line = newLine(file.name);
    status.append(line.item);
    return { file, line, fields: fieldsOf(form, input, file) };
  });
  input.value = "";
  sendAll(form, waiting);
});

async function sendAll(form, waiting) {
  const button = form.querySelector("button[type=submit], button:not([type])");
  if (button) button.disabled = true;
  const worker = async () => {
    for (let next = waiting.shift(); next; next = waiting.shift()) await deliver(form, next);
  };
  await Promise.all(Array.from({ length: AT_ONCE }, worker));
  if (button) button.disabled = false;
}

async function deliver(form, upload) {
  const { line } = upload;
  line.begin();
  const answer = await send(form.action, upload.fields, line.progress);
  if (answer.ok) {
    line.finish();
    const list = document.querySelector(form.dataset.uploadInto);
    list?.insertAdjacentHTML("beforeend", answer.html);
    // What didn't come through htmx it doesn't know: without this no sheet asks whether it is read.
    if (list) window.htmx?.process(list);
    if ("uploadShown" in form.dataset) list?.lastElementChild?.scrollIntoView({ block: "center" });
    form.dispatchEvent(new CustomEvent("upload:arrived", { bubbles: true }));
  } else {
    line.fail(answer.message, () => deliver(form, upload));
  }
}

function send(url, fields, progress) {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open("POST", url);
    request.setRequestHeader("X-Requested-With", "fetch");
    request.setRequestHeader("Accept", "application/json");
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable) progress(event.loaded / event.total);
    });
    request.addEventListener("load", () => resolve(answerOf(request)));
    request.addEventListener("error", () => resolve({ ok: false, message: word("unsent") }));
    request.addEventListener("timeout", () => resolve({ ok: false, message: word("unsent") }));
    request.timeout = 180_000;
    request.send(fields);
  });
}

function answerOf(request) {
  try {
    const answer = JSON.parse(request.responseText);
    if (typeof answer.ok === "boolean") return answer;
  } catch {
    // Not our JSON: a sign-in page, a proxy's page, a broken server.
  }
  if (request.status === 413) return { ok: false, message: word("large") };
  const signedOut = request.status === 200 || request.status === 403;
  return { ok: false, message: word(signedOut ? "signedOut" : "broken") };
}

function fieldsOf(form, input, file) {
  const fields = new FormData(form);
  fields.delete(input.name);
  fields.append(input.name, file, file.name);
  return fields;
}

function statusList(form) {
  let list = form.querySelector(".sending");
  if (!list) {
    list = document.createElement("ul");
    list.className = "sending";
    list.setAttribute("role", "list");
    form.append(list);
  }
  return list;
}

function newLine(name) {
  const item = document.createElement("li");
  const label = document.createElement("span");
  const state = document.createElement("span");
  const bar = document.createElement("progress");
  label.className = "file-name";
  label.textContent = name;
  state.className = "state";
  state.setAttribute("role", "status");
  state.textContent = word("waiting");
  bar.max = 1;
  bar.value = 0;
  bar.setAttribute("aria-label", name);
  item.append(label, state, bar);
  const show = (text, failed) => {
    state.textContent = text;
    item.classList.toggle("failed", failed);
  };
  return {
    item,
    begin() {
      item.querySelector("button")?.remove();
      bar.value = 0;
      bar.hidden = false;
      show(word("sending"), false);
    },
    progress(share) {
      bar.value = share;
      if (share === 1) show(word("checking"), false);
    },
    finish() {
      bar.hidden = true;
      item.classList.add("arrived");
      show(word("arrived"), false);
    },
    fail(message, again) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "quiet small";
      button.textContent = word("again");
      button.addEventListener("click", again, { once: true });
      bar.hidden = true;
      show(message, true);
      item.append(button);
    },
  };
}
