// One bay: “transparent” is saved at once; “white patches” and “dry” first ask how large, in the page.

const asking = document.getElementById("asking");
const form = document.getElementById("sheet");
const bar = document.querySelector(".bar");

function isSaidWhy() {
  return [...asking.querySelectorAll(".typed")].some((field) => field.value) || asking.querySelector("[data-photos-held] li");
}

function ask(button) {
  const asked = document.createElement("input");
  Object.assign(asked, { type: "hidden", name: "asked", value: "yes" });
  form.append(asked);
  document.getElementById("asking-head").textContent = `${button.textContent}: how large?`;
  asking.hidden = false;
  for (const other of bar.querySelectorAll("button")) other.hidden = other !== button;
  button.textContent = `Save: ${button.textContent.toLowerCase()}`;
  button.className = "save";
  delete button.dataset.asks;
  document.getElementById("opaque_cm2").focus();
}

if ("folded" in asking.dataset) asking.hidden = !isSaidWhy();
for (const button of bar.querySelectorAll("[data-asks]")) {
  button.addEventListener("click", (event) => {
    if (!("asks" in button.dataset)) return;
    event.preventDefault();
    ask(button);
  });
}
