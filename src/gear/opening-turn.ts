/** What one opening does over a turn; angles in radians, ascending, not wrapped. */
export interface OpeningTurn {
  /** Greatest opening, not capped; 0 or less: it never opens. */
  readonly greatestM: number;
  /** Where it opens and where it shuts, opening first; `null` where it never opens or never shuts. */
  readonly opensRad: number | null;
  readonly shutsRad: number | null;
}

// A harmonic valve and a swinging port both rise once and fall once in a turn; a degree's grid cannot miss the crest.
const GRID_COUNT = 360;
// Golden section from two grid cells down to 1e-8 rad, where the crest is flat to the last digit.
const CREST_STEPS = 32;
// Halvings of less than a turn down to the last bit of an angle.
const ROOT_STEPS = 60;
// An opening smaller than a billionth of the port is none.
const SHUT_RATIO = 1e-9;

/**
 * Finds where an opening rises above 0 and falls below it, by root finding on the geometry itself.
 *
 * @param openingM opening at an angle; periodic over a turn, with one crest and one trough; negative is shut
 * @param portWidthM against which an opening counts as none
 */
export function openingTurn(openingM: (angleRad: number) => number, portWidthM: number): OpeningTurn {
  const crestRad = crestOf(openingM);
  const greatestM = openingM(crestRad);
  const troughRad = crestOf((angleRad) => -openingM(angleRad));
  const least = SHUT_RATIO * portWidthM;
  if (greatestM <= least || openingM(troughRad) >= -least) return { greatestM, opensRad: null, shutsRad: null };
  const before = troughRad < crestRad ? troughRad : troughRad - 2 * Math.PI;
  return {
    greatestM,
    opensRad: rootBetween(openingM, before, crestRad),
    shutsRad: rootBetween(openingM, before + 2 * Math.PI, crestRad),
  };
}

function crestOf(height: (angleRad: number) => number): number {
  const cell = (2 * Math.PI) / GRID_COUNT;
  let best = 0;
  let bestHeight = -Infinity;
  for (let i = 0; i < GRID_COUNT; i++) {
    const here = height(i * cell);
    if (here > bestHeight) {
      best = i;
      bestHeight = here;
    }
  }
  const golden = 0.5 * (Math.sqrt(5) - 1);
  let low = (best - 1) * cell;
  let high = (best + 1) * cell;
  for (let step = 0; step < CREST_STEPS; step++) {
    const inner = golden * (high - low);
    if (height(high - inner) > height(low + inner)) high = low + inner;
    else low = high - inner;
  }
  return 0.5 * (low + high);
}

/** Where the opening changes sign between an angle at which it is shut and one at which it is open. */
function rootBetween(openingM: (angleRad: number) => number, shutRad: number, openRad: number): number {
  let shut = shutRad;
  let open = openRad;
  for (let step = 0; step < ROOT_STEPS; step++) {
    const middle = 0.5 * (shut + open);
    if (openingM(middle) > 0) open = middle;
    else shut = middle;
  }
  return 0.5 * (shut + open);
}
