import type { GearingDescription } from "../engine/running-description.js";
import { NoisePeriod, NoiseStream } from "../quantities/random.js";
import { cos } from "../quantities/portable-maths.js";
import type { ContactBodies } from "../sound/hertz-contact.js";
import { CAST_IRON, STEEL } from "../sound/modal-bodies.js";
import { ringModes, type BodyAir, type StruckMode } from "../sound/struck-body.js";
import { noiseStreams } from "./noise-streams.js";

// Sizes of gearing of the trade, against its pitch, and how true it is, in this file.
// [common practice: cast and cut spur gears of road engines, roller chains, leather belts]

const modeCount = 12;
// A wheel on its shaft, with oil between the teeth.
const wheelLossRatio = 0.02;
// Of the pitch, what neighbouring teeth differ by and what a wheel is out of round.
const toothErrorRatio = 1.5e-4;
const roundErrorRatio = 1.5e-4;
// How teeth yield, N/m for each metre of face. [source: ISO 6336-1, mean tooth stiffness of 14 to 20 N/(mm um) of steel, from memory; cast iron on shafts that bend yields five times as much]
const toothStiffnessPa = 3e9;
const leatherModulusPa = 5e7;
const leatherKgPerM3 = 1000;

/** One pair of wheels, as it strikes. */
export interface MeshIron {
  readonly marksPerTurn: number;
  /** Angle of the driving wheel for each of the crankshaft. */
  readonly speedRatio: number;
  readonly radiusM: number;
  /** Sum of the curvatures on which a tooth or lap that stands out is met, 1/m. */
  readonly curvaturePerM: number;
  readonly struckKg: number;
  readonly contact: ContactBodies;
  /** What stands out at each mark of the two that meet, m: index is the mark modulo the length. */
  readonly drivingM: Float64Array;
  readonly drivenM: Float64Array;
  /** What a force of 1 N at the pitch line adds to it, m/N. */
  readonly yieldMPerN: number;
  /** A link swings about the one before and comes down one pitch away; 0 for the others. */
  readonly swingM: number;
}

/** All pairs, and the greatest wheel as the body that rings. */
export interface GearingIron {
  readonly meshes: readonly MeshIron[];
  readonly modes: readonly StruckMode[];
  readonly playM: number;
}

export function gearingIron(gearing: GearingDescription, boreM: number, seed: number, air: BodyAir): GearingIron {
  const { kind, pairs } = gearing;
  const pitchM = gearing.pitchM ?? (kind === "chain" ? 0.1 : 0.2) * boreM;
  const faceM = gearing.faceM ?? (kind === "belt" ? 0.4 * boreM : 2.5 * pitchM);
  const radius = (size: number): number => (kind === "belt" ? 0.0005 * size : (size * pitchM) / (2 * Math.PI));
  const greatest = pairs.reduce((most, { driving, driven }) => Math.max(most, driving, driven), 0);
  const rimM = kind === "belt" ? 0.01 + 0.03 * radius(greatest) : 0.7 * pitchM;
  const radiusM = radius(greatest);
  const massKg = CAST_IRON.densityKgPerM3 * 2 * Math.PI * radiusM * faceM * rimM * 1.6;
  const modes = ringModes(
    { stuff: CAST_IRON, lossRatio: wheelLossRatio, modeCount, radiusM, depthM: rimM, widthM: faceM, massKg },
    air,
  );
  let speedRatio = 1;
  const meshes = pairs.map((pair, k) => {
    const sizes = { driving: radius(pair.driving), driven: radius(pair.driven) };
    const errors = (count: number, stream: number): Float64Array =>
      outOfTrue(count, pitchM, new NoiseStream(seed, noiseStreams.tooth + 2 * k + stream, new NoisePeriod()));
    const mesh =
      kind === "gear"
        ? toothMesh(pair, sizes, pitchM, faceM, speedRatio, errors)
        : kind === "chain"
          ? chainMesh(pair, sizes, pitchM, speedRatio, gearing.linkCount ?? 2 * (pair.driving + pair.driven), errors)
          : beltMesh(sizes, faceM, speedRatio, gearing.beltM ?? null);
    speedRatio *= pair.driving / pair.driven;
    return mesh;
  });
  return { meshes, modes, playM: 0.04 * pitchM };
}

interface Pair {
  readonly driving: number;
  readonly driven: number;
}

function toothMesh(
  pair: Pair,
  radii: Pair,
  pitchM: number,
  faceM: number,
  speedRatio: number,
  errors: (count: number, stream: number) => Float64Array,
): MeshIron {
  const curvaturePerM = 1 / radii.driving + 1 / radii.driven;
  // A quarter of the two rims goes with the tooth.
  const rimKgPerM = CAST_IRON.densityKgPerM3 * 2 * Math.PI * faceM * 0.7 * pitchM;
  const struckKg = (0.25 * rimKgPerM) / curvaturePerM;
  return {
    marksPerTurn: pair.driving * speedRatio,
    speedRatio,
    radiusM: radii.driving,
    curvaturePerM,
    struckKg,
    // Flanks of 20 degrees.
    contact: { massKg: struckKg, radiusM: 0.342 / curvaturePerM, modulusPa: 60e9 },
    drivingM: errors(pair.driving, 0),
    drivenM: errors(pair.driven, 1),
    yieldMPerN: 1 / (toothStiffnessPa * faceM),
    swingM: 0,
  };
}

function chainMesh(
  pair: Pair,
  radii: Pair,
  pitchM: number,
  speedRatio: number,
  linkCount: number,
  errors: (count: number, stream: number) => Float64Array,
): MeshIron {
  const struckKg = 0.55 * STEEL.densityKgPerM3 * pitchM * pitchM * pitchM;
  return {
    marksPerTurn: pair.driving * speedRatio,
    speedRatio,
    radiusM: radii.driving,
    curvaturePerM: 1 / radii.driving,
    struckKg,
    contact: { massKg: struckKg, radiusM: 0.3 * pitchM, modulusPa: 111.9e9 },
    drivingM: errors(pair.driving, 0),
    drivenM: errors(linkCount, 1),
    yieldMPerN: 0,
    swingM: pitchM,
  };
}

function beltMesh(radii: Pair, faceM: number, speedRatio: number, beltM: number | null): MeshIron {
  const { driving, driven } = radii;
  const lengthM = beltM ?? Math.PI * (driving + driven) + 10 * Math.max(driving, driven);
  const thickM = 0.004 + 0.01 * driving;
  // The lap is as long as the belt is wide.
  const struckKg = leatherKgPerM3 * faceM * faceM * thickM;
  return {
    marksPerTurn: (2 * Math.PI * driving * speedRatio) / lengthM,
    speedRatio,
    radiusM: driving,
    curvaturePerM: 1 / driving,
    struckKg,
    contact: { massKg: struckKg, radiusM: driving, modulusPa: leatherModulusPa },
    // Scarfed: a third of its thickness stands out.
    drivingM: Float64Array.of(thickM / 3),
    drivenM: Float64Array.of(0),
    yieldMPerN: 0,
    swingM: 0,
  };
}

// From nothing up: once around out of round, and tooth by tooth; the same tooth has the same at every turn.
function outOfTrue(count: number, pitchM: number, noise: NoiseStream): Float64Array {
  return Float64Array.from({ length: count }, (_, i) => {
    const round = roundErrorRatio * (1 + cos((2 * Math.PI * i) / count));
    return 0.5 * pitchM * (round + toothErrorRatio * (1 + noise.uniformAt(i)));
  });
}
