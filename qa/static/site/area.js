// Draws a roof area while its lengths are typed, and lists its sides.
//
// The server draws the same plan for a phone without script; qa/web/roof/plan.py says how. Nothing
// is judged here: whether an outline can be, the record's own reader says.

const WIDTH = 320, TALLEST = 420, SIDE = 64, ABOVE = 34, OUT = 12, IN = 16, SHORTEST = 26;
const SVG = "http://www.w3.org/2000/svg";
const sheet = document.getElementById("sheet");
const plan = document.getElementById("plan");
const sides = document.getElementById("sides");
const pattern = document.getElementById("side");
const said = document.getElementById("sides-said"); // what the draft keeps of the sides

const figure = (text) => {
  const plain = String(text ?? "").trim().replace(",", ".").replace("−", "-");
  return plain === "" ? NaN : Number(plain);
};
const value = (name) => figure(sheet.elements[name]?.value);
const chosen = (name) => new FormData(sheet).get(name);

function rectangle(length, width) {
  return [[0, 0], [length, 0], [length, width], [0, width]];
}

function ell(length, width, outLength, outWidth, out) {
  const whole = rectangle(length, width);
  const order = ["near_left", "near_right", "far_right", "far_left"];
  const notch = {
    near_left: [[0, outWidth], [outLength, outWidth], [outLength, 0]],
    near_right: [[length - outLength, 0], [length - outLength, outWidth], [length, outWidth]],
    far_right: [[length, width - outWidth], [length - outLength, width - outWidth], [length - outLength, width]],
    far_left: [[outLength, width], [outLength, width - outWidth], [0, width - outWidth]],
  };
  const at = order.indexOf(out);
  return [...whole.slice(0, at), ...notch[out], ...whole.slice(at + 1)];
}

function walk(text) {
  const points = [[0, 0]];
  let x = 0, y = 0, heading = 0;
  for (const line of text.split("\n").map((one) => one.trim()).filter(Boolean)) {
    const [, length, turn] = /^([^\s;]+)(?:\s*m)?[\s;,]*(\S*)$/i.exec(line) ?? [];
    const paced = figure(length?.replace(/m$/i, ""));
    if (!(paced > 0)) return [];
    x += paced * Math.cos(heading * Math.PI / 180);
    y += paced * Math.sin(heading * Math.PI / 180);
    points.push([x, y]);
    const word = (turn ?? "").toLowerCase().replace("°", "");
    const turns = { "": 90, left: 90, l: 90, right: -90, r: -90 };
    heading += word in turns ? turns[word] : figure(word);
  }
  if (points.length > 1 && Math.hypot(x, y) <= 0.02) points.pop();
  return points.length > 2 ? points : [];
}

function corners(text) {
  const rows = text.split("\n").map((one) => one.trim()).filter(Boolean).map((line) => {
    const parts = line.split(/\s*[;/]\s*|,?\s+/);
    return (parts.length === 1 ? line.split(",") : parts).map(figure);
  });
  return rows.length > 2 ? rows : [];
}

function outline() {
  const length = value("length_m"), width = value("width_m");
  switch (chosen("shape")) {
    case "rectangle": return length > 0 && width > 0 ? rectangle(length, width) : [];
    case "ell": {
      const out = [value("out_length_m"), value("out_width_m")];
      if (!(length > 0 && width > 0 && out[0] > 0 && out[1] > 0)) return [];
      return ell(length, width, ...out, chosen("out") || "far_right");
    }
    case "walk": return walk(sheet.elements.walk.value);
    case "corners": return corners(sheet.elements.corners.value);
  }
  return [];
}

const ends = (points) => points.map((point, at) => [point, points[(at + 1) % points.length]]);
const metres = ([[ax, ay], [bx, by]]) => Math.hypot(bx - ax, by - ay);
const told = (length) => `${Number(length.toPrecision(4))} m`;

function element(name, attributes, text) {
  const made = document.createElementNS(SVG, name);
  for (const [key, held] of Object.entries(attributes)) made.setAttribute(key, held);
  if (text) made.textContent = text;
  return made;
}

// Where two sides that are not neighbours cross, or null.
function crossing(points) {
  const all = ends(points);
  for (let one = 0; one < all.length; one += 1) {
    for (let other = one + 2; other < all.length; other += 1) {
      if (one === 0 && other === all.length - 1) continue;
      const met = meeting(all[one], all[other]);
      if (met) return { point: met, sides: [one + 1, other + 1] };
    }
  }
  return null;
}

function meeting([[ax, ay], [bx, by]], [[cx, cy], [dx, dy]]) {
  const across = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx);
  if (Math.abs(across) < 1e-9) return null;
  const along = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / across;
  const other = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / across;
  if (along < 0 || along > 1 || other < 0 || other > 1) return null;
  return [ax + along * (bx - ax), ay + along * (by - ay)];
}

function draw(points) {
  const xs = points.map(([x]) => x), ys = points.map(([, y]) => y);
  const left = Math.min(...xs), top = Math.max(...ys);
  const wide = Math.max(Math.max(...xs) - left, 1e-3), high = Math.max(top - Math.min(...ys), 1e-3);
  const scale = Math.min((WIDTH - 2 * SIDE) / wide, (TALLEST - 2 * ABOVE) / high);
  const start = (WIDTH - wide * scale) / 2, height = high * scale + 2 * ABOVE;
  const at = ([x, y]) => [start + (x - left) * scale, ABOVE + (top - y) * scale];
  const turned = ends(points).reduce((sum, [[ax, ay], [bx, by]]) => sum + ax * by - bx * ay, 0) < 0;
  const svg = element("svg", { class: "plan", viewBox: `0 0 ${WIDTH} ${height}`, role: "img" });
  svg.setAttribute("aria-label", `Plan to scale. Sides: ${ends(points).map((side, n) => `e${n + 1} ${told(metres(side))}`).join("; ")}.`);
  svg.append(element("polygon", {
    points: points.map((point) => at(point).map((place) => place.toFixed(1)).join(",")).join(" "),
    fill: "none", stroke: "currentColor", "stroke-width": 2.5, "stroke-linejoin": "round",
  }));
  const lengths = element("g", { class: "lengths" }), numbers = element("g", { class: "keys" });
  ends(points).forEach((side, number) => {
    const [[ax, ay], [bx, by]] = side.map(at);
    const span = Math.hypot(bx - ax, by - ay);
    if (span < SHORTEST) return;
    let outX = -(by - ay) / span, outY = (bx - ax) / span;
    if (turned) [outX, outY] = [-outX, -outY];
    const anchor = outX > 0.5 ? "start" : outX < -0.5 ? "end" : "middle";
    const middle = [(ax + bx) / 2, (ay + by) / 2];
    lengths.append(element("text", { x: middle[0] + OUT * outX, y: middle[1] + OUT * outY, "text-anchor": anchor, dy: "0.35em" }, told(metres(side))));
    numbers.append(element("text", { x: middle[0] - IN * outX, y: middle[1] - IN * outY, "text-anchor": "middle", dy: "0.35em" }, `e${number + 1}`));
  });
  svg.append(lengths, numbers);
  const crossed = crossing(points);
  if (crossed) {
    const [x, y] = at(crossed.point);
    svg.append(element("path", { class: "crossing", fill: "none", "stroke-width": 3, d: `M${x - 9} ${y - 9}l18 18m0 -18l-18 18` }));
  }
  return [svg, crossed];
}

function list(points) {
  const all = ends(points);
  while (sides.children.length > all.length) sides.lastElementChild.remove();
  while (sides.children.length < all.length) {
    const row = pattern.content.cloneNode(true), number = sides.children.length + 1;
    row.querySelector("select").id = `side-${number}`;
    row.querySelector("label").htmlFor = `side-${number}`;
    sides.append(row);
    sides.lastElementChild.querySelector("select").value = said.value.split(" ")[number - 1]?.replace("-", "") ?? "";
  }
  all.forEach((side, at) => {
    sides.children[at].querySelector("label").textContent = `e${at + 1}, ${told(metres(side))}`;
  });
  document.getElementById("no-sides").hidden = all.length > 0;
}

function follow() {
  const points = outline();
  if (points.length < 3 || points.flat().some((place) => !Number.isFinite(place))) {
    plan.replaceChildren();
    return list([]);
  }
  const [svg, crossed] = draw(points);
  plan.replaceChildren(svg);
  if (crossed) {
    const said = document.createElement("p");
    said.className = "error";
    said.textContent = `Sides e${crossed.sides[0]} and e${crossed.sides[1]} cross at x ${crossed.point[0].toFixed(2)}, y ${crossed.point[1].toFixed(2)} m.`;
    plan.append(said);
  }
  list(points);
}

if (sheet && plan) {
  document.getElementById("draw").hidden = true;
  const turns = document.getElementById("turns"), pace = document.getElementById("pace");
  turns.hidden = false;
  turns.addEventListener("click", (event) => {
    const turn = event.target.closest("[data-turn]")?.dataset.turn;
    if (!turn || !(figure(pace.value) > 0)) return;
    const walked = sheet.elements.walk;
    walked.value = `${walked.value.trimEnd()}\n${pace.value.trim()} ${turn}`.trimStart();
    walked.dispatchEvent(new Event("input", { bubbles: true }));
    pace.value = "";
    pace.focus();
  });
  // While the event goes down, so that the draft keeps what is noted here.
  sheet.addEventListener("input", () => {
    said.value = [...sides.querySelectorAll("select")].map((one) => one.value || "-").join(" ");
    follow();
  }, { capture: true });
  sheet.addEventListener("laidtrue:restored", follow);
  follow();
}
