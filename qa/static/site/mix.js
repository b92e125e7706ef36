// The page on which a mix is made: the target in figures as soon as mass and deck temperature are
// known, without asking the server; what was measured out, judged by the same chart.

import "./stirring.js";
import { startClock } from "./clocks.js";
import { baysFor, doseOf, gelOf, isInBand, rowAt } from "./dose.js";
import { numberText, readNumber } from "./notation.js";

const target = document.getElementById("target");
const { rows, gel: model, read_c: readC, left } = JSON.parse(target.dataset.chart);
const field = (name) => document.getElementById(name);
const figure = (name) => readNumber(field(name).value);

function tell(id, text) {
  const line = document.getElementById(id);
  if (!line) return;
  line.textContent = text;
  line.hidden = !text;
}

function chartText() {
  return `${numberText(rows[0].from_c)} to ${numberText(rows.at(-1).to_c)} °C`;
}

function refusal(deckC, row) {
  if (deckC === null || row) return "";
  return `Do not mix, because the deck is at ${numberText(deckC)} °C and the chart goes from ${chartText()}. Outside it no dose is known.`;
}

function changeText(deckC, row) {
  if (readC === null || deckC === null || !row) return "";
  const was = rowAt(rows, readC);
  if (was === row) return "";
  const where = was ? "in another row of the chart" : "outside the chart";
  return `The deck was ${where} at the reading (${numberText(readC)} °C) and is ${numberText(deckC)} °C now; the dose below is for now.`;
}

function gelText(gel) {
  if (!gel) return "";
  const [low, likely, high] = [gel.low, gel.gel, gel.high].map(Math.round);
  return `Gels in about ${likely} min (${low} to ${high}): an estimate, never exact.`;
}

function showTarget() {
  const kg = figure("kg");
  const deckC = figure("deck_c");
  const row = deckC === null ? null : rowAt(rows, deckC);
  const dose = row && kg > 0 ? doseOf(row, kg) : null;
  const big = document.getElementById("target-ml");
  big.hidden = !dose;
  if (dose) big.firstElementChild.textContent = numberText(dose.target);
  tell("target-band", dose ? `accepted ${numberText(dose.lower)} to ${numberText(dose.upper)} ml` : "");
  tell("target-gel", dose ? gelText(gelOf(model, deckC, row.target_ml_per_kg)) : "");
  tell("target-refusal", refusal(deckC, row));
  tell("target-change", changeText(deckC, row));
  const missing = document.getElementById("target-missing");
  if (missing) missing.hidden = Boolean(dose) || deckC !== null;
  showBays(kg);
  showMeasured(row, kg);
}

function showMeasured(row, kg) {
  const ml = figure("catalyst_ml");
  if (ml === null || !(kg > 0) || !row) return tell("dose-told", "");
  const mlPerKg = ml / kg;
  const verdict = isInBand(row, mlPerKg) ? "inside the accepted band" : "outside the accepted band";
  return tell("dose-told", `${numberText(mlPerKg)} ml/kg: ${verdict}`);
}

function showBays(kg) {
  const bays = baysFor(left, kg ?? 0);
  const tick = document.getElementById("next-bays");
  document.getElementById("bays-next").hidden = !bays.length;
  tick.value = bays.join(" ");
  if (!bays.length) tick.checked = false;
  document.getElementById("next-bays-told").textContent = bays.join(", ");
}

function showMasses() {
  document.getElementById("masses").hidden = false;
  for (const button of document.querySelectorAll("[data-mass]")) {
    button.addEventListener("click", () => {
      field("kg").value = button.dataset.mass;
      field("kg").dispatchEvent(new Event("input", { bubbles: true }));
    });
  }
}

/** The gel clock begins when the mix is saved, whether or not there is a signal. */
function startGelClock(event) {
  const [kg, deckC, ml] = ["kg", "deck_c", "catalyst_ml"].map(figure);
  const gel = kg > 0 && ml > 0 && deckC !== null ? gelOf(model, deckC, ml / kg) : null;
  if (!gel || document.querySelector(".moment input").value) return;
  const entry = event.target.elements.namedItem("entry_id").value;
  startClock({ entry, key: "mix", kg, address: location.href, from: Date.now(), ...gel });
}

for (const warning of document.querySelectorAll("[data-warning]")) warning.hidden = !/catalyst's/.test(warning.textContent);
document.getElementById("show-line").hidden = true;
showMasses();
const form = document.getElementById("sheet");
form.addEventListener("input", showTarget);
form.addEventListener("laidtrue:restored", showTarget);
form.addEventListener("laidtrue:sending", startGelClock);
showTarget();
