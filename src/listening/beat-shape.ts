import type { BeatWindow } from "./beat-windows.js";
import { binOf, type PowerOnTurn } from "./folded-envelope.js";

/** A beat in its window, above the straight line between the smoothed values at its ends. */
export interface BeatShape {
  readonly centroidBin: number;
  /** Sum over bins of the mean square above the floor. */
  readonly energy: number;
  /** By bin of the turn: change of the centroid (bins), and of `energy`, per change of that bin's mean square. */
  readonly centroidLevers: Float64Array;
  readonly energyLevers: Float64Array;
}

/** What is weighed: mean square, or its root. */
export type WeighedEnvelope = "power" | "amplitude";

/**
 * Measures one beat. `smooth` is `meanSquare` smoothed with `weights`; both end bins of the window belong to both
 * neighbours and count half. The levers are the exact first derivatives with the window held, the floor's part
 * included.
 */
export function beatShape(
  window: BeatWindow,
  meanSquare: Float64Array,
  smooth: Float64Array,
  weights: Float64Array,
  envelope: WeighedEnvelope,
): BeatShape {
  const { fromBin, lengthBins } = window;
  const n = meanSquare.length;
  const weighed = (power: number): number => (envelope === "power" ? power : Math.sqrt(power));
  const slope = (power: number): number => (envelope === "power" || power === 0 ? 1 : 0.5 / Math.sqrt(power));
  const [first, last] = [smooth[fromBin % n]!, smooth[(fromBin + lengthBins) % n]!];
  let [weight, moment, energy] = [0, 0, 0];
  for (let k = 0; k <= lengthBins; k++) {
    const [share, part] = [shareOf(k, lengthBins), k / lengthBins];
    const power = meanSquare[(fromBin + k) % n]!;
    const above = weighed(power) - (weighed(first) * (1 - part) + weighed(last) * part);
    weight += share * above;
    moment += share * above * k;
    energy += share * (power - (first * (1 - part) + last * part));
  }
  const centre = moment / weight;
  const [centroidLevers, energyLevers] = [new Float64Array(n), new Float64Array(n)];
  // Pull of the two ends of the floor line on centroid and energy.
  const [centrePulls, energyPulls] = [
    [0, 0],
    [0, 0],
  ];
  for (let k = 0; k <= lengthBins; k++) {
    const [share, part, bin] = [shareOf(k, lengthBins), k / lengthBins, (fromBin + k) % n];
    const lever = (share * (k - centre)) / weight;
    centroidLevers[bin]! += lever * slope(meanSquare[bin]!);
    energyLevers[bin]! += share;
    centrePulls[0]! += lever * (1 - part);
    centrePulls[1]! += lever * part;
    energyPulls[0]! += share * (1 - part);
    energyPulls[1]! += share * part;
  }
  [first, last].forEach((floor, end) => {
    const half = (weights.length - 1) / 2;
    for (let j = -half; j <= half; j++) {
      const bin = (fromBin + end * lengthBins + j + n) % n;
      centroidLevers[bin]! -= centrePulls[end]! * slope(floor) * weights[j + half]!;
      energyLevers[bin]! -= energyPulls[end]! * weights[j + half]!;
    }
  });
  return { centroidBin: fromBin + 0.5 + centre, energy, centroidLevers, energyLevers };
}

/** How a beat differs from turn to turn. */
export interface TurnSpread {
  /** Standard deviation of the centroid, bins; Infinity for a single turn. */
  readonly centroidBins: number;
  /** The same of the energy, in the unit of {@link BeatShape.energy}. */
  readonly energy: number;
}

/** Spread of one beat over the turns, from each turn's own part in centroid and energy. */
export function turnSpread({ shaft, power, spans, binCount }: PowerOnTurn, shape: BeatShape): TurnSpread {
  const { centroidLevers, energyLevers } = shape;
  const turnCount = shaft.turnCount;
  const [shifts, energies] = [new Float64Array(turnCount), new Float64Array(turnCount)];
  for (let i = 0; i < power.length; i++) {
    const turns = shaft.turns[i]!;
    const bin = binOf(turns, binCount);
    const turn = Math.min(turnCount - 1, Math.floor(turns + 1e-7 / binCount));
    const share = power[i]! * spans[i]! * binCount;
    shifts[turn]! += centroidLevers[bin]! * share;
    energies[turn]! += energyLevers[bin]! * share;
  }
  return { centroidBins: standardDeviation(shifts), energy: standardDeviation(energies) };
}

function shareOf(k: number, lengthBins: number): number {
  return k === 0 || k === lengthBins ? 0.5 : 1;
}

/** Of a sample, n - 1 in the divisor; Infinity for one value. */
function standardDeviation(values: Float64Array): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) * (value - mean), 0);
  return values.length > 1 ? Math.sqrt(squares / (values.length - 1)) : Infinity;
}
