// Takes photographs that are dropped on the page, or picked in its field, into the queue of this
// device at once; the queue sends them in pieces, and the page shows them when all have arrived.

import { flush } from "./photos.js";
import { canKeep, digestOf, keepItem, newId } from "./photo_store.js";

const form = document.querySelector("form[data-drop]");
const input = form?.querySelector("input[type=file]");
const told = form?.querySelector("[data-drop-told]");
const person = document.body.dataset.person;
const seen = new Set(form?.dataset.known.split(" ") ?? []);
let brought = 0;
let taking = Promise.resolve();

const isPicture = (file) => file.type.startsWith("image/") || /\.(jpe?g|png|hei[cf])$/i.test(file.name);
const photos = (count) => (count === 1 ? "1 photo" : `${count} photos`);

function say(...sentences) {
  told.textContent = sentences.filter(Boolean).join(" ");
  told.hidden = told.textContent === "";
}

async function take(file) {
  const buffer = await file.arrayBuffer(); // a copy: the picker's file may vanish
  const sha256 = await digestOf(buffer);
  if (seen.has(sha256)) return false;
  const blob = new Blob([buffer], { type: file.type });
  await keepItem({
    id: newId(), person, page: location.pathname, field: "photos", state: "waiting", blob,
    name: file.name, sha256, to: form.getAttribute("action"), fields: { name: file.name },
    noted_at: new Date().toISOString(),
  });
  seen.add(sha256);
  return true;
}

async function takeAll(files) {
  const pictures = files.filter(isPicture);
  const most = Number(form.dataset.most);
  const some = pictures.slice(0, most);
  const left = [
    files.length > pictures.length && `${files.length - pictures.length} of them are no pictures and were left.`,
    pictures.length > most && `Only the first ${most} were taken; bring in the others afterwards.`,
  ];
  let twice = 0;
  for (const [number, file] of some.entries()) {
    say(`Taking ${number + 1} of ${photos(some.length)}.`);
    if (await take(file)) brought += 1;
    else twice += 1;
  }
  form.dataset.left = [...left, twice && `${photos(twice)} came twice, or stand here already.`].filter(Boolean).join(" ");
  say(form.dataset.left);
  flush();
}

function bring(list) {
  const files = [...list];
  if (files.length === 0) return;
  taking = taking.then(() => takeAll(files)).catch(() => say("This device has no room for them. Bring in fewer at once."));
}

function tellHowMany(event) {
  if (brought === 0) return;
  const waiting = event.detail.waiting;
  if (waiting > 0) {
    say(`${Math.max(0, brought - waiting)} of ${photos(brought)} have arrived.`, form.dataset.left);
    return;
  }
  taking.then(() => {
    if (form.dataset.left) {
      try {
        sessionStorage.setItem("said", form.dataset.left);
      } catch {
        // Without storage it was said while they were sent.
      }
    }
    location.assign(location.pathname);
  });
}

async function begin() {
  if (!form || !person || !(await canKeep())) return;
  form.querySelector("button[type=submit]").hidden = true;
  form.querySelector("[data-drop-hint]").hidden = false;
  input.addEventListener("change", () => {
    bring(input.files);
    input.value = "";
  });
  document.addEventListener("photos-told", tellHowMany);
  document.addEventListener("dragover", (event) => {
    event.preventDefault();
    document.body.classList.add("dropping");
  });
  document.addEventListener("dragleave", (event) => event.relatedTarget ?? document.body.classList.remove("dropping"));
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    document.body.classList.remove("dropping");
    bring(event.dataTransfer.files);
  });
  form.dataset.ready = "yes";
}

begin();
