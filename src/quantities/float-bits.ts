const doubles = new Float64Array(1);
const words = new Int32Array(doubles.buffer);

// Which half of a double comes first depends on the processor; found once, when the module loads.
doubles[0] = 1;
const high = words[1] === 0x3ff00000 ? 1 : 0;
const low = 1 - high;

/** Upper 32 bits of a double: sign, exponent and the first 20 bits of the mantissa. */
export function highWord(x: number): number {
  doubles[0] = x;
  return words[high]!;
}

/** Lower 32 bits of a double's mantissa, as a signed integer. */
export function lowWord(x: number): number {
  doubles[0] = x;
  return words[low]!;
}

/** The same double with its upper 32 bits replaced. */
export function withHighWord(x: number, highBits: number): number {
  doubles[0] = x;
  words[high] = highBits;
  return doubles[0];
}

/** The same double with its lower 32 bits cleared, so that products of two of them are exact. */
export function withoutLowWord(x: number): number {
  doubles[0] = x;
  words[low] = 0;
  return doubles[0];
}

/** A double made of its two halves. */
export function fromWords(highBits: number, lowBits: number): number {
  words[high] = highBits;
  words[low] = lowBits;
  return doubles[0]!;
}

/** x times 2 to the power `exponent`, exact while the result is a normal number. `exponent` is an integer, -2200 to 2200. */
export function scaleByPowerOfTwo(x: number, exponent: number): number {
  let scaled = x;
  let rest = exponent;
  if (rest > 1023) {
    scaled *= 8.98846567431158e307; // 2^1023
    rest -= 1023;
    if (rest > 1023) {
      scaled *= 8.98846567431158e307;
      rest = rest - 1023 > 1023 ? 1023 : rest - 1023;
    }
  } else if (rest < -1022) {
    scaled *= 2.004168360008973e-292; // 2^-969, so that a result below the normal range is rounded only once
    rest += 969;
    if (rest < -1022) {
      scaled *= 2.004168360008973e-292;
      rest = rest + 969 < -1022 ? -1022 : rest + 969;
    }
  }
  words[high] = (rest + 1023) << 20;
  words[low] = 0;
  return scaled * doubles[0]!;
}
