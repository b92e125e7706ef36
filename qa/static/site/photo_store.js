// Photographs that wait on this phone: one IndexedDB store, written so that a phone that dies keeps
// what it was told to keep. Each item:
//   id        of the photo entry to be (UUID of version 7)
//   person    who took it; it is sent in their name only
//   page      path of the page it was taken on
//   state     "held" (picked, its form not saved yet), "waiting" (to be sent), "refused"
//   blob, name, sha256
//   to, fields, noted_at    where its entry goes and what it says, once it is waiting
//   sentence  why it was refused

const NAME = "laidtrue-photos";
const STORE = "photos";

let opening = null;

function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "id" });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("blocked"));
  });
  return opening;
}

async function write(change) {
  const database = await open();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(STORE, "readwrite", { durability: "strict" });
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new Error("storage is full"));
    change(transaction.objectStore(STORE));
  });
}

/** Whether photographs can wait here at all; without it they travel with their form. */
export async function canKeep() {
  try {
    if (!crypto.subtle || !navigator.locks) return false; // plain HTTP on a local name has neither
    await open();
    return true;
  } catch {
    return false;
  }
}

/** Keeps an item; resolves when the phone's disk has it. */
export function keepItem(item) {
  return write((store) => store.put(item));
}

export function removeItem(id) {
  return write((store) => store.delete(id));
}

/** Every item, oldest first: ids of version 7 are in the order of their making. */
export async function allItems() {
  const database = await open();
  return new Promise((resolve, reject) => {
    const request = database.transaction(STORE).objectStore(STORE).getAll();
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** A UUID of version 7 (RFC 9562, 5.7). */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let time = Date.now();
  for (let place = 5; place >= 0; place -= 1) {
    bytes[place] = time % 256;
    time = Math.floor(time / 256);
  }
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

/** SHA-256 in hex. */
export async function digestOf(buffer) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", buffer));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
