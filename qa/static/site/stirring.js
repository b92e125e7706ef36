// The stir clock: before the catalyst and after it. Reckoned from the time of day, so that it goes
// on while the phone sleeps; one touch starts, one goes on with the catalyst in, saving stops it.

import { keepAwake, speakUp } from "./speaking.js";

const place = document.getElementById("stir");
const go = document.getElementById("stir-go");
const stop = document.getElementById("stir-stop");
const time = document.getElementById("stir-time");
const words = document.getElementById("stir-words");
const fields = {
  before: document.getElementById("stirred_before_s"),
  after: document.getElementById("stirred_after_s"),
};
const least = { before: Number(place.dataset.before), after: Number(place.dataset.after) };
const KEY = `stirring:${location.pathname}`;

let running = null; // {phase, since, told}

function remember() {
  try {
    if (running) sessionStorage.setItem(KEY, JSON.stringify(running));
    else sessionStorage.removeItem(KEY);
  } catch {
    // Without storage a reload stops the clock.
  }
}

function secondsOf(run) {
  return Math.max(Math.floor((Date.now() - run.since) / 1000), 0);
}

function finish() {
  if (!running) return;
  const field = fields[running.phase];
  field.value = String(secondsOf(running));
  running = null;
  remember();
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function start(phase) {
  finish();
  running = { phase, since: Date.now(), told: false };
  remember();
  show();
}

function nextPhase() {
  if (running?.phase === "before") return "after";
  return fields.before.value && !running ? "after" : "before";
}

function onGo() {
  const phase = nextPhase();
  start(phase);
  if (phase === "after") document.getElementById("catalyst_ml").focus();
}

function stirredWords() {
  const parts = [];
  if (fields.before.value) parts.push(`${fields.before.value} s before the catalyst`);
  if (fields.after.value) parts.push(`${fields.after.value} s after it`);
  return parts.length ? `Stirred ${parts.join(", ")}.` : `At least ${least.before} s before the catalyst, ${least.after} s after it.`;
}

function tellReached() {
  if (running.told || secondsOf(running) < least[running.phase]) return;
  running.told = true;
  remember();
  speakUp(running.phase === "before" ? "Stirred long enough. Catalyst now." : "Stirred long enough. Use it now.");
}

function show() {
  time.hidden = !running;
  stop.hidden = !running;
  if (running) {
    const seconds = secondsOf(running);
    time.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    words.textContent = `of ${least[running.phase]} s ${running.phase} the catalyst`;
    tellReached();
  } else words.textContent = stirredWords();
  go.hidden = running?.phase === "after" || (!running && Boolean(fields.after.value));
  go.textContent = nextPhase() === "after" ? "Catalyst in: stir on" : "Start stirring";
  if (running) keepAwake(true);
}

function begin() {
  try {
    running = JSON.parse(sessionStorage.getItem(KEY));
  } catch {
    running = null;
  }
  place.hidden = false;
  go.addEventListener("click", onGo);
  stop.addEventListener("click", () => {
    finish();
    show();
  });
  document.addEventListener("laidtrue:sending", finish);
  document.addEventListener("laidtrue:saved", () => {
    running = null;
    remember();
  });
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && show());
  for (const field of Object.values(fields)) field.addEventListener("input", show);
  setInterval(show, 250);
  show();
}

begin();
