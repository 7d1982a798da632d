import { readFileSync } from "node:fs";
import type { EngineDescription, ExhaustDescription, PipeDescription } from "../../src/engine/engine-description.js";
import type { GearDescription } from "../../src/gear/gear-description.js";
import { loadMachine } from "../../src/preset/machine-file.js";
import { saturationTemperatureK } from "../../src/steam/if97.js";

const INCH_M = 0.0254;

/** Saturated or superheated steam of a pressure. */
export function steamBoiler(pressurePa: number, superheatK = 0): EngineDescription["boiler"] {
  return { pressurePa, temperatureK: saturationTemperatureK(pressurePa) + superheatK, superheatK };
}

/** Ports into one plain pipe per cylinder, open to the air. */
export function plainPipe(lengthM: number, boreM: number): ExhaustDescription {
  return {
    passage: { lengthM, boreM },
    blastPipe: null,
    nozzle: null,
    smokebox: null,
    chimney: null,
    condenser: null,
  };
}

/** One plain pipe per cylinder into a vacuum. */
export function toCondenser(passage: PipeDescription, pressurePa: number): ExhaustDescription {
  return { ...plainPipe(passage.lengthM, passage.boreM), condenser: { pressurePa } };
}

/** Two-cylinder locomotive of the example in the design: 17 by 24 in, 160 psi, saturated. */
export function locomotive(changes: Partial<EngineDescription> = {}): EngineDescription {
  return {
    gear: {
      cylinder: {
        boreM: 17 * INCH_M,
        strokeM: 24 * INCH_M,
        acting: "double",
        connectingRodM: 72 * INCH_M,
        pistonRodM: 2.5 * INCH_M,
        clearanceRatio: 0.08,
      },
      crankAnglesRad: [0, Math.PI / 2],
      valveGear: {
        kind: "eccentric",
        admission: "outside",
        travelM: 4.5 * INCH_M,
        steamLapM: 1 * INCH_M,
        exhaustLapM: 0,
        leadM: 0.25 * INCH_M,
        portLengthM: 14 * INCH_M,
        portWidthM: 1.5 * INCH_M,
      },
      faults: [],
    },
    workingFluid: "steam",
    ambient: { pressurePa: 101_325, temperatureK: 288.15, humidityRatio: 0.6 },
    boiler: steamBoiler(101_325 + 160 * 6894.757),
    exhaust: {
      passage: { lengthM: 1.4, boreM: 0.15 },
      blastPipe: { lengthM: 1.1, boreM: 0.165 },
      nozzle: { boreM: 0.118, contractionM: 0.15 },
      smokebox: { volumeM3: 3, temperatureK: 573.15 },
      chimney: { lengthM: 1.2, boreM: 0.4 },
      condenser: null,
    },
    leaks: { valveM2: 1e-6, ringsM2: 1e-6 },
    chestVolumeM3: 0.012,
    regulatorAreaM2: 0.004,
    wheelDiameterM: 1.524,
    speedRpm: 60,
    idealised: false,
    ...changes,
  };
}

/** The same engine with another gear or other iron. */
export function withGear(description: EngineDescription, changes: Partial<GearDescription>): EngineDescription {
  return { ...description, gear: { ...description.gear, ...changes } };
}

/** The same engine with other cylinders. */
export function withCylinder(
  description: EngineDescription,
  changes: Partial<GearDescription["cylinder"]>,
): EngineDescription {
  return withGear(description, { cylinder: { ...description.gear.cylinder, ...changes } });
}

/** Compressed air of 4 bar in a double-acting model of 12 mm bore, exhausting through 60 mm of 4 mm pipe. */
export function airModel(changes: Partial<EngineDescription> = {}): EngineDescription {
  return locomotive({
    idealised: true,
    workingFluid: "air",
    boiler: { pressurePa: 4e5, temperatureK: 288, superheatK: 0 },
    gear: {
      cylinder: {
        boreM: 0.012,
        strokeM: 0.015,
        acting: "double",
        connectingRodM: 0.04,
        pistonRodM: 0.003,
        clearanceRatio: 0.1,
      },
      crankAnglesRad: [0],
      valveGear: {
        kind: "eccentric",
        admission: "outside",
        travelM: 0.004,
        steamLapM: 0.0008,
        exhaustLapM: 0,
        leadM: 0.0001,
        portLengthM: 0.006,
        portWidthM: 0.0012,
      },
      faults: [],
    },
    exhaust: plainPipe(0.06, 0.004),
    leaks: { valveM2: 2e-8, ringsM2: 2e-8 },
    chestVolumeM3: 1e-5,
    regulatorAreaM2: 5e-6,
    speedRpm: 900,
    ...changes,
  });
}

/** Single-acting oscillating model of 10 mm bore on steam of 1.2 bar above the air. */
export function oscillatingModel(changes: Partial<EngineDescription> = {}): EngineDescription {
  return locomotive({
    gear: {
      cylinder: {
        boreM: 0.01,
        strokeM: 0.016,
        acting: "single",
        connectingRodM: 0.05,
        pistonRodM: 0.0025,
        clearanceRatio: 0.12,
      },
      crankAnglesRad: [0],
      valveGear: { kind: "oscillating", portDiameterM: 0.002, portRadiusM: 0.009, pivotDistanceM: 0.032 },
      faults: [],
    },
    boiler: steamBoiler(2.2e5),
    exhaust: plainPipe(0.07, 0.0025),
    leaks: { valveM2: 2e-8, ringsM2: 1e-8 },
    chestVolumeM3: 5e-7,
    regulatorAreaM2: 3e-6,
    speedRpm: 700,
    ...changes,
  });
}

/** The same kind with 12 mm of bore and a bent tube for the exhaust. */
export function oscillating12mm(changes: Partial<EngineDescription> = {}): EngineDescription {
  const small = oscillatingModel();
  return {
    ...withGear(withCylinder(small, { boreM: 0.012, strokeM: 0.018 }), {
      valveGear: { kind: "oscillating", portDiameterM: 0.0025, portRadiusM: 0.01, pivotDistanceM: 0.035 },
    }),
    exhaust: plainPipe(0.12, 0.003),
    chestVolumeM3: 1e-6,
    regulatorAreaM2: 4e-6,
    ...changes,
  };
}

/** The slide-valve model of 12 mm bore on steam of 2.5 bar above the air. */
export function slideValve12mm(changes: Partial<EngineDescription> = {}): EngineDescription {
  return airModel({
    workingFluid: "steam",
    boiler: steamBoiler(3.5e5),
    idealised: false,
    exhaust: plainPipe(0.12, 0.004),
    speedRpm: 600,
    ...changes,
  });
}

/** Workshop engine of 60 mm bore turned on compressed air of 4 bar above the air. */
export function workshopOnAir(changes: Partial<EngineDescription> = {}): EngineDescription {
  return locomotive({
    workingFluid: "air",
    boiler: { pressurePa: 5e5, temperatureK: 288.15, superheatK: 0 },
    gear: {
      cylinder: {
        boreM: 0.06,
        strokeM: 0.075,
        acting: "double",
        connectingRodM: 0.19,
        pistonRodM: 0.01,
        clearanceRatio: 0.08,
      },
      crankAnglesRad: [0],
      valveGear: {
        kind: "eccentric",
        admission: "outside",
        travelM: 0.018,
        steamLapM: 0.004,
        exhaustLapM: 0,
        leadM: 0.0005,
        portLengthM: 0.035,
        portWidthM: 0.005,
      },
      faults: [],
    },
    exhaust: plainPipe(0.9, 0.025),
    leaks: { valveM2: 1e-7, ringsM2: 1e-7 },
    chestVolumeM3: 4e-4,
    regulatorAreaM2: 2e-4,
    speedRpm: 200,
    ...changes,
  });
}

/** The two-cylinder locomotive with a valve that leaves both exhaust ports open together round its middle. */
export function exhaustClearance(changes: Partial<EngineDescription> = {}): EngineDescription {
  const { valveGear } = locomotive().gear;
  if (valveGear.kind !== "eccentric") throw new Error("the locomotive has an eccentric");
  return withGear(locomotive(changes), { valveGear: { ...valveGear, exhaustLapM: -0.006 } });
}

/** The same exhaust without smokebox and chimney: the nozzle blows into the open air. */
export function intoTheOpen(description: EngineDescription): EngineDescription {
  return { ...description, exhaust: { ...description.exhaust, smokebox: null, chimney: null } };
}

/** Mill engine known by its events, 16 by 30 in, 80 psi, through the wall to the air. */
export function millEngine(changes: Partial<EngineDescription> = {}): EngineDescription {
  return locomotive({
    gear: {
      cylinder: {
        boreM: 16 * INCH_M,
        strokeM: 30 * INCH_M,
        acting: "double",
        connectingRodM: 75 * INCH_M,
        pistonRodM: 2.5 * INCH_M,
        clearanceRatio: 0.05,
      },
      crankAnglesRad: [0],
      valveGear: {
        kind: "events",
        admission: "outside",
        fullGearCutoffRatio: 0.4,
        leadM: INCH_M / 16,
        releaseRad: (150 * Math.PI) / 180,
        portLengthM: 12 * INCH_M,
        portWidthM: 1.25 * INCH_M,
      },
      faults: [],
    },
    boiler: steamBoiler(101_325 + 80 * 6894.757),
    exhaust: { ...plainPipe(0.6, 0.125), blastPipe: { lengthM: 7.5, boreM: 0.15 } },
    leaks: { valveM2: 2e-6, ringsM2: 2e-6 },
    chestVolumeM3: 0.015,
    regulatorAreaM2: 0.006,
    speedRpm: 80,
    ...changes,
  });
}

export const presetNames = [
  "harrow-tank",
  "stell-mineral",
  "oxmoor-mill",
  "lingmere-condensing",
  "pocket-wobbler",
  "bench-slide",
  "hall-exhibit",
] as const;

/** A machine as it ships. */
export function presetMachine(name: (typeof presetNames)[number]) {
  const url = new URL(`../../presets/${name}.yaml`, import.meta.url);
  const loaded = loadMachine(readFileSync(url, "utf8"), `${name}.yaml`);
  if (!loaded.ok) throw new Error(`${name} does not load`);
  return loaded.value;
}
