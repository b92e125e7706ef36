// The gel clocks of the buckets in hand: one line each on every page, reckoned from the time of day,
// so that they go on while the phone sleeps and are right at once when it wakes. An estimate, never
// exact. Kept on this phone, for the person who is signed in.
//
// A page may carry [data-clock] (a bucket, as qa.web.roof.mix_made_page writes it) and [data-emptied]
// (the entry of a bucket that is empty).

import { beQuiet, keepAwake, speakUp } from "./speaking.js";

const MINUTE = 60000;
const LONGEST_KEPT_MS = 12 * 3600000;
const PHASES = ["low", "gel", "high"];
const person = document.body.dataset.person;
const KEY = `clocks:${person}`;

function held() {
  try {
    return JSON.parse(localStorage.getItem(KEY)) ?? [];
  } catch {
    return [];
  }
}

function hold(clocks) {
  try {
    localStorage.setItem(KEY, JSON.stringify(clocks));
  } catch {
    // Without storage the clock runs on its own page only.
  }
}

/** Starts the clock of a bucket, or completes the one that was started when it was sent. */
export function startClock(clock) {
  const others = held().filter((one) => one.entry !== clock.entry);
  const started = held().find((one) => one.entry === clock.entry);
  hold([...others, { told: [], ...clock, ...(started && { from: started.from, told: started.told }) }]);
  show();
}

function stopClock(entry) {
  hold(held().filter((one) => one.entry !== entry));
}

function forgetOld() {
  hold(held().filter((one) => Date.now() - one.from < one.high * MINUTE + LONGEST_KEPT_MS));
}

const minutes = (span) => `${Math.floor(Math.abs(span) / MINUTE)} min`;

function phaseOf(clock, now) {
  return PHASES.filter((phase) => now >= clock.from + clock[phase] * MINUTE).at(-1) ?? "";
}

/** What is to be said of a bucket now. */
export function wordsOf(clock, now) {
  const until = (phase) => clock.from + clock[phase] * MINUTE - now;
  switch (phaseOf(clock, now)) {
    case "":
      return `gels in about ${minutes(until("gel"))}, perhaps in ${minutes(until("low"))}: an estimate`;
    case "low":
      return `may gel from now; about ${minutes(until("gel"))} left: an estimate`;
    case "gel":
      return `estimated gel time passed ${minutes(until("gel"))} ago; look into the bucket`;
    default:
      return `past its gel time for ${minutes(until("gel"))}; spread what is left thin outside, it gets hot`;
  }
}

const nameOf = (clock) => `${clock.key}, ${clock.kg} kg`;

const ALERTS = {
  low: (clock) => `Bucket ${clock.key} may gel from now on.`,
  gel: (clock) => `Bucket ${clock.key}: estimated gel time. Look into it.`,
  high: (clock) => `Bucket ${clock.key} is past its gel time. What is left gets hot: spread it thin outside.`,
};

/** Says what has come about since it was last looked at, also while the phone slept. */
function tellNews(now) {
  const clocks = held();
  const news = [];
  for (const clock of clocks) {
    const phase = phaseOf(clock, now);
    if (!phase || clock.told.includes(phase)) continue;
    clock.told = PHASES.slice(0, PHASES.indexOf(phase) + 1);
    const late = now - (clock.from + clock[phase] * MINUTE);
    news.push(ALERTS[phase](clock) + (late >= MINUTE ? ` That was ${minutes(late)} ago.` : ""));
  }
  if (!news.length) return;
  hold(clocks); // before it is said: another tab must not say it too
  speakUp(news.join(" "));
  say(news.join(" "));
}

function say(text) {
  const line = place().querySelector("[data-news]");
  line.textContent = text;
  line.hidden = false;
}

function place() {
  let section = document.getElementById("clocks");
  if (!section) {
    section = document.createElement("section");
    section.id = "clocks";
    section.className = "clocks";
    section.setAttribute("aria-label", "Buckets");
    section.innerHTML = '<p class="said" role="alert" data-news hidden></p><ul class="ways"></ul>';
    document.getElementById("main").prepend(section);
    section.addEventListener("click", beQuiet);
  }
  return section;
}

function lineOf(clock, now) {
  const item = document.createElement("li");
  const link = document.createElement("a");
  const name = document.createElement("b");
  const words = document.createElement("small");
  link.href = clock.address;
  name.textContent = nameOf(clock);
  words.textContent = wordsOf(clock, now);
  link.append(name, words);
  item.append(link);
  return item;
}

function showLines(clocks, now) {
  if (!clocks.length && !document.getElementById("clocks")) return;
  const list = place().querySelector("ul");
  const lines = clocks.map((clock) => lineOf(clock, now));
  if (list.textContent !== lines.map((line) => line.textContent).join("")) list.replaceChildren(...lines);
  list.hidden = !clocks.length;
}

function showHere(clocks, now) {
  const here = document.querySelector("[data-clock]");
  const clock = here && clocks.find((one) => one.entry === JSON.parse(here.dataset.clock).entry);
  if (!clock) return;
  const left = Math.round((clock.from + clock.gel * MINUTE - now) / 1000);
  const size = Math.abs(left);
  document.getElementById("gel-figure").textContent = `${Math.floor(size / 60)}:${String(size % 60).padStart(2, "0")}`;
  document.getElementById("gel-unit").textContent = left < 0 ? "past the estimated gel time" : "to the estimated gel time";
  document.getElementById("gel-left").hidden = false;
}

function show() {
  const now = Date.now();
  const clocks = held();
  const pageClock = document.querySelector("[data-clock]");
  const here = pageClock ? JSON.parse(pageClock.dataset.clock).entry : "";
  showLines(clocks.filter((clock) => clock.entry !== here), now);
  showHere(clocks, now);
  tellNews(now);
  keepAwake(clocks.some((clock) => phaseOf(clock, now) !== "high"));
}

function begin() {
  if (!person) return;
  forgetOld();
  const written = document.querySelector("[data-clock]");
  for (const emptied of document.querySelectorAll("[data-emptied]")) stopClock(emptied.dataset.emptied);
  if (written) {
    const { now, ...clock } = JSON.parse(written.dataset.clock);
    startClock({ ...clock, from: clock.from + (Date.now() - now) }); // by this phone's clock
  }
  show();
  setInterval(show, 1000);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && show());
  window.addEventListener("pageshow", show);
}

begin();
