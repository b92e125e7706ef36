// Shows beside a figure the unit of the batch that is chosen.

const sheet = document.getElementById("sheet");
const units = JSON.parse(document.querySelector("[data-units]").dataset.units);

function show() {
  const chosen = sheet.querySelector("input[name=lot]:checked");
  const unit = chosen && units[chosen.value];
  if (!unit) return;
  for (const figure of ["used-unit", "wasted-unit"]) document.getElementById(figure).textContent = unit;
}

sheet.addEventListener("change", show);
sheet.addEventListener("laidtrue:restored", show);
show();
