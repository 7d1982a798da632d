import { restingControls, sideControlIndex, type SideControl } from "../../src/engine/engine-controls.js";
import type { PlantDescription } from "../../src/engine/plant-description.js";
import type { PlantMaking } from "../../src/engine/plant-making.js";
import { Plant } from "../../src/engine/plant.js";
import { VoiceRecord } from "../../src/engine/voice-record.js";

/** A bare vessel three quarters full, with nothing to it. */
export const bareBoiler: PlantDescription = {
  volumeM3: 1,
  waterRatio: 0.75,
  lowWaterRatio: 0.6,
  fire: null,
  lossWPerK: 0,
  safetyValve: null,
  feed: null,
  blowerAreaM2: 0,
  blowdownAreaM2: 0,
};

export interface PlantRig {
  readonly plant: Plant;
  readonly voice: VoiceRecord;
  readonly set: (control: SideControl, ratio: number) => void;
  readonly run: (seconds: number) => void;
}

/** A plant stepped at 12 kHz, saturated steam of 10 bar where nothing else is said. */
export function makeRig(changes: Partial<PlantDescription>, making: Partial<PlantMaking> = {}): PlantRig {
  const voice = new VoiceRecord(2, 1);
  const side = restingControls();
  const stepS = making.stepS ?? 1 / 12_000;
  const plant = new Plant(
    { ...bareBoiler, ...changes },
    {
      ambient: { pressurePa: 101_325, temperatureK: 293.15 },
      superheatK: 0,
      workingFluid: "steam",
      stepS,
      pressurePa: 10e5,
      voice,
      side,
      ...making,
    },
  );
  return {
    plant,
    voice,
    set: (control, ratio) => {
      side[sideControlIndex[control]] = ratio;
    },
    run: (seconds) => {
      for (let i = Math.round(seconds / stepS); i > 0; i--) plant.process();
    },
  };
}
