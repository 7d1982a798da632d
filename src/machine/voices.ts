import type { Engine } from "../engine/engine.js";
import { airDensityKgPerM3, airSoundSpeedMPerS } from "./ambient-air.js";
import { ticksPerNoiseRow } from "./flow-rows.js";
import type { Voice, VoiceMaking } from "./voice.js";
import type { VoiceSettings } from "./voice-settings.js";

/** What the voices of a machine are made with: their rows are those of the flow noise. */
export function voiceMaking(engine: Engine, settings: VoiceSettings): VoiceMaking {
  const { description, voiceRecord } = engine;
  return {
    description,
    record: voiceRecord,
    sampleRateHz: settings.sampleRateHz,
    samplesPerRow: ticksPerNoiseRow * settings.samplesPerTick,
    rowsPerChunk: settings.ticksPerChunk / ticksPerNoiseRow,
    seed: settings.seed,
    noisePeriod: settings.noisePeriod,
    distanceM: settings.distanceM,
    airDensityKgPerM3: airDensityKgPerM3(description.ambient),
    airSoundSpeedMPerS: airSoundSpeedMPerS(description.ambient),
  };
}

/** Every stem that a voice may have, in the order in which they stand. */
export const voiceStemNames: readonly string[] = [];

/** The voices that a machine has beside its exhaust, in the order of their stems. */
export function makeVoices(making: VoiceMaking): Voice[] {
  if (making.description.idealised) return [];
  return [];
}
