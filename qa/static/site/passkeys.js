// Makes a passkey, or signs in by one. The page's form is sent as any form is, with the phone's
// answer in a hidden field; only the question is fetched. Without passkeys the form stays hidden.

const COULD_NOT = "The phone gave no answer. Try again, or go another way.";
const NO_SIGNAL = "The site cannot be reached. Try again when there is a signal.";

function bytes(text) {
  const plain = text.replaceAll("-", "+").replaceAll("_", "/");
  return Uint8Array.from(atob(plain), (sign) => sign.charCodeAt(0));
}

function text(buffer) {
  const signs = String.fromCharCode(...new Uint8Array(buffer));
  return btoa(signs).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

function named(list) {
  return (list ?? []).map((one) => ({ ...one, id: bytes(one.id) }));
}

function readable(question) {
  const options = { ...question, challenge: bytes(question.challenge) };
  if (question.user) options.user = { ...question.user, id: bytes(question.user.id) };
  if (question.excludeCredentials) options.excludeCredentials = named(question.excludeCredentials);
  if (question.allowCredentials) options.allowCredentials = named(question.allowCredentials);
  return options;
}

function written(credential) {
  const response = {};
  for (const part of ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"]) {
    if (credential.response[part]) response[part] = text(credential.response[part]);
  }
  return JSON.stringify({ id: credential.id, rawId: text(credential.rawId), type: credential.type, response });
}

function say(form, sentence) {
  const line = form.querySelector("[role=alert]");
  line.textContent = sentence;
  line.hidden = !sentence;
}

async function question(form) {
  const response = await fetch(form.dataset.question, { method: "POST", body: new FormData(form), headers: { Accept: "application/json" } });
  const body = await response.json();
  if (response.ok) return readable(body);
  throw new Error(body.sentence ?? body.error?.sentence ?? COULD_NOT);
}

async function answer(form) {
  const publicKey = await question(form);
  try {
    return await navigator.credentials[form.dataset.passkey]({ publicKey });
  } catch {
    throw new Error(COULD_NOT);
  }
}

async function onSubmit(event) {
  event.preventDefault();
  const form = event.currentTarget;
  const button = event.submitter;
  if (button) button.disabled = true;
  say(form, "");
  try {
    form.elements.namedItem("answer").value = written(await answer(form));
    form.submit();
  } catch (error) {
    say(form, error instanceof TypeError ? NO_SIGNAL : error.message);
    if (button) button.disabled = false;
  }
}

function stay(form) {
  const ticked = document.querySelector("#sheet [name=stays]");
  const field = form.elements.namedItem("stays");
  if (ticked && field) {
    field.disabled = !ticked.checked;
    ticked.addEventListener("change", () => (field.disabled = !ticked.checked));
  }
}

for (const form of document.querySelectorAll("form[data-passkey]")) {
  const can = Boolean(window.PublicKeyCredential && navigator.credentials);
  form.hidden = !can;
  const without = document.getElementById("no-passkeys");
  if (without) without.hidden = can;
  stay(form);
  form.addEventListener("submit", onSubmit);
}
