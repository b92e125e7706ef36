// Figures as people write them, the same as qa.trade.notation: a real minus sign, at most so many
// significant digits, ties to the even digit.

/** The figure that a person typed, with a decimal point or a comma; null where it is none. */
export function readNumber(text) {
  const plain = text.replace(/[\s\u00a0\u202f]/g, "").replace(/[−–]/, "-").replace(",", ".");
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain)) return null;
  const value = Number(plain);
  return Number.isFinite(value) ? value : null;
}

/** A number above nought rounded to so many decimals; a tie goes to the even digit. */
export function rounded(value, decimals) {
  const text = value.toFixed(decimals);
  const exact = value.toFixed(Math.min(decimals + 60, 100));
  const rest = exact.slice(exact.indexOf(".") + 1 + decimals);
  if (!/^50*$/.test(rest)) return text;
  const last = text.at(-1);
  if (Number(last) % 2 === 0) return text;
  return (Number(text) - 10 ** -decimals).toFixed(decimals); // toFixed went up: one back down
}

/** A number with at most `digits` significant digits and no needless zeros. */
export function numberText(value, digits = 4) {
  if (value === 0) return "0";
  const size = Math.abs(value);
  const whole = rounded(size, 0);
  const text = whole.length >= digits && size >= 1 ? whole : significant(size, digits);
  return value < 0 ? `−${text}` : text;
}

function significant(size, digits) {
  const magnitude = Math.floor(Math.log10(size));
  let text = rounded(size, Math.max(digits - 1 - magnitude, 0));
  if (Number(text) >= 10 ** (magnitude + 1)) text = rounded(size, Math.max(digits - 2 - magnitude, 0));
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
}
