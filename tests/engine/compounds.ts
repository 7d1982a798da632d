import type { EngineDescription } from "../../src/engine/engine-description.js";
import type { EventsGear, LaterStage } from "../../src/gear/gear-description.js";
import { millEngine, steamBoiler, toCondenser } from "./descriptions.js";

const INCH_M = 0.0254;

function later(boreM: number, portLengthM: number, portWidthM: number, changes: Partial<EventsGear> = {}): LaterStage {
  const { cylinder, valveGear } = millEngine().gear;
  return {
    cylinder: { ...cylinder, strokeM: 36 * INCH_M, connectingRodM: 90 * INCH_M, boreM, clearanceRatio: 0.06 },
    cylinderCount: 1,
    valveGear: {
      ...(valveGear as EventsGear),
      fullGearCutoffRatio: 0.5,
      releaseRad: (126 * Math.PI) / 180,
      ...{ portLengthM, portWidthM },
      ...changes,
    },
  };
}

/** A mill engine of 14 and 24 in, cranks at a quarter turn, to the air. */
export function crossCompound(changes: Partial<EngineDescription> = {}): EngineDescription {
  const { cylinder, valveGear } = millEngine().gear;
  return millEngine({
    gear: {
      cylinder: {
        ...cylinder,
        boreM: 14 * INCH_M,
        strokeM: 36 * INCH_M,
        connectingRodM: 90 * INCH_M,
        clearanceRatio: 0.07,
      },
      crankAnglesRad: [0, Math.PI / 2],
      valveGear: {
        ...(valveGear as EventsGear),
        fullGearCutoffRatio: 0.5,
        releaseRad: (128 * Math.PI) / 180,
        portLengthM: 11 * INCH_M,
      },
      laterStages: [later(24 * INCH_M, 18 * INCH_M, 1.75 * INCH_M)],
      faults: [],
    },
    boiler: steamBoiler(101_325 + 130 * 6894.757),
    receiverVolumesM3: [0.115],
    ...changes,
  });
}

/** Its high pressure cylinder by itself, to the air. */
export function highPressureAlone(changes: Partial<EngineDescription> = {}): EngineDescription {
  const { gear, boiler } = crossCompound();
  const { cylinder, valveGear, faults } = gear;
  return millEngine({ gear: { cylinder, valveGear, faults, crankAnglesRad: [0] }, boiler, ...changes });
}

/** The compound with a third cylinder, cranks at thirds, into a condenser. */
export function tripleExpansion(changes: Partial<EngineDescription> = {}): EngineDescription {
  const { gear } = crossCompound();
  return crossCompound({
    gear: {
      ...gear,
      crankAnglesRad: [0, (2 * Math.PI) / 3, (4 * Math.PI) / 3],
      laterStages: [
        later(22 * INCH_M, 17 * INCH_M, 1.75 * INCH_M, { fullGearCutoffRatio: 0.55 }),
        later(36 * INCH_M, 28 * INCH_M, 2.5 * INCH_M, { fullGearCutoffRatio: 0.55 }),
      ],
    },
    boiler: steamBoiler(101_325 + 180 * 6894.757),
    receiverVolumesM3: [0.115, 0.3],
    exhaust: toCondenser({ lengthM: 1.5, boreM: 0.35 }, 13e3),
    speedRpm: 90,
    ...changes,
  });
}
