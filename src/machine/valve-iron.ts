import { slideValveKg } from "../engine/lifted-valves.js";
import type { SeatedValveDescription } from "../engine/seated-valve.js";
import type { GearDescription } from "../gear/gear-description.js";
import type { ContactBodies } from "../sound/hertz-contact.js";
import { STEEL_ON_BRASS_PA } from "../sound/hertz-contact.js";
import { CAST_IRON } from "../sound/modal-bodies.js";
import { plateModes, type BodyAir, type StruckMode } from "../sound/struck-body.js";

// Sizes of slide valves, discs and what they strike, against the ports that they cover, in this file.
// [common practice: drawings of locomotive and mill engines; cast iron on cast iron 60 GPa]

const gravityMPerS2 = 9.81;
const modeCount = 8;
const lossRatio = 0.02;

/** A loose valve, what it strikes, and how it touches. */
export interface ValveIron {
  readonly valve: SeatedValveDescription;
  readonly contact: ContactBodies;
  readonly modes: readonly StruckMode[];
}

/** A slide valve on its face, held there by its weight; null for an oscillating cylinder, which has none. */
export function slideValveIron(gear: GearDescription, air: BodyAir): ValveIron | null {
  const { valveGear } = gear;
  if (valveGear.kind === "oscillating") return null;
  const { portLengthM, portWidthM } = valveGear;
  const massKg = slideValveKg(portLengthM * portWidthM);
  const { boreM } = gear.cylinder;
  return {
    valve: {
      massKg,
      areaM2: 2 * portLengthM * portWidthM,
      holdN: gravityMPerS2 * massKg,
      springNPerM: 0,
      stopM: 0.1 * portWidthM,
      relievedM: 0.5 * portWidthM,
      fillS: 0.025 * portWidthM,
      reboundRatio: 0.4,
    },
    // Flat on flat, not quite: as on a great ball.
    contact: { massKg, radiusM: 3 * portLengthM, modulusPa: 60e9 },
    modes: plateModes(
      { stuff: CAST_IRON, lossRatio, modeCount, lengthM: 1.2 * boreM, widthM: boreM, thicknessM: 0.08 * boreM },
      air,
    ),
  };
}

/**
 * A stream has to pass, so that shut in it rises: the push on a seated disc against that on one fully open. A disc shut by a
 * sixteenth of its lift passes hardly anything.
 */
export const seatedPushRatio = 17;

/**
 * A bronze disc on a flat seat, held by a weak spring, for so much effective area. In a stream that is too weak to hold it
 * open against the spring it hunts and rattles.
 *
 * @param holdPa pressure that holds it down
 */
export function discValveIron(effectiveM2: number, holdPa: number, air: BodyAir): ValveIron {
  const seatM = Math.sqrt((4 * effectiveM2) / (0.7 * Math.PI));
  const areaM2 = (Math.PI / 4) * seatM * seatM;
  const massKg = 8700 * 1.7 * areaM2 * 0.1 * seatM;
  const openM = 0.25 * seatM;
  return {
    valve: {
      massKg,
      areaM2,
      holdN: holdPa * areaM2,
      springNPerM: (0.5 * holdPa * areaM2) / openM,
      stopM: 1.2 * openM,
      relievedM: openM / Math.sqrt(seatedPushRatio - 1),
      fillS: 0.05 * seatM,
      reboundRatio: 0.5,
    },
    contact: { massKg, radiusM: 0.5 * seatM, modulusPa: STEEL_ON_BRASS_PA },
    modes: plateModes(
      { stuff: CAST_IRON, lossRatio, modeCount, lengthM: 3.2 * seatM, widthM: 2.8 * seatM, thicknessM: 0.15 * seatM },
      air,
    ),
  };
}
