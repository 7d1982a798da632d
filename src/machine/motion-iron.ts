import type { GearDescription } from "../gear/gear-description.js";
import type { RunningDescription } from "../engine/running-description.js";
import { STEEL_ON_BRASS_PA, type ContactBodies } from "../sound/hertz-contact.js";
import { CAST_IRON, STEEL } from "../sound/modal-bodies.js";
import { barModes, plateModes, type BodyAir, type StruckMode } from "../sound/struck-body.js";

// Sizes of the iron between piston and crank, against bore and stroke, of engines small and great, in this file.
// [common practice: drawings of locomotive and mill engines of 8 to 20 in bore]

/** Sizes and masses of one cylinder's motion that decide how it knocks. */
export interface MotionIron {
  /** Piston, rod and crosshead; and the small end's share of the connecting rod, which they pick up. */
  readonly pistonKg: number;
  readonly rodKg: number;
  readonly slipperKg: number;
  readonly crossheadPlayM: number;
  readonly bigEndPlayM: number;
  readonly slipperPlayM: number;
  readonly crossheadContact: ContactBodies;
  readonly bigEndContact: ContactBodies;
  readonly slipperContact: ContactBodies;
  /** Modes of the connecting rod, and of the frame plate that carries the slide bars. */
  readonly rodModes: readonly StruckMode[];
  readonly frameModes: readonly StruckMode[];
}

const modeCount = 8;
// Built-up work in oil. [source: Cremer & Heckl, Structure-Borne Sound, 1973, III: bolted and riveted structures 5e-3 to 3e-2]
const rodLossRatio = 0.012;
const frameLossRatio = 0.015;
// Plates of models are cast or cut from what can be handled, not to scale: 1.2 mm on 10 mm of bore, twice that of an engine. [common practice]
const modelPlateRatio = 0.12;

/** What an undescribed engine has: mass by the steel of a third of its swept volume, play by the bore. */
export function motionIron(gear: GearDescription, running: RunningDescription | null, air: BodyAir): MotionIron {
  const { boreM, strokeM, connectingRodM } = gear.cylinder;
  const describedKg = running?.reciprocatingKg ?? 0;
  const reciprocatingKg = describedKg > 0 ? describedKg : 0.28 * STEEL.densityKgPerM3 * boreM * boreM * strokeM;
  const playM = running?.slackM ?? 4e-4 * boreM;
  const lengthM = gear.valveGear.kind === "oscillating" ? 1.3 * strokeM : connectingRodM;
  const isSmall = boreM <= 0.05;
  const pinM = 0.12 * boreM;
  const pistonKg = 0.7 * reciprocatingKg;
  const rodKg = 0.3 * reciprocatingKg;
  const slipperKg = 0.35 * reciprocatingKg;
  // Pins have less play than big ends, slippers more.
  const crossheadPlayM = 0.5 * playM;
  const slipperPlayM = 1.5 * playM;
  return {
    pistonKg,
    rodKg,
    slipperKg,
    crossheadPlayM,
    bigEndPlayM: playM,
    slipperPlayM,
    crossheadContact: pinInBush((pistonKg * rodKg) / (pistonKg + rodKg), 0.5 * pinM, crossheadPlayM),
    bigEndContact: pinInBush(reciprocatingKg, pinM, playM),
    slipperContact: pinInBush(slipperKg, pinM, slipperPlayM),
    rodModes: barModes(
      { stuff: STEEL, lossRatio: rodLossRatio, modeCount, lengthM, depthM: 0.23 * boreM, widthM: 0.11 * boreM },
      air,
    ),
    frameModes: plateModes(
      {
        stuff: isSmall ? CAST_IRON : STEEL,
        lossRatio: frameLossRatio,
        modeCount,
        lengthM: 2.5 * strokeM,
        widthM: 1.2 * boreM,
        thicknessM: (isSmall ? modelPlateRatio : 0.06) * boreM,
      },
      air,
    ),
  };
}

/** A round pin in a bush: their radii differ by half the play, so that they touch widely. */
function pinInBush(massKg: number, radiusM: number, playM: number): ContactBodies {
  return { massKg, radiusM: (2 * radiusM * radiusM) / playM, modulusPa: STEEL_ON_BRASS_PA };
}
