import { isCrankless } from "../gear/gear-description.js";
import type { Engine } from "../engine/engine.js";
import { airDensityKgPerM3, airSoundSpeedMPerS } from "./ambient-air.js";
import { ticksPerNoiseRow } from "./flow-rows.js";
import { GearingVoice } from "./gearing-voice.js";
import { KnockVoice } from "./knock-voice.js";
import { PumpVoice } from "./pump-voice.js";
import { sideVoices } from "./side-voices.js";
import { ValveClatterVoice } from "./valve-clatter-voice.js";
import type { Voice, VoiceMaking } from "./voice.js";
import type { VoiceSettings } from "./voice-settings.js";
import { WheelVoice } from "./wheel-voice.js";

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
export const voiceStemNames: readonly string[] = [
  "knocks",
  "valve-clatter",
  "gearing",
  "wheels",
  "drains",
  "relief",
  "glands",
  "snifting",
  "whistle",
  "safety-valve",
  "blower",
  "blow-down",
  "fire",
  "simmer",
  "feed",
  "condenser",
  "cooling",
  "pump",
];

/** The voices that a machine has beside its exhaust, in the order of their stems. */
export function makeVoices(making: VoiceMaking): Voice[] {
  const { description } = making;
  const { running, fittings, wheelDiameterM } = description;
  if (description.idealised) return [];
  const iron: Voice[] = [];
  if (running) {
    if (running.slackM > 0) iron.push(new KnockVoice(making));
    if (fittings && (fittings.valvesLift || fittings.sniftingAreaM2 > 0)) iron.push(new ValveClatterVoice(making));
    if (running.gearing !== null) iron.push(new GearingVoice(making));
    if (wheelDiameterM !== null) iron.push(new WheelVoice(making));
  }
  const hasPump = description.pump && isCrankless(description.gear);
  return [...iron, ...sideVoices(making), ...(hasPump ? [new PumpVoice(making)] : [])];
}
