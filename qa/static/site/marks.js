// Draws upon a photograph with finger, mouse, pen or keys. The lines of the form are what is kept:
// every mark that is drawn becomes a line, and every line that is typed is drawn. Copies are drawn
// by the server; qa/photos/marking.py says how. Whether a mark can be, the record's reader says.

const SVG = "http://www.w3.org/2000/svg";
const LINE = 0.005, EDGE = 0.0025, LETTER = 0.03, HEAD = 5, DASH = 4, STEP = 0.01;
const picture = document.querySelector("[data-picture]");
const lines = document.querySelector("[name=marks]");
const tools = document.querySelector("[data-tools]");
const told = document.querySelector("[data-of-drawing]");
const undo = document.querySelector("[data-undo]");
const words = document.getElementById("mark-words");
const length = document.getElementById("mark-length");
const said = document.querySelector("[data-said]");
const width = Number(picture.dataset.width), height = Number(picture.dataset.height);
const unit = Math.max(width, height);
const HOW = {
  arrow: "Draw from the tail to what it points at.",
  circle: "Draw from corner to corner round what you mean.",
  text: "Touch where the words are to stand.",
  measure: "Draw from end to end.",
  reference: "Draw along something whose length you know, in the plane of what you measure.",
};
const TWO = new Set(["measure", "reference"]);
let type = "arrow";
let from = null; // where the mark that is being drawn begins
let cross = null; // the place that the keys have moved to

const sheet = make("svg", { class: "sheet-of-marks", viewBox: `0 0 ${width} ${height}`, tabindex: 0, role: "application" });
sheet.setAttribute("aria-label", "The photo to draw on. Arrow keys move a cross, Enter begins and ends a mark.");

function make(name, attributes, text) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text) made.textContent = text;
  return made;
}

// Widths in the picture's pixels; on a small screen no thinner than can be seen.
const wide = (share, least) => Math.max(share * unit, least * width / (picture.clientWidth || width));
const lineWidth = () => wide(LINE, 2.5), edgeWidth = () => wide(EDGE, 1.25), letters = () => wide(LETTER, 14);
const px = ([across, down]) => [across * width, down * height];
const figure = (text) => Number(String(text).trim().replace(",", "."));
const cent = (share) => String(Math.round(share * 10000) / 100);

// A typed line as a mark, or null while it cannot be read.
function read(line) {
  const parts = line.split(";").map((part) => part.trim());
  const kind = parts[0].toLowerCase();
  const figures = (parts[1] ?? "").split(/[\s/]+/).filter(Boolean).map(figure);
  const count = kind === "text" ? 2 : 4;
  if (!(kind in HOW) || figures.length !== count || figures.some((one) => !(one >= 0 && one <= 100))) return null;
  const points = [];
  for (let at = 0; at < count; at += 2) points.push([figures[at] / 100, figures[at + 1] / 100]);
  const has = TWO.has(kind);
  const given = has ? figure((parts[2] ?? "").replace(/\s*mm$/i, "") || NaN) : NaN;
  return { kind, points, given, words: parts.slice(has ? 3 : 2).join("; ") };
}

const span = ([start, end]) => Math.hypot((end[0] - start[0]) * width, (end[1] - start[1]) * height);

function label(mark, reference) {
  const parts = [];
  if (mark.kind === "reference" && mark.given > 0) parts.push(`reference ${mark.given} mm`);
  if (mark.kind === "measure" && mark.given > 0) parts.push(`${mark.given} mm`);
  if (mark.kind === "measure" && reference && span(reference.points) > 0) {
    const about = Number((reference.given * span(mark.points) / span(reference.points)).toPrecision(2));
    parts.push(`${mark.given > 0 ? "in the picture " : ""}about ${about} mm`);
  }
  if (mark.words) parts.push(mark.words);
  return parts.join(", ");
}

function shapes(mark) {
  const [start, end] = mark.points.map(px);
  if (mark.kind === "text") return [];
  if (mark.kind === "circle") {
    return [["ellipse", {
      cx: (start[0] + end[0]) / 2, cy: (start[1] + end[1]) / 2,
      rx: Math.abs(start[0] - end[0]) / 2, ry: Math.abs(start[1] - end[1]) / 2,
    }]];
  }
  const long = Math.hypot(end[0] - start[0], end[1] - start[1]) || 1;
  const [dx, dy] = [(end[0] - start[0]) / long, (end[1] - start[1]) / long];
  const head = Math.min(HEAD * lineWidth(), long), half = head / 2;
  if (mark.kind === "arrow") {
    const foot = [end[0] - dx * head, end[1] - dy * head];
    return [
      ["path", { d: `M${start} L${foot}` }],
      ["path", { d: `M${end} L${[foot[0] - dy * half, foot[1] + dx * half]} L${[foot[0] + dy * half, foot[1] - dx * half]} Z`, solid: true }],
    ];
  }
  const bar = ([x, y]) => `M${[x - dy * half, y + dx * half]} L${[x + dy * half, y - dx * half]}`;
  const along = { d: `M${start} L${end}` };
  if (mark.kind === "reference") along["stroke-dasharray"] = DASH * lineWidth();
  return [["path", along], ["path", { d: `${bar(start)} ${bar(end)}` }]];
}

function draw(mark, reference) {
  const group = make("g", {});
  for (const coat of ["edge", "ink"]) {
    for (const [name, { solid, ...rest }] of shapes(mark)) {
      const thick = (solid ? 0 : lineWidth()) + (coat === "edge" ? 2 * edgeWidth() : 0);
      group.append(make(name, { ...rest, class: solid && coat === "ink" ? "solid" : coat, "stroke-width": thick }));
    }
  }
  const caption = label(mark, reference) || (mark.kind === "text" ? "…" : "");
  if (caption) {
    const high = mark.kind === "text" ? -0.35 * letters() : TWO.has(mark.kind) ? lineWidth() * HEAD : 0.6 * letters();
    const at = mark.kind === "measure" || mark.kind === "reference"
      ? px(mark.points[0].map((one, axis) => (one + mark.points[1][axis]) / 2)) : px(mark.points[0]);
    const inside = [Math.min(Math.max(at[0], 0.02 * width), 0.98 * width), Math.min(Math.max(at[1] - high, letters()), height - 0.3 * letters())];
    const anchor = at[0] < 0.33 * width ? "start" : at[0] > 0.67 * width ? "end" : "middle";
    group.append(make("text", { x: inside[0], y: inside[1], "text-anchor": anchor, "font-size": letters(), "stroke-width": 3 * edgeWidth() }, caption));
  }
  return group;
}

function follow(preview) {
  const marks = allLines().map(read).filter(Boolean);
  const reference = marks.find((mark) => mark.kind === "reference" && mark.given > 0);
  sheet.replaceChildren(...[...marks, ...(preview ? [preview] : [])].map((mark) => draw(mark, reference)));
  if (cross) {
    const [x, y] = px(cross), arm = 3 * lineWidth();
    const d = `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}`;
    for (const coat of ["edge", "ink"]) sheet.append(make("path", { d, class: coat, "stroke-width": (coat === "edge" ? 2 : 0.7) * lineWidth() }));
  }
  bind();
}

function say(sentence) {
  told.textContent = sentence;
  told.hidden = !sentence;
}

const allLines = () => lines.value.split("\n").filter((line) => line.trim());

// What is still to be said of a mark, in words; nothing where it is whole.
function wanting(mark) {
  if (mark.kind === "text" && !mark.words) return "Type the words below.";
  if (mark.kind === "reference" && !(mark.given > 0)) return "Type its length below; measures follow from it.";
  const has = allLines().map(read).some((one) => one?.kind === "reference");
  if (mark.kind === "measure" && !(mark.given > 0) && !has) return "Type its length below, or draw a reference.";
  return "";
}

function written({ kind, points, length: given, words: said }) {
  const parts = [kind, points.map((point) => point.map(cent).join(" ")).join(" ")];
  if (TWO.has(kind)) parts.push(given ? `${given} mm` : "");
  parts.push(said);
  while (!parts.at(-1)) parts.pop();
  return parts.join("; ");
}

function keep(all) {
  lines.value = all.join("\n");
  lines.dispatchEvent(new Event("input", { bubbles: true }));
}

function add(points) {
  const has = allLines().map(read).some((one) => one?.kind === "reference");
  if (type === "reference" && has) return say("There is a reference already. Take it back to draw another.");
  keep([...allLines(), written({ kind: type, points, length: "", words: "" })]);
  return say(wanting(read(allLines().at(-1))));
}

// What is typed below the picture belongs to the last mark.
function tell() {
  const all = allLines(), last = read(all.at(-1) ?? "");
  if (!last) return;
  all[all.length - 1] = written({ ...last, length: length.value.trim(), words: words.value.trim() });
  keep(all);
  say(wanting(read(all.at(-1))));
}

// Shows in the fields what the last mark says, unless it is just being typed there.
function bind() {
  const last = read(allLines().at(-1) ?? "");
  said.hidden = !last;
  undo.hidden = allLines().length === 0;
  if (!last || said.contains(document.activeElement)) return;
  said.querySelector("[data-length]").hidden = !TWO.has(last.kind);
  words.value = last.words;
  length.value = last.given > 0 ? last.given : "";
}

// Begins a mark at a place, or ends the one that was begun.
function place(at) {
  if (type === "text") {
    add([at]);
  } else if (from === null) {
    from = at;
    follow();
  } else {
    const points = [from, at];
    from = null;
    const flat = type === "circle" && points[0].some((one, axis) => Math.abs(one - points[1][axis]) < STEP);
    if (span(points) > STEP * unit && !flat) add(points);
    else follow();
  }
}

function whereOf(event) {
  const box = sheet.getBoundingClientRect();
  const share = (value, start, whole) => Math.min(Math.max((value - start) / whole, 0), 1);
  return [share(event.clientX, box.left, box.width), share(event.clientY, box.top, box.height)];
}

sheet.addEventListener("pointerdown", (event) => {
  if (!event.isPrimary || event.button > 0) return;
  event.preventDefault();
  cross = from = null;
  place(whereOf(event));
  if (from !== null) sheet.setPointerCapture(event.pointerId);
});
sheet.addEventListener("pointermove", (event) => {
  if (from === null || cross !== null) return;
  follow({ kind: type, points: [from, whereOf(event)], given: NaN, words: "" });
});
sheet.addEventListener("pointerup", (event) => {
  if (from !== null && cross === null) place(whereOf(event));
});
sheet.addEventListener("pointercancel", () => {
  from = null;
  follow();
});

const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
sheet.addEventListener("keydown", (event) => {
  const step = event.shiftKey ? 5 * STEP : STEP;
  if (event.key in KEYS) {
    cross = (cross ?? [0.5, 0.5]).map((share, axis) => Math.min(Math.max(share + step * KEYS[event.key][axis], 0), 1));
    follow(from && { kind: type, points: [from, cross], given: NaN, words: "" });
  } else if (event.key === "Enter") {
    cross ??= [0.5, 0.5];
    place(cross);
    follow();
  } else if (event.key === "Escape") {
    cross = from = null;
    follow();
  } else return;
  event.preventDefault();
});

function choose(button) {
  type = button.dataset.type;
  for (const other of tools.querySelectorAll("[data-type]")) other.setAttribute("aria-pressed", String(other === button));
  tools.querySelector("[data-how]").textContent = HOW[type];
  from = null;
  say("");
}

for (const button of tools.querySelectorAll("[data-type]")) button.addEventListener("click", () => choose(button));
undo.addEventListener("click", () => {
  keep(allLines().slice(0, -1));
  say("");
});
for (const field of [words, length]) field.addEventListener("input", tell);
lines.addEventListener("input", () => follow());
document.querySelector("[data-grid]").remove();
const folded = document.querySelector("[data-lines]");
if (!("wrong" in folded.dataset)) folded.open = false;
tools.hidden = false;
picture.append(sheet);
choose(tools.querySelector("[data-type]"));
follow();
