// The dose of a mix and its estimated gel time, reckoned in the page from the chart that the server
// sends: the same figures as qa.trade.catalyst, qa.trade.dosing and qa.trade.gel_time.

/** The chart's row at a deck temperature, or null outside the chart: do not mix. */
export function rowAt(rows, deckC) {
  for (const row of rows) {
    if (deckC < row.to_c) return deckC >= row.from_c ? row : null;
  }
  const last = rows.at(-1);
  return last.includes_to && deckC === last.to_c ? last : null;
}

/** Target and accepted band of a mix, ml. */
export function doseOf(row, kg) {
  return {
    target: kg * row.target_ml_per_kg,
    lower: kg * row.lower_ml_per_kg,
    upper: kg * row.upper_ml_per_kg,
  };
}

const NOISE = 1e-9; // relative distance at a limit that is noise of binary arithmetic

/** Whether a dose in ml/kg keeps the row's band; a value on a limit keeps it. */
export function isInBand(row, mlPerKg) {
  const { lower_ml_per_kg: lower, upper_ml_per_kg: upper } = row;
  return mlPerKg >= lower - NOISE * lower && mlPerKg <= upper + NOISE * upper;
}

/** The estimated gel time with its band, minutes; null where nothing is known. */
export function gelOf(model, deckC, mlPerKg) {
  if (!model || !isInside(model.domain, deckC, mlPerKg)) return null;
  const gel = Math.exp(model.intercept + model.per_k * deckC + model.per_ln_dose * Math.log(mlPerKg));
  const factor = Math.exp(model.half_band * (1 + spansOutside(model.table, deckC, mlPerKg)));
  return { gel, low: gel / factor, high: gel * factor };
}

function isInside(domain, deckC, mlPerKg) {
  return (
    domain.from_c <= deckC && deckC <= domain.to_c && domain.from_ml_per_kg <= mlPerKg && mlPerKg <= domain.to_ml_per_kg
  );
}

function spansOutside(table, deckC, mlPerKg) {
  const doublings = Math.log(table.to_ml_per_kg / table.from_ml_per_kg);
  const leaner = Math.log(table.from_ml_per_kg / mlPerKg);
  const richer = Math.log(mlPerKg / table.to_ml_per_kg);
  return (
    Math.max(table.from_c - deckC, deckC - table.to_c, 0) / (table.to_c - table.from_c) +
    Math.max(leaner, richer, 0) / doublings
  );
}

/** The next bays in order that a mass serves; half a bay belongs to the next bucket. */
export function baysFor(left, kg) {
  const served = [];
  let room = kg;
  for (const [key, share] of left) {
    if (room <= share / 2) break;
    served.push(key);
    room -= share;
  }
  return served;
}
