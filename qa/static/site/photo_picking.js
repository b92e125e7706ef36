// Keeps photographs on this phone as soon as they are picked, shows them at their field, and puts
// them into the queue when their form is saved.

import { button } from "./photos.js";
import { allItems, digestOf, keepItem, newId, removeItem } from "./photo_store.js";

const LONGEST_HELD_MS = 14 * 24 * 3600 * 1000;
const FRAME_FIELDS = new Set(["csrf_token", "entry_id", "noted_at", "phone_now", "kept"]);

const person = document.body.dataset.person;

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

/** Keeps what was picked in a field for photographs. */
export function onPicked(event) {
  const input = event.target;
  if (!input.matches?.("input[data-photo]") || !input.files.length) return;
  const before = picking.get(input) ?? Promise.resolve();
  picking.set(input, before.then(() => holdAll(input)));
}

async function heldHere() {
  const items = await allItems();
  return items.filter((item) => item.state === "held" && item.person === person && item.page === location.pathname);
}

/** Shows at each field of a form what was picked there and is not saved yet. */
export async function showHeld(form) {
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

/** Resolves when all that was picked in these fields is kept. */
export function picked(inputs) {
  return Promise.all(inputs.map((input) => picking.get(input)));
}

/** Puts what a form holds into the queue; answers how many photographs. */
export async function queue(form, noted) {
  const held = await heldHere();
  const fields = fieldsFor(form);
  const to = addressFor(form, fields);
  for (const item of held) await keepItem({ ...item, state: "waiting", to, fields, noted_at: noted });
  await showHeld(form);
  return held.length;
}

function addressFor(form, fields) {
  const job = location.pathname.split("/").slice(0, 3).join("/");
  return form.dataset.photoTo ?? `${job}/photos?stage=${encodeURIComponent(fields.stage ?? "")}`;
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

/** Forgets what was picked long ago and never saved. */
export async function forgetOldHeld() {
  for (const item of await allItems()) {
    const age = Date.now() - parseInt(item.id.replace("-", "").slice(0, 12), 16);
    if (item.state === "held" && age > LONGEST_HELD_MS) await removeItem(item.id);
  }
}
