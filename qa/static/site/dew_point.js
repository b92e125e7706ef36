// Dew point over water, the same form as qa.trade.dew_point: WMO-No. 8, Annex 4.B (Magnus).

const SLOPE = 17.62;
const OFFSET_C = 243.12;

/** The dew point, °C; null outside -20 to 50 °C and 1 to 100 %. */
export function dewPoint(airC, humidityPct) {
  if (!(airC >= -20 && airC <= 50 && humidityPct >= 1 && humidityPct <= 100)) return null;
  const shortfall = Math.log(humidityPct / 100);
  const span = OFFSET_C + airC;
  return airC + (shortfall * span * span) / (SLOPE * OFFSET_C - shortfall * span);
}
