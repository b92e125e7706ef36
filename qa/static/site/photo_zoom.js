// Photographs zoomed by button and key, both of a pair alike. Without script the large copy opens.

const panes = [...document.querySelectorAll("[data-pane]")];
const zooming = document.querySelector("[data-zooming]");
const told = document.querySelector("[data-zoom-told]");
const TIMES = [1, 2, 4, 8];
const STEP = 0.15;
const KEYS = { "+": "in", "=": "in", "-": "out", Escape: "whole", 0: "whole" };
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
let at = 0;

function zoom(how) {
  at = how === "whole" ? 0 : Math.max(0, Math.min(TIMES.length - 1, at + (how === "in" ? 1 : -1)));
  for (const pane of panes) {
    const middle = [
      (pane.scrollLeft + pane.clientWidth / 2) / pane.scrollWidth,
      (pane.scrollTop + pane.clientHeight / 2) / pane.scrollHeight,
    ];
    pane.dataset.times = TIMES[at];
    pane.scrollLeft = middle[0] * pane.scrollWidth - pane.clientWidth / 2;
    pane.scrollTop = middle[1] * pane.scrollHeight - pane.clientHeight / 2;
  }
  told.textContent = `${TIMES[at] * 100} %`;
}

function move([right, down]) {
  for (const pane of panes) {
    pane.scrollBy(right * STEP * pane.clientWidth, down * STEP * pane.clientHeight);
  }
}

function isTyping(target) {
  return target instanceof Element && target.closest("input, textarea, select") !== null;
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return;
  if (event.key in KEYS) zoom(KEYS[event.key]);
  else if (event.key in ARROWS && at > 0) move(ARROWS[event.key]);
  else return;
  event.preventDefault();
});
for (const button of zooming.querySelectorAll("[data-zoom]")) {
  button.addEventListener("click", () => zoom(button.dataset.zoom));
}
zooming.hidden = false;
