// Lets a form go without waiting for its photographs: they are kept on this phone as soon as they
// are picked, and sent by themselves whenever there is a signal, also after a reload, a sleep, or a
// sign-in that ran out.
//
// On a form with <input type="file" data-photo>:
//   data-photo-fields   JSON of what the photo entry says (stage, check, area, bay, mix, lot,
//                       nonconformity, caption); "@name" stands for the value of the form's field
//   data-photo-to       where the entry is sent; without it /jobs/<job>/photos of this page's job
//   data-photo-only     the form is about the photographs alone: all its fields go with each, it is
//                       not sent itself, and the page named here follows, or that of the
//                       button's data-then
// The line that tells what waits is <p data-photos-waiting>.

import { forget } from "./drafts.js";
import { NotSent, hasSignal, sendItem } from "./photo_sending.js";
import { allItems, canKeep, keepItem, removeItem } from "./photo_store.js";

const LOCK = "laidtrue-photos";
const FIRST_DELAY_MS = 5000;
const LONGEST_DELAY_MS = 5 * 60000;
const PATIENCE_MS = 1500;

const person = document.body.dataset.person;
// Most pages take no photograph; they only send what waits, and are spared the script that takes them.
const picking = document.querySelector("input[data-photo]") ? import("./photo_picking.js") : null;
let delay = FIRST_DELAY_MS;
let timer = 0;
let turn = null;
let needsSignIn = !person;

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
    const { picked, queue } = await picking;
    await picked(inputs);
    const queued = await queue(form, noted);
    if (queued && "photoOnly" in form.dataset && !inputs.some((input) => input.files.length)) {
      await followPhotoOnly(form, event.submitter?.dataset.then);
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

/** Opens the page that follows, where there is a signal; without one this page stays open. */
async function followPhotoOnly(form, asked) {
  forget(form.elements.namedItem("entry_id")?.value);
  const sending = flush();
  await Promise.race([sending, new Promise((resolve) => setTimeout(resolve, PATIENCE_MS))]);
  if (!hasSignal()) await sending;
  if (document.documentElement.dataset.photoQueue === "empty") sayOnTheNextPage("Saved.");
  if (hasSignal() && !needsSignIn) location.assign(asked || form.dataset.photoOnly || location.pathname.split("/").slice(0, 3).join("/"));
}

function sayOnTheNextPage(words) {
  try {
    sessionStorage.setItem("said", words);
  } catch {
    // Without storage the photograph itself stands on the page that follows.
  }
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
      if (fault.why === "refused" || fault.why === "early") {
        await keepItem({ ...item, state: "refused", sentence: fault.sentence, isEarly: fault.why === "early" });
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

/** Lets go what showed something that may be saved by now. */
async function askAgainForTheEarly() {
  for (const item of await mine("refused")) {
    if (item.isEarly) await keepItem({ ...item, state: "waiting" });
  }
}

/** Sends what waits; tabs take turns, so that nothing is sent twice. */
export async function flush() {
  clearTimeout(timer);
  if (person) {
    turn ??= navigator.locks.request(LOCK, () => {
      turn = null; // whoever asks from now on waits for the next turn, which sees what is new
      return sendAll();
    });
    const all = await turn;
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
  document.documentElement.dataset.photoQueue = own || refused.length ? "waiting" : "empty";
  document.dispatchEvent(new CustomEvent("photos-told", { detail: { waiting: own } }));
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
  words.textContent = `${item.isEarly ? "A photo waits" : "A photo was not saved"}: ${item.sentence}`;
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

/** A button with a word on it. */
export function button(text, act) {
  const element = document.createElement("button");
  element.type = "button";
  element.className = "go";
  element.textContent = text;
  element.addEventListener("click", act);
  return element;
}

async function beginToPick() {
  const { forgetOldHeld, onPicked, showHeld } = await picking;
  document.addEventListener("change", onPicked);
  document.addEventListener("submit", onSubmit, { capture: true });
  await forgetOldHeld();
  for (const form of document.querySelectorAll("form:has(input[data-photo])")) await showHeld(form);
}

async function begin() {
  if (!(await canKeep())) return;
  if (picking) await beginToPick();
  window.addEventListener("online", sendNow);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sendNow());
  await askAgainForTheEarly();
  document.documentElement.dataset.photoQueue = "begun";
  await sendNow();
}

begin();
