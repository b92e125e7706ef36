// Lets a form go without waiting for its photographs: they are kept on this phone as soon as they
// are picked, and sent by themselves whenever there is a signal, also after a reload, a sleep, or a
// sign-in that ran out.
//
// On a form with <input type="file" data-photo>:
//   data-photo-fields   JSON of what the photo entry says (stage, check, area, bay, mix, lot,
//                       nonconformity, caption); "@name" stands for the value of the form's field
//   data-photo-to       where the entry is sent; without it /jobs/<job>/photos of this page's job
//   data-photo-only     the form is about the photographs alone: all its fields go with each, it is
//                       not sent itself, and the page named here follows
// The line that tells what waits is <p data-photos-waiting>.

import { NotSent, sendItem } from "./photo_sending.js";
import { allItems, canKeep, digestOf, keepItem, newId, removeItem } from "./photo_store.js";

const LOCK = "laidtrue-photos";
const FIRST_DELAY_MS = 5000;
const LONGEST_DELAY_MS = 5 * 60000;
const LONGEST_HELD_MS = 14 * 24 * 3600 * 1000;
const FRAME_FIELDS = new Set(["csrf_token", "entry_id", "noted_at", "phone_now", "kept"]);

const person = document.body.dataset.person;
let delay = FIRST_DELAY_MS;
let timer = 0;
let needsSignIn = !person;

// What is picked

const picking = new Map(); // input: promise of everything that was picked in it

async function hold(input, file) {
  const buffer = await file.arrayBuffer(); // a copy: the picker's file may vanish
  const blob = new Blob([buffer], { type: file.type });
  const page = location.pathname;
  const sha256 = await digestOf(buffer);
  await keepItem({ id: newId(), person, page, field: input.name, state: "held", blob, name: file.name, sha256 });
}

async function holdAll(input) {
  const files = [...input.files];
  try {
    for (const file of files) await hold(input, file);
    input.value = "";
  } catch {
    // The phone has no room for them: they stay in the form and travel with it.
  }
  await showHeld(input.form);
}

function onPicked(event) {
  const input = event.target;
  if (!input.matches?.("input[data-photo]") || !input.files.length) return;
  const before = picking.get(input) ?? Promise.resolve();
  picking.set(input, before.then(() => holdAll(input)));
}

async function heldHere() {
  const items = await allItems();
  return items.filter((item) => item.state === "held" && item.person === person && item.page === location.pathname);
}

async function showHeld(form) {
  const held = await heldHere();
  for (const input of form.querySelectorAll("input[data-photo]")) {
    const mine = held.filter((item) => item.field === input.name);
    let list = input.parentElement.querySelector("[data-photos-held]");
    if (!list) {
      list = document.createElement("ul");
      list.className = "held-photos";
      list.dataset.photosHeld = "";
      input.after(list);
    }
    list.replaceChildren(...mine.map((item) => heldLine(item, form)));
    list.hidden = mine.length === 0;
  }
}

function heldLine(item, form) {
  const line = document.createElement("li");
  const picture = document.createElement("img");
  picture.src = URL.createObjectURL(item.blob);
  picture.alt = "The photograph that you took";
  picture.width = 96;
  picture.height = 72;
  picture.onload = () => URL.revokeObjectURL(picture.src);
  line.append(picture, button("Leave it out", () => removeItem(item.id).then(() => showHeld(form))));
  return line;
}

function button(text, act) {
  const element = document.createElement("button");
  element.type = "button";
  element.className = "go";
  element.textContent = text;
  element.addEventListener("click", act);
  return element;
}

// What is submitted

const released = new WeakSet(); // forms whose photographs are in the queue

async function onSubmit(event) {
  const form = event.target;
  const inputs = [...form.querySelectorAll("input[data-photo]")];
  if (inputs.length === 0 || released.delete(form)) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (form.dataset.holding) return; // touched twice
  form.dataset.holding = "yes";
  try {
    const noted = new Date().toISOString();
    await Promise.all(inputs.map((input) => picking.get(input)));
    const queued = await queue(form, noted);
    if (queued && "photoOnly" in form.dataset && !inputs.some((input) => input.files.length)) {
      await followPhotoOnly(form);
      return;
    }
  } catch {
    // What could not be queued is still in the form.
  } finally {
    delete form.dataset.holding;
  }
  released.add(form);
  form.requestSubmit(event.submitter);
}

async function queue(form, noted) {
  const held = await heldHere();
  for (const item of held) {
    const waiting = { ...item, state: "waiting", to: addressFor(form), fields: fieldsFor(form), noted_at: noted };
    await keepItem(waiting);
  }
  await showHeld(form);
  return held.length;
}

function addressFor(form) {
  return form.dataset.photoTo ?? `${location.pathname.split("/").slice(0, 3).join("/")}/photos`;
}

function fieldsFor(form) {
  const said = Object.entries(JSON.parse(form.dataset.photoFields ?? "{}"));
  const named = said.map(([name, value]) => [name, String(value).startsWith("@") ? valueOf(form, value.slice(1)) : value]);
  const own = "photoOnly" in form.dataset ? [...new FormData(form)].filter(([name, value]) => typeof value === "string" && !FRAME_FIELDS.has(name)) : [];
  return Object.fromEntries([...own, ...named].filter(([, value]) => value));
}

function valueOf(form, name) {
  return new FormData(form).get(name) ?? "";
}

async function followPhotoOnly(form) {
  form.dispatchEvent(new Event("laidtrue:queued", { bubbles: true }));
  await Promise.race([flush(), new Promise((resolve) => setTimeout(resolve, 1500))]);
  location.assign(form.dataset.photoOnly || location.pathname.split("/").slice(0, 3).join("/"));
}

// What is sent

async function mine(state) {
  const items = await allItems();
  return items.filter((item) => item.person === person && item.state === state);
}

async function sendAll() {
  for (const item of await mine("waiting")) {
    try {
      await sendItem(item);
    } catch (fault) {
      if (!(fault instanceof NotSent)) throw fault;
      if (fault.why === "refused") {
        await keepItem({ ...item, state: "refused", sentence: fault.sentence });
        continue;
      }
      needsSignIn = fault.why === "sign-in";
      return false;
    }
    await removeItem(item.id);
    await tell();
  }
  needsSignIn = !person;
  return true;
}

/** Sends what waits; tabs take turns, so that nothing is sent twice. */
export async function flush() {
  clearTimeout(timer);
  if (person) {
    const all = await navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => (lock ? sendAll() : false));
    delay = all ? FIRST_DELAY_MS : Math.min(delay * 2, LONGEST_DELAY_MS);
    if (!all && !needsSignIn) timer = setTimeout(flush, delay);
  }
  await tell();
}

// What is told

const photos = (count) => (count === 1 ? "1 photo" : `${count} photos`);

function words(waiting, others) {
  const wait = (count) => `${photos(count)} ${count === 1 ? "waits" : "wait"} on this phone`;
  if (waiting && needsSignIn) return `Sign in again, ${wait(waiting)}.`;
  if (waiting) return `${wait(waiting)} and ${waiting === 1 ? "is" : "are"} sent when there is a signal.`;
  if (others && !person) return `Sign in again, ${wait(others)}.`;
  if (others) return `${wait(others)} for somebody else to sign in.`;
  return "";
}

async function tell() {
  const items = await allItems();
  const waiting = items.filter((item) => item.state === "waiting");
  const own = waiting.filter((item) => item.person === person).length;
  const refused = items.filter((item) => item.state === "refused" && item.person === person);
  const line = waitingLine();
  const text = words(own, waiting.length - own);
  if (line.dataset.told === `${text}|${refused.map((item) => item.id)}`) return;
  line.dataset.told = `${text}|${refused.map((item) => item.id)}`;
  line.replaceChildren(text);
  if (needsSignIn && text) line.append(" ", signInLink());
  else if (own) line.append(" ", button("Send now", sendNow));
  for (const item of refused) line.append(...refusal(item));
  line.hidden = line.childNodes.length === 0 || (!text && refused.length === 0);
}

function sendNow() {
  delay = FIRST_DELAY_MS;
  return flush();
}

function signInLink() {
  const link = document.createElement("a");
  link.href = `/sign-in?next=${encodeURIComponent(location.pathname)}`;
  link.textContent = "Sign in";
  return link;
}

function refusal(item) {
  const words = document.createElement("span");
  words.className = "refused-photo";
  words.textContent = `A photo was not taken: ${item.sentence}`;
  const again = button("Send it again", () => keepItem({ ...item, state: "waiting" }).then(flush));
  return [words, " ", again, " ", button("Leave it out", () => removeItem(item.id).then(tell))];
}

function waitingLine() {
  let line = document.querySelector("[data-photos-waiting]");
  if (!line) {
    line = document.createElement("p");
    line.dataset.photosWaiting = "";
    line.className = "note";
    line.setAttribute("role", "status");
    document.getElementById("main").prepend(line);
  }
  return line;
}

async function forgetOldHeld() {
  for (const item of await allItems()) {
    const age = Date.now() - parseInt(item.id.replace("-", "").slice(0, 12), 16);
    if (item.state === "held" && age > LONGEST_HELD_MS) await removeItem(item.id);
  }
}

async function begin() {
  if (!(await canKeep())) return;
  document.addEventListener("change", onPicked);
  document.addEventListener("submit", onSubmit, { capture: true });
  window.addEventListener("online", sendNow);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sendNow());
  await forgetOldHeld();
  for (const form of document.querySelectorAll("form:has(input[data-photo])")) await showHeld(form);
  document.documentElement.dataset.photoQueue = "ready";
  await sendNow();
}

begin();
