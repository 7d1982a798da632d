const MINUS = "\u2212";

/** A figure with at most so many decimals, a true minus sign, no minus zero and no idle zeros after the point. */
export function figure(value: number, decimals: number): string {
  return signed(String(Number(value.toFixed(decimals))));
}

/** Degrees to a tenth, as on a degree wheel: `151.7°`. */
export function degreesReading(angleDeg: number): string {
  return `${signed(fixed(angleDeg))}°`;
}

/** Degrees in the turn, 0 to 359.9: 359.96 reads `0.0°`. */
export function turnReading(angleDeg: number): string {
  return degreesReading(Number(fixed(angleDeg)) >= 360 ? 0 : angleDeg);
}

/** A share in per cent to a tenth: `92.1 %`. */
export function percentReading(ratio: number): string {
  return `${signed(fixed(100 * ratio))} %`;
}

/** Loudness of a beat against the loudest: `loudest`, or dB to a tenth; `no level` where it is not known. */
export function levelReading(relativeLevelDb: number | null): string {
  if (relativeLevelDb === null) return "no level";
  const text = fixed(relativeLevelDb);
  return Number(text) === 0 ? "loudest" : `${signed(text)} dB`;
}

/** Small counts in words. */
export function countWord(count: number): string {
  return ["no", "one", "two", "three", "four", "five", "six", "seven", "eight"][count] ?? String(count);
}

function fixed(value: number): string {
  const text = value.toFixed(1);
  return Number(text) === 0 ? text.replace("-", "") : text;
}

function signed(text: string): string {
  return text === "-0" ? "0" : text.replace("-", MINUS);
}
