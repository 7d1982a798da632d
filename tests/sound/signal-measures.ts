/** Complex response of an impulse response at one frequency. */
export function responseAt(
  impulse: Float64Array,
  frequencyHz: number,
  sampleRateHz: number,
): { re: number; im: number } {
  const w = (2 * Math.PI * frequencyHz) / sampleRateHz;
  let re = 0;
  let im = 0;
  for (let i = 0; i < impulse.length; i++) {
    re += impulse[i] * Math.cos(w * i);
    im -= impulse[i] * Math.sin(w * i);
  }
  return { re, im };
}

export function gainDbAt(impulse: Float64Array, frequencyHz: number, sampleRateHz: number): number {
  const { re, im } = responseAt(impulse, frequencyHz, sampleRateHz);
  return 20 * Math.log10(Math.hypot(re, im));
}

/** Phase delay in samples, unwrapped towards `nearSamples`. */
export function phaseDelayAt(
  impulse: Float64Array,
  frequencyHz: number,
  sampleRateHz: number,
  nearSamples: number,
): number {
  const { re, im } = responseAt(impulse, frequencyHz, sampleRateHz);
  const w = (2 * Math.PI * frequencyHz) / sampleRateHz;
  const turns = Math.round((nearSamples * w + Math.atan2(im, re)) / (2 * Math.PI));
  return (2 * Math.PI * turns - Math.atan2(im, re)) / w;
}

/** First `length` samples that a unit gives for a single 1 at sample 0. */
export function impulseResponse(
  process: (input: Float64Array, output: Float64Array, frameCount: number) => void,
  length: number,
): Float64Array {
  const input = new Float64Array(length);
  input[0] = 1;
  const output = new Float64Array(length);
  process(input, output, length);
  return output;
}

/**
 * Frequency of the ringing mode nearest to `nearHz`: phase that it gains between two Hann windows.
 * Other modes must stand several over the window's length away.
 */
export function ringingHz(signal: Float64Array, nearHz: number, sampleRateHz: number, windowS: number): number {
  const length = Math.round(windowS * sampleRateHz);
  const hop = Math.round(0.2 / nearHz / (1 / sampleRateHz)) + 1;
  const start = Math.round(0.05 * sampleRateHz);
  let found = nearHz;
  for (let round = 0; round < 4; round++) {
    const first = windowedPhase(signal, start, length, found, sampleRateHz);
    const far = round < 2 ? hop : Math.min(signal.length - start - length, Math.round(length / 2));
    const second = windowedPhase(signal, start + far, length, found, sampleRateHz);
    let gained = second - first;
    gained -= 2 * Math.PI * Math.round(gained / (2 * Math.PI));
    found += (gained * sampleRateHz) / (2 * Math.PI * far);
  }
  return found;
}

// Phase against a wave of this frequency that starts at sample 0.
function windowedPhase(signal: Float64Array, start: number, length: number, frequencyHz: number, rate: number): number {
  const w = (2 * Math.PI * frequencyHz) / rate;
  let re = 0;
  let im = 0;
  for (let i = 0; i < length; i++) {
    const weight = (1 - Math.cos((2 * Math.PI * i) / length)) * signal[start + i];
    re += weight * Math.cos(w * (start + i));
    im -= weight * Math.sin(w * (start + i));
  }
  return Math.atan2(im, re);
}

export function rms(signal: Float64Array, from = 0): number {
  let sum = 0;
  for (let i = from; i < signal.length; i++) sum += signal[i] * signal[i];
  return Math.sqrt(sum / (signal.length - from));
}

export const cents = (a: number, b: number): number => 1200 * Math.log2(a / b);
