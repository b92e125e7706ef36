// Says how far a pack is while it is being made, and shows the page again when it is there.

const EVERY_MS = 1500;

async function look(line) {
  const answer = await fetch(line.dataset.packState, { headers: { Accept: "application/json" } });
  if (!answer.ok) return;
  const state = await answer.json();
  if (!state.waiting) location.reload();
  else if (state.told && line.textContent !== `${state.told}…`) line.textContent = `${state.told}…`;
}

setInterval(() => {
  if (document.hidden) return;
  for (const line of document.querySelectorAll("[data-pack-state]")) look(line).catch(() => {});
}, EVERY_MS);
