// Reads the bar code on a photographed batch label, where the browser can, and fills what is empty.
//
// The picture is looked at here; the site only says what the code's text means, by the same rules
// that its tests hold. What was typed already is never changed.

const FORMATS = ["code_128", "data_matrix", "qr_code", "ean_13", "ean_8", "upc_a", "itf", "code_39"];

const line = document.getElementById("bar-code");

function tell(text) {
  line.textContent = text;
  line.hidden = false;
}

async function detector() {
  if (!("BarcodeDetector" in window)) return null;
  const offered = await BarcodeDetector.getSupportedFormats();
  const formats = FORMATS.filter((format) => offered.includes(format));
  return formats.length ? new BarcodeDetector({ formats }) : null;
}

/** The text of the code that says most: a label often has one for the till and one for the batch. */
async function textOn(file) {
  const looking = await detector();
  if (!looking) return null;
  const picture = await createImageBitmap(file);
  const codes = await looking.detect(picture);
  picture.close();
  return codes.map((code) => code.rawValue).sort((a, b) => b.length - a.length)[0] ?? "";
}

function fill(form, said) {
  const filled = [];
  for (const [name, value] of Object.entries(said)) {
    const field = form.elements.namedItem(name);
    if (!field || field.value) continue;
    field.value = String(value);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    filled.push(form.querySelector(`label[for="${field.id}"]`)?.firstChild.textContent.trim() ?? name);
  }
  return filled;
}

async function onPicked(event) {
  const input = event.target;
  const file = input.files[0];
  if (!file) return;
  try {
    const text = await textOn(file);
    if (text === null) return;
    if (!text) return tell("No bar code could be read on this photograph. Type what the label says.");
    const response = await fetch(`${line.dataset.read}?text=${encodeURIComponent(text)}`, {
      headers: { Accept: "application/json" },
    });
    const filled = fill(input.form, (await response.json()).fields);
    tell(filled.length ? `Read from the bar code: ${filled.join(", ")}. Check it against the label.` : "The bar code says nothing that is still to fill in.");
  } catch {
    tell("The bar code could not be read now. Type what the label says.");
  }
}

for (const input of document.querySelectorAll("input[data-photo]")) {
  // Before the queue takes the file out of the field.
  input.addEventListener("change", onPicked, { capture: true });
}
