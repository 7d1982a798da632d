import { BlowdownVoice } from "./blowdown-voice.js";
import { BlowerVoice } from "./blower-voice.js";
import { CondenserVoice } from "./condenser-voice.js";
import { CoolingVoice } from "./cooling-voice.js";
import { FeedPumpVoice } from "./feed-pump-voice.js";
import { FireVoice } from "./fire-voice.js";
import { InjectorVoice } from "./injector-voice.js";
import { GlandVoice } from "./gland-voice.js";
import { drainVoice, reliefVoice } from "./jet-voices.js";
import { SafetyValveVoice } from "./safety-valve-voice.js";
import { SimmerVoice } from "./simmer-voice.js";
import { SniftingVoice } from "./snifting-voice.js";
import { WhistleVoice } from "./whistle-voice.js";
import type { Voice, VoiceMaking } from "./voice.js";

/** The voices of steam, water and fire that a machine has, by what hangs on it. One that it has not is not made. */
export function sideVoices(making: VoiceMaking): Voice[] {
  const { fittings, plant, exhaust, workingFluid, idealised } = making.description;
  const voices: Voice[] = [];
  if (fittings) {
    if (fittings.drainAreaM2 > 0) voices.push(drainVoice(making));
    if (fittings.reliefAreaM2 > 0) voices.push(reliefVoice(making));
    if (fittings.glandAreaM2 > 0) voices.push(new GlandVoice(making));
    if (fittings.sniftingAreaM2 > 0) voices.push(new SniftingVoice(making));
    if (fittings.whistle !== null) voices.push(new WhistleVoice(making));
  }
  if (plant) {
    if (plant.safetyValve !== null) voices.push(new SafetyValveVoice(making));
    if (plant.blowerAreaM2 > 0) voices.push(new BlowerVoice(making));
    if (plant.blowdownAreaM2 > 0) voices.push(new BlowdownVoice(making));
    if (plant.fire !== null) voices.push(new FireVoice(making));
    if (plant.waterRatio > 0) voices.push(new SimmerVoice(making));
    if (plant.feed !== null) {
      voices.push(plant.feed.kind === "injector" ? new InjectorVoice(making) : new FeedPumpVoice(making));
    }
  }
  if (exhaust.condenser !== null || (fittings && fittings.airPump !== null)) voices.push(new CondenserVoice(making));
  if (workingFluid === "steam" && !idealised) voices.push(new CoolingVoice(making));
  return voices;
}
