// Large targets that step a figure up and down, or change its sign; without script the figure is
// typed.

const MINUS = /^\s*[-−–]/;

function valueOf(field) {
  return Number(field.value.trim().replace(MINUS, "-").replace(",", ".")) || 0;
}

function put(field, text) {
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function step(button) {
  const field = document.getElementById(button.dataset.for);
  const { least, most } = button.dataset;
  let value = Math.round((valueOf(field) + Number(button.dataset.step)) * 1000) / 1000;
  if (least !== undefined) value = Math.max(value, Number(least));
  if (most !== undefined) value = Math.min(value, Number(most));
  put(field, String(value));
}

function changeSign(button) {
  const field = document.getElementById(button.dataset.sign);
  put(field, MINUS.test(field.value) ? field.value.replace(MINUS, "") : `−${field.value.trim()}`);
  field.focus();
}

for (const button of document.querySelectorAll("[data-step]")) {
  button.hidden = false;
  button.addEventListener("click", () => step(button));
}
for (const button of document.querySelectorAll("[data-sign]")) {
  button.hidden = false;
  document.getElementById(button.dataset.sign).inputMode = "decimal"; // its keys may lack a minus
  button.addEventListener("click", () => changeSign(button));
}
