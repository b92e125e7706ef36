// Keeps what is typed into a page's form on this phone until it is saved: through a reload, a lost
// signal, and a sign-in that ran out. One draft for each person and address, in localStorage; the
// query counts, for a page may propose what was chosen by it.

const PREFIX = "draft:";
const LONGEST_MS = 14 * 24 * 3600 * 1000;
const NEVER_KEPT = new Set(["csrf_token", "phone_now"]);

const person = document.body.dataset.person;

/** Where a form is sent to; `form.action` could be a field of that name. */
export function addressOf(form) {
  return new URL(form.getAttribute("action") ?? location.href, location.href);
}

function keyOf(form) {
  const { pathname, search } = addressOf(form);
  return `${PREFIX}${person}:${pathname}${search}`;
}

function read(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null; // no storage, or what is there is not ours: then there is no draft
  }
}

function keptFields(form) {
  return [...form.elements].filter(
    (field) =>
      field.name && !NEVER_KEPT.has(field.name) && !["file", "password", "submit", "button"].includes(field.type),
  );
}

function isTicking(field) {
  return field.type === "radio" || field.type === "checkbox";
}

/** Writes the draft of a form; without storage the page works, and only the draft is missing. */
export function keep(form) {
  const values = keptFields(form)
    .filter((field) => !isTicking(field) || field.checked)
    .map((field) => [field.name, field.value]);
  const entry = form.elements.namedItem("entry_id")?.value ?? "";
  try {
    localStorage.setItem(keyOf(form), JSON.stringify({ entry, at: Date.now(), values }));
  } catch {
    // Storage is full or forbidden.
  }
}

/** Forgets the draft of what was saved, wherever it was typed. */
export function forget(entry) {
  for (const key of draftKeys()) {
    if (read(key)?.entry === entry) localStorage.removeItem(key);
  }
}

function draftKeys() {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX));
  } catch {
    return [];
  }
}

function forgetOld() {
  for (const key of draftKeys()) {
    if (!(Date.now() - (read(key)?.at ?? 0) < LONGEST_MS)) localStorage.removeItem(key);
  }
}

function restore(form, draft) {
  const left = draft.values.slice();
  for (const field of keptFields(form)) {
    if (isTicking(field)) {
      field.checked = draft.values.some(([name, value]) => name === field.name && value === field.value);
      continue;
    }
    const place = left.findIndex(([name]) => name === field.name);
    if (place >= 0) field.value = left.splice(place, 1)[0][1];
  }
  for (const fold of form.querySelectorAll("details")) {
    if ([...fold.querySelectorAll(".typed")].some((field) => field.value)) fold.open = true;
  }
  form.dispatchEvent(new Event("laidtrue:restored", { bubbles: true }));
}

function differs(form, draft) {
  const before = keptFields(form)
    .filter((field) => field.type !== "hidden" && (!isTicking(field) || field.checked))
    .map((field) => `${field.name}=${field.value}`);
  const hidden = new Set(keptFields(form).filter((field) => field.type === "hidden").map((field) => field.name));
  const kept = draft.values.filter(([name]) => !hidden.has(name)).map(([name, value]) => `${name}=${value}`);
  return before.join("\n") !== kept.join("\n");
}

function tellRestored(form, draft) {
  const time = new Date(draft.at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  const line = document.createElement("p");
  line.className = "note";
  line.setAttribute("role", "status");
  line.textContent = `What you typed at ${time} was not saved; it stands here again. `;
  const afresh = document.createElement("button");
  afresh.type = "button";
  afresh.className = "go";
  afresh.textContent = "Begin afresh";
  afresh.addEventListener("click", () => {
    localStorage.removeItem(keyOf(form));
    location.reload();
  });
  line.append(afresh);
  form.before(line);
}

/** What is changed after Save was touched is noted anew, and not at the time of before. */
function change(form) {
  const noted = form.elements.namedItem("noted_at");
  if (noted) noted.value = "";
  keep(form);
}

/** Whether the server gave back what was sent just now; loaded again, it gives back the same as then. */
function isJustAnswered(form) {
  const [navigation] = performance.getEntriesByType("navigation");
  return form.querySelector(".problems") !== null && navigation?.type === "navigate";
}

function watch(form) {
  const draft = read(keyOf(form));
  if (isJustAnswered(form)) keep(form);
  else if (draft && differs(form, draft)) {
    restore(form, draft);
    tellRestored(form, draft);
  }
  form.addEventListener("input", () => change(form));
  form.addEventListener("change", () => keep(form));
}

for (const line of document.querySelectorAll("[data-saved]")) forget(line.dataset.saved);
forgetOld();
for (const form of document.querySelectorAll("form[data-draft]")) watch(form);
