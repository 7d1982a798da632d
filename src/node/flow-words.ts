/** A flow for a reader, `12690 kg/h`: four significant digits, never a power of ten; under a milligram an hour it is 0. */
export function flowWords(flowKgPerS: number): string {
  const perHour = Number((3600 * flowKgPerS).toPrecision(4));
  const size = Math.abs(perHour);
  if (!(size >= 1e-6)) return Number.isNaN(perHour) ? "no number" : "0 kg/h";
  return `${perHour.toFixed(Math.max(0, 3 - Math.floor(Math.log10(size))))} kg/h`;
}
