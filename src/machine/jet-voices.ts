import { noiseStreams } from "./noise-streams.js";
import { type JetSource, roundBoreM, SteamJets } from "./steam-jets.js";
import type { VoiceMaking } from "./voice.js";

// Steam in a cylinder: saturated at some 4 bar. [common practice]
const cylinderK = 417;
// Slugs a second from cocks on a short pipe. [common practice]
const drainSlugHz = 14;
// Drain cocks and relief valves blow at the ground and the motion around them: a quarter of the power is
// heard. [common practice]
const lowDownRatio = 0.25;

function each(
  massKgPerS: Float64Array,
  jetMPerS: Float64Array,
  waterKgPerS: Float64Array | null,
  boreM: number,
): JetSource[] {
  return Array.from(massKgPerS, (_, index) => ({ massKgPerS, jetMPerS, waterKgPerS, index, boreM }));
}

/** Drain cocks: one jet for each cylinder end, in turns as its pressure has it; water makes them spit and gurgle. */
export function drainVoice(making: VoiceMaking): SteamJets {
  const { drainKgPerS, drainMPerS, drainWaterKgPerS } = making.record;
  const boreM = roundBoreM(making.description.fittings?.drainAreaM2 ?? 0);
  const heard = { slugHz: drainSlugHz, heardRatio: lowDownRatio, restK: restK(making, cylinderK) };
  return new SteamJets(
    "drains",
    making,
    each(drainKgPerS, drainMPerS, drainWaterKgPerS, boreM),
    heard,
    noiseStreams.drain,
  );
}

/** Relief valves of the cylinder ends. */
export function reliefVoice(making: VoiceMaking): SteamJets {
  const { reliefKgPerS, reliefMPerS } = making.record;
  const boreM = roundBoreM(making.description.fittings?.reliefAreaM2 ?? 0);
  const heard = { slugHz: drainSlugHz, heardRatio: lowDownRatio, restK: restK(making, cylinderK) };
  return new SteamJets("relief", making, each(reliefKgPerS, reliefMPerS, null, boreM), heard, noiseStreams.relief);
}

/** The air of an air engine is not heated. */
export function restK(making: VoiceMaking, steamK: number): number {
  const { workingFluid, ambient } = making.description;
  return workingFluid === "air" ? ambient.temperatureK : steamK;
}
