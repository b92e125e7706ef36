// Dew point, margin and “lay” or “do not lay, because …” as soon as the figures are typed, by the
// limits that the server sends; the verdict that counts is made when the reading is saved.

import { dewPoint } from "./dew_point.js";
import { numberText, readNumber } from "./notation.js";

const three = document.getElementById("three");
const { rule, wet, checks } = JSON.parse(three.dataset.checks);
const form = document.getElementById("sheet");
const figure = (name) => readNumber(document.getElementById(name).value);
const ORDER = ["air_c", "humidity_pct", "deck_c"];
const NOISE = 1e-9; // relative distance at a limit that is noise of binary arithmetic

function isOutside({ lower, upper }, value) {
  if (lower !== null && value < lower - NOISE * Math.abs(lower)) return true;
  return upper !== null && value > upper + NOISE * Math.abs(upper);
}

function against(name, value) {
  const check = checks[name];
  if (value === null || !isOutside(check, value)) return [];
  return [`the ${check.quantity} is ${numberText(value, 3)} ${check.unit}, not ${check.limits}`];
}

function values() {
  const [air_c, humidity_pct, deck_c] = ORDER.map(figure);
  const dew = air_c === null || humidity_pct === null ? null : dewPoint(air_c, humidity_pct);
  const margin_k = dew === null || deck_c === null ? null : deck_c - dew;
  return { air_c, humidity_pct, deck_c, margin_k, moisture_pct: figure("moisture_pct"), dew };
}

function dewText({ dew, margin_k }) {
  if (dew === null) return "";
  const text = `Dew point ${dew.toFixed(1).replace("-", "−")} °C`;
  if (margin_k === null) return `${text}.`;
  return `${text}; the deck is ${Math.abs(margin_k).toFixed(1)} K ${margin_k >= 0 ? "above" : "below"} it.`;
}

/** The answer in words, and the mark that it is set with. */
function answer(read) {
  if (!wet) return ["", ""]; // in this stage nothing is laid
  const rains = form.elements.namedItem("rain")?.value === "yes";
  const reasons = [
    ...(rains ? ["it is raining"] : []),
    ...["air_c", "deck_c", "margin_k", "humidity_pct", "moisture_pct"].flatMap((name) => against(name, read[name])),
  ];
  if (reasons.length) return ["outside", `Do not lay, because ${reasons.join("; ")}.`];
  const unknown = ["deck_c", "air_c", "humidity_pct", "margin_k"].filter((name) => read[name] === null);
  if (unknown.length) return ["", ""];
  if (rule !== "simple") return ["undecided", "Inside the limits; saving weighs the instruments’ uncertainty too."];
  return ["within", "Lay."];
}

function show() {
  const read = values();
  const [mark, words] = answer(read);
  const dew = dewText(read);
  document.getElementById("now").hidden = !dew && !words;
  document.getElementById("now-dew").textContent = dew;
  const span = document.getElementById("now-answer");
  span.className = mark;
  span.textContent = words;
}

/** Enter goes on to the next of the three figures, and saves after the last. */
function onEnter(event) {
  const place = ORDER.indexOf(event.target.id);
  if (event.key !== "Enter" || place < 0 || place === ORDER.length - 1) return;
  event.preventDefault();
  document.getElementById(ORDER[place + 1]).focus();
}

form.addEventListener("input", show);
form.addEventListener("laidtrue:restored", show);
three.addEventListener("keydown", onEnter);
if (!document.querySelector(".problems")) document.getElementById(ORDER[0]).focus({ preventScroll: true });
show();
