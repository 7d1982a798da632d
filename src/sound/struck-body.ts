import type { IronStuff, PlateShape } from "./modal-bodies.js";
import { barModeHz, coincidenceHz, plateModeHz, ringModeHz } from "./modal-bodies.js";
import type { ListenerAir } from "./monopole.js";

/** One mode of a struck body, as it is heard. */
export interface StruckMode {
  readonly frequencyHz: number;
  /** Loss factor, 1/Q, what it radiates included. */
  readonly lossRatio: number;
  /** Pressure amplitude at the listener for a blow of 1 Ns that is short against the mode's period. */
  readonly paPerNs: number;
}

/** Air around the body, and whence it is heard. */
export interface BodyAir extends ListenerAir {
  readonly airSoundSpeedMPerS: number;
}

/** What every body has. */
interface BodySetting {
  readonly stuff: IronStuff;
  /** Loss factor of the iron as built. Bare steel 1e-4 to 6e-4, bolted or riveted work 5e-3 to 3e-2. */
  readonly lossRatio: number;
  readonly modeCount: number;
}

/** A bar of rectangular section. */
export interface BarBody extends BodySetting {
  readonly lengthM: number;
  readonly depthM: number;
  readonly widthM: number;
}

/** Bending modes of a bar, free at both ends: a rod between its bearings. */
export function barModes(bar: BarBody, air: BodyAir): StruckMode[] {
  const { lengthM, depthM, widthM, stuff } = bar;
  const massKg = stuff.densityKgPerM3 * lengthM * depthM * widthM;
  const surfaceM2 = 2 * lengthM * (depthM + widthM);
  return Array.from({ length: bar.modeCount }, (_, i) => {
    const hz = barModeHz({ ends: "free", lengthM, depthM }, stuff, i + 1);
    return heardMode(hz, bar.lossRatio, massKg, surfaceM2, rodRadiationRatio(hz, 0.5 * widthM, air), air);
  });
}

/** Modes of a plate with held edges, the lowest ones. */
export function plateModes(plate: PlateShape & BodySetting, air: BodyAir): StruckMode[] {
  const { lengthM, widthM, thicknessM, stuff, modeCount } = plate;
  const massKg = stuff.densityKgPerM3 * lengthM * widthM * thicknessM;
  const frequencies: number[] = [];
  for (let m = 1; m <= modeCount; m++) {
    for (let n = 1; n <= modeCount; n++) frequencies.push(plateModeHz(plate, stuff, m, n));
  }
  frequencies.sort((a, b) => a - b);
  const surfaceM2 = 2 * lengthM * widthM;
  return frequencies.slice(0, modeCount).map((hz) => {
    const radiation = plateRadiationRatio(hz, plate, stuff, air);
    return heardMode(hz, plate.lossRatio, massKg, surfaceM2, radiation, air);
  });
}

/** A ring, such as a wheel's rim with its tyre. */
export interface RingBody extends BodySetting {
  readonly radiusM: number;
  /** Of its section, in the radius and along the axle. */
  readonly depthM: number;
  readonly widthM: number;
  /** Of the whole body, whose rim rings. */
  readonly massKg: number;
}

/** Bending modes of a ring in its plane. */
export function ringModes(ring: RingBody, air: BodyAir): StruckMode[] {
  const { radiusM, depthM, widthM, stuff } = ring;
  const surfaceM2 = 4 * Math.PI * radiusM * (depthM + widthM);
  return Array.from({ length: ring.modeCount }, (_, i) => {
    const hz = ringModeHz(radiusM, depthM, stuff, i + 2);
    return heardMode(hz, ring.lossRatio, ring.massKg, surfaceM2, rodRadiationRatio(hz, 0.5 * widthM, air), air);
  });
}

/**
 * A mode as it is heard. A blow of J gives each mode of a body of mass M the mean square velocity J^2 / 2M^2 at first, on
 * the average over where it falls, which radiates rho c S sigma of that, alike in all directions: a pressure amplitude of
 * (rho c / r) (J / M) sqrt(S sigma / 4 pi). What is radiated is lost to the mode.
 * [source: Cremer & Heckl, Structure-Borne Sound, 1973, VI.3, for sigma; the rest follows from energy]
 */
export function heardMode(
  frequencyHz: number,
  ironLossRatio: number,
  massKg: number,
  surfaceM2: number,
  radiationRatio: number,
  air: BodyAir,
): StruckMode {
  const impedance = air.airDensityKgPerM3 * air.airSoundSpeedMPerS;
  // No more than all: a body lighter than the air that it moves is hardly one of iron.
  const radiationLoss = Math.min(1, (impedance * surfaceM2 * radiationRatio) / (2 * Math.PI * frequencyHz * massKg));
  return {
    frequencyHz,
    lossRatio: ironLossRatio + radiationLoss,
    paPerNs: (impedance * Math.sqrt((surfaceM2 * radiationRatio) / (4 * Math.PI))) / (air.distanceM * massKg),
  };
}

/** How well a rod that swings sideways radiates: pi/2 (k a)^3 while it is thin, up to 1. [source: Cremer & Heckl, Structure-Borne Sound, 1973, VI.6, from memory] */
function rodRadiationRatio(frequencyHz: number, radiusM: number, air: BodyAir): number {
  const ka = (2 * Math.PI * frequencyHz * radiusM) / air.airSoundSpeedMPerS;
  return Math.min(1, (Math.PI / 2) * ka * ka * ka);
}

/** How well a plate radiates below coincidence, by its edges: (P c / pi^2 S fc) sqrt(f / fc), up to 1. [source: Maidanik, JASA 34 (1962) 809, in its simplified handbook form, from memory] */
function plateRadiationRatio(frequencyHz: number, plate: PlateShape, stuff: IronStuff, air: BodyAir): number {
  const { lengthM, widthM, thicknessM } = plate;
  const fullHz = coincidenceHz(thicknessM, stuff, air.airSoundSpeedMPerS);
  const edges = (2 * (lengthM + widthM) * air.airSoundSpeedMPerS) / (Math.PI * Math.PI * lengthM * widthM * fullHz);
  return Math.min(1, edges * Math.sqrt(frequencyHz / fullHz));
}
