// Sends a page's form so that a missing signal loses nothing: the page stays as it is and says so.
// Only a save that succeeded and a send that failed are handled here; every other answer is the
// server's own page, fetched by sending the form as the browser would.
//
// On the form, for other scripts: "laidtrue:sending" before it is sent (whatever they do to its
// fields is sent), "laidtrue:saved" after it was saved, with the server's answer as detail; a
// promise put into detail.wait is awaited before the page that follows is opened.

import { addressOf, forget, keep } from "./drafts.js";

const LONGEST_MS = 30000;
const SAID = "said";

const line = document.getElementById("told");

function tell(text) {
  line.textContent = text;
  line.hidden = !text;
  if (text) line.scrollIntoView({ block: "nearest" });
}

function tellWhatWasSaid() {
  try {
    const text = sessionStorage.getItem(SAID);
    sessionStorage.removeItem(SAID);
    if (text) tell(text);
  } catch {
    // Without storage the page that follows shows what was saved all the same.
  }
}

function stamp(form, submitter) {
  const now = new Date().toISOString();
  const noted = form.elements.namedItem("noted_at");
  if (noted && !noted.value) noted.value = now;
  const phone = form.elements.namedItem("phone_now");
  if (phone) phone.value = now;
  form.querySelectorAll("[data-submitter]").forEach((field) => field.remove());
  if (submitter?.name) {
    const field = document.createElement("input");
    Object.assign(field, { type: "hidden", name: submitter.name, value: submitter.value });
    field.dataset.submitter = "";
    form.append(field);
  }
}

function markBusy(form, busy) {
  form.dataset.busy = busy ? "yes" : "";
  for (const button of document.querySelectorAll(`button[type="submit"][form="${form.id}"]`)) {
    button.setAttribute("aria-disabled", String(busy));
  }
}

async function send(form) {
  const response = await fetch(addressOf(form), {
    method: "POST",
    body: new FormData(form),
    headers: { Accept: "application/json" },
    signal: AbortSignal.timeout ? AbortSignal.timeout(LONGEST_MS) : undefined,
  });
  return response.ok ? response.json() : { saved: false };
}

async function follow(form, answer) {
  forget(answer.entry);
  const detail = { ...answer, wait: null };
  form.dispatchEvent(new CustomEvent("laidtrue:saved", { bubbles: true, detail }));
  await detail.wait;
  try {
    sessionStorage.setItem(SAID, answer.said);
  } catch {
    // The page that follows shows what was saved all the same.
  }
  location.assign(answer.then);
}

async function onSubmit(event) {
  const form = event.target;
  event.preventDefault();
  if (form.dataset.busy) return; // touched twice
  form.dispatchEvent(new CustomEvent("laidtrue:sending", { bubbles: true }));
  stamp(form, event.submitter);
  keep(form);
  markBusy(form, true);
  tell("Saving…");
  try {
    const answer = await send(form);
    if (answer.saved) await follow(form, answer);
    else HTMLFormElement.prototype.submit.call(form);
  } catch {
    tell("No signal: this is not saved yet. It is kept on this phone; save it again when there is one.");
    markBusy(form, false);
  }
}

tellWhatWasSaid();
for (const form of document.querySelectorAll("form[data-draft]")) {
  form.addEventListener("submit", onSubmit);
}
window.addEventListener("pageshow", (event) => {
  if (!event.persisted) return; // back from the browser's own memory: the page may be sent again
  tell("");
  for (const form of document.querySelectorAll("form[data-draft]")) markBusy(form, false);
});
