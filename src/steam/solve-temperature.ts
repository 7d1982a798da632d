/** Finds the temperature at which a rising property has a value: Newton, kept within a bracket that shrinks. */
export function solveTemperatureK(
  target: number,
  lowestK: number,
  highestK: number,
  startK: number,
  valueAt: (temperatureK: number) => number,
  slopeAt: (temperatureK: number) => number,
): number {
  let low = lowestK;
  let high = highestK;
  let temperatureK = Math.min(high, Math.max(low, startK));
  for (let k = 0; k < 60; k++) {
    const error = valueAt(temperatureK) - target;
    if (error > 0) high = temperatureK;
    else low = temperatureK;
    let next = temperatureK - error / slopeAt(temperatureK);
    if (!(next >= low && next <= high)) next = 0.5 * (low + high);
    const isSettled = Math.abs(next - temperatureK) < 1e-10 * temperatureK;
    temperatureK = next;
    if (isSettled) break;
  }
  return temperatureK;
}
