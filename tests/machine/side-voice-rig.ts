import type { EngineDescription, ExhaustDescription } from "../../src/engine/engine-description.js";
import type { FittingsDescription } from "../../src/engine/fittings-description.js";
import type { PlantDescription } from "../../src/engine/plant-description.js";
import { VoiceRecord } from "../../src/engine/voice-record.js";
import { sideVoices } from "../../src/machine/side-voices.js";
import type { Voice, VoiceMaking } from "../../src/machine/voice.js";
import { NoisePeriod } from "../../src/quantities/random.js";
import { locomotive, toCondenser } from "../engine/descriptions.js";

export const RATE = 48_000;
const samplesPerRow = 8;
const rowsPerChunk = 16;

export const PLANT: PlantDescription = {
  volumeM3: 5,
  waterRatio: 0.75,
  lowWaterRatio: 0.6,
  fire: { powerW: 2.5e6, efficiencyRatio: 0.65, responseS: 180 },
  lossWPerK: 30,
  safetyValve: { setPa: 1.2e6, fullLiftPa: 1.23e6, reseatPa: 1.17e6, areaM2: 7.6e-4 },
  feed: { kind: "injector", massFlowKgPerS: 1.5, temperatureK: 340 },
  blowerAreaM2: 1e-4,
  blowdownAreaM2: 1e-3,
};

export const FITTINGS: FittingsDescription = {
  drainAreaM2: 5e-5,
  sniftingAreaM2: 1.5e-3,
  glandAreaM2: 2e-6,
  reliefAreaM2: 5e-4,
  reliefPa: 1.5e6,
  valvesLift: true,
  whistle: { bells: [{ lengthM: 0.14, boreM: 0.06 }], slitM: 0.00048, cutUpRatio: 0.4 },
  track: null,
  airPump: { strokesPerTurn: 1, boreM: 0.3, strokeM: 0.3 },
};

/** Into a condenser, in place of the chimney. */
export const CONDENSING: ExhaustDescription = toCondenser({ lengthM: 2, boreM: 0.15 }, 20_000);

export interface Rig {
  readonly voice: Voice;
  readonly record: VoiceRecord;
  readonly noisePeriod: NoisePeriod;
  /** Runs for so long and hands back what is heard; `drive` sets the record, by time. */
  readonly run: (seconds: number, drive: (record: VoiceRecord, timeS: number) => void) => Float64Array;
}

/** A two-cylinder locomotive with everything on it, or as changed, heard by one of its voices; for the condenser's, with one. */
export function rig(
  stemName: string,
  changes: {
    readonly plant?: Partial<PlantDescription>;
    readonly fittings?: Partial<FittingsDescription>;
    readonly machine?: Partial<EngineDescription>;
    readonly distanceM?: number;
    readonly seed?: number;
  } = {},
): Rig {
  const description: EngineDescription = {
    ...locomotive(),
    plant: { ...PLANT, ...changes.plant },
    fittings: { ...FITTINGS, ...changes.fittings },
    ...(stemName === "condenser" ? { exhaust: CONDENSING } : {}),
    ...changes.machine,
  };
  const cylinderCount = description.gear.crankAnglesRad.length;
  const record = new VoiceRecord(2 * cylinderCount, cylinderCount);
  const noisePeriod = new NoisePeriod();
  const making: VoiceMaking = {
    description,
    record,
    sampleRateHz: RATE,
    samplesPerRow,
    rowsPerChunk,
    seed: changes.seed ?? 1,
    noisePeriod,
    distanceM: changes.distanceM ?? 7.5,
    airDensityKgPerM3: 1.2041,
    airSoundSpeedMPerS: 343.2,
  };
  const voice = sideVoices(making).find((one) => one.stemName === stemName);
  if (voice === undefined) throw new Error(`no voice ${stemName}`);
  voice.reset();
  let row = 0;
  const run = (seconds: number, drive: (record: VoiceRecord, timeS: number) => void): Float64Array => {
    const chunks = Math.round((seconds * RATE) / (samplesPerRow * rowsPerChunk));
    const chunkFrames = samplesPerRow * rowsPerChunk;
    const output = new Float64Array(chunks * chunkFrames);
    for (let c = 0; c < chunks; c++) {
      for (let r = 0; r < rowsPerChunk; r++) {
        drive(record, (row * samplesPerRow) / RATE);
        voice.take(r);
        row++;
      }
      if (!voice.isIdle) voice.process();
      output.set(voice.pressurePa, c * chunkFrames);
    }
    return output;
  };
  return { voice, record, noisePeriod, run };
}

/** Choked flow of saturated steam through an area, kg/s, and its speed once expanded, m/s. */
export function steamFlow(pressurePa: number, areaM2: number): { massKgPerS: number; jetMPerS: number; restK: number } {
  // Ideal gas of exponent 1.3; boiling point within 1 K from 1 to 15 bar.
  const restK = 373.15 * (pressurePa / 101_325) ** 0.0795;
  const over = Math.max(0, 1 - (101_325 / pressurePa) ** (0.3 / 1.3));
  const jetMPerS = Math.sqrt(2 * ((1.3 * 461.5) / 0.3) * restK * over);
  return { massKgPerS: over > 0 ? (0.667 * pressurePa * areaM2) / Math.sqrt(461.5 * restK) : 0, jetMPerS, restK };
}

/** Drain cocks of four ends that work in turns at so many turns a second, water beside the steam as asked. */
export function workingDrains(
  record: VoiceRecord,
  timeS: number,
  turnsPerS: number,
  water: number,
  areaM2: number,
): void {
  for (let e = 0; e < 4; e++) {
    const angle = 2 * Math.PI * turnsPerS * timeS + (e * Math.PI) / 2;
    // Pressed for half of the turn, by an indicator card's shape roughly.
    const share = Math.max(0, Math.sin(angle));
    const { massKgPerS, jetMPerS } = steamFlow(101_325 + 6e5 * share, areaM2);
    const isOut = share > 0.02;
    record.drainKgPerS[e] = isOut ? massKgPerS : 0;
    record.drainMPerS[e] = isOut ? jetMPerS : 0;
    record.drainWaterKgPerS[e] = isOut ? water * massKgPerS : 0;
  }
}

/** Everything at work at once. */
export function allAtWork(record: VoiceRecord, timeS: number): void {
  workingDrains(record, timeS, 1.2, 0.5, FITTINGS.drainAreaM2);
  const blown = steamFlow(1.2e6, 1e-4);
  record.reliefKgPerS.fill(blown.massKgPerS);
  record.reliefMPerS.fill(blown.jetMPerS);
  record.glandKgPerS.fill(2e-4);
  record.glandMPerS.fill(400);
  record.glandWaterKgPerS.fill(1e-4);
  record.sniftKgPerS = 0.1;
  record.sniftMPerS = 120;
  record.safetyKgPerS = record.blowerKgPerS = record.blowdownKgPerS = blown.massKgPerS;
  record.safetyMPerS = record.blowerMPerS = record.blowdownMPerS = blown.jetMPerS;
  record.safetyLiftRatio = 0.5;
  record.blowdownWaterKgPerS = 2;
  record.fireW = 2e6;
  record.heatW = 1e6;
  record.boilerPa = 1.2e6;
  record.whistleRatio = 0.7;
  record.boilerK = 440;
  record.subcoolingK = 20;
  record.steamRaisedKgPerS = 0.3;
  record.feedKgPerS = 1;
  record.exhaustKgPerS = 2;
  record.shaftRad = 2 * Math.PI * 1.2 * timeS;
  record.shaftRadPerS = 2 * Math.PI * 1.2;
  record.metalK.fill(430 - 3 * timeS);
}
