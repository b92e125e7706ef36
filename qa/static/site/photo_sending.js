// Sends one photograph that waits: its bytes in pieces that go on where they broke off (tus 1.0.0),
// then the entry that names it. Both may be sent twice and have the effect of once.

const PIECE_BYTES = 256 * 1024;
const LONGEST_MS = 60000;

/**
 * Why an item was not sent: "later" (no signal, the site is busy), "sign-in", "early" (it shows what
 * is not saved yet), or "refused".
 */
export class NotSent extends Error {
  constructor(why, sentence = "") {
    super(sentence || why);
    this.why = why;
    this.sentence = sentence;
  }
}

let answered = false;
let token = document.querySelector('meta[name="csrf-token"]')?.content ?? "";

/** The token of whoever is signed in now; answers whether it is another one than before. */
async function renewToken() {
  const page = await (await ask("/help", { headers: { Accept: "text/html" } })).text();
  const found = new DOMParser().parseFromString(page, "text/html").querySelector('meta[name="csrf-token"]');
  const fresh = found?.content ?? "";
  const isOther = fresh !== "" && fresh !== token;
  if (isOther) token = fresh;
  return isOther;
}

async function ask(address, options) {
  try {
    const signal = AbortSignal.timeout?.(LONGEST_MS);
    const response = await fetch(address, { redirect: "error", credentials: "same-origin", ...options, signal });
    answered = true;
    return response;
  } catch {
    answered = false;
    throw new NotSent("later");
  }
}

/** Whether the site answered when it was last asked. */
export function hasSignal() {
  return answered;
}

async function sentenceOf(response) {
  try {
    const answer = await response.json();
    const problems = answer.problems?.map((problem) => `${problem.label ?? ""} ${problem.sentence}`.trim());
    return answer.error?.sentence ?? problems?.join(" ") ?? "";
  } catch {
    return "";
  }
}

async function judge(response) {
  if (response.status === 401) throw new NotSent("sign-in");
  if (response.status === 408 || response.status === 429 || response.status >= 500) throw new NotSent("later");
  throw new NotSent("refused", (await sentenceOf(response)) || `The site answered ${response.status}.`);
}

/** A change, with the token; where the sign-in changed meanwhile, once more with the new one. */
async function change(address, options) {
  const send = () =>
    ask(address, { ...options, headers: { Accept: "application/json", "X-CSRFToken": token, ...options.headers } });
  let response = await send();
  if (response.status === 400 && (await renewToken())) response = await send();
  return response;
}

const base64 = (text) => btoa(String.fromCharCode(...new TextEncoder().encode(text)));

async function begin(item) {
  const response = await change("/uploads", {
    method: "POST",
    headers: {
      "Tus-Resumable": "1.0.0",
      "Upload-Length": String(item.blob.size),
      "Upload-Metadata": `sha256 ${base64(item.sha256)},filename ${base64(item.name.slice(-100))}`,
    },
  });
  if (!response.ok) await judge(response);
  return response.json();
}

async function sendPiece(item, state) {
  return change(`/uploads/${state.upload}`, {
    method: "PATCH",
    headers: {
      "Tus-Resumable": "1.0.0",
      "Upload-Offset": String(state.offset),
      "Content-Type": "application/offset+octet-stream",
    },
    body: item.blob.slice(state.offset, state.offset + PIECE_BYTES),
  });
}

async function upload(item) {
  let state = await begin(item);
  let elsewhere = 0;
  while (!state.finished) {
    const response = await sendPiece(item, state);
    if (response.status === 404 || response.status === 409) {
      elsewhere += 1; // dropped meanwhile, or another tab was quicker: ask where it stands
      if (elsewhere > 3) throw new NotSent("later");
      state = await begin(item);
    } else if (response.ok) state = await response.json();
    else await judge(response);
  }
}

/** Sends an item whole; throws NotSent. */
export async function sendItem(item) {
  await upload(item);
  const body = new URLSearchParams({
    ...item.fields,
    kept: item.sha256,
    entry_id: item.id,
    noted_at: item.noted_at,
    phone_now: new Date().toISOString(),
  });
  const response = await change(item.to, { method: "POST", body });
  const shown = item.fields.lot_entry ?? item.fields.nonconformity_entry;
  if (response.status === 404 && shown) throw new NotSent("early", await sentenceOf(response));
  if (!response.ok) await judge(response);
  const answer = await response.json();
  if (!answer.saved) throw new NotSent("later");
}
