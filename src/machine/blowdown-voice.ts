import { noiseStreams } from "./noise-streams.js";
import { restK } from "./jet-voices.js";
import { roundBoreM, SteamJets } from "./steam-jets.js";
import type { VoiceMaking } from "./voice.js";

// Water of a boiler at some 12 bar. [common practice]
const boilerK = 461;
// Slugs a second in a blow-down pipe. [common practice]
const slugHz = 7;

/** Blow-down cock: boiler water that flashes to steam, thrown out of a pipe near the ground. */
export class BlowdownVoice extends SteamJets {
  private readonly mass: Float64Array;
  private readonly speed: Float64Array;
  private readonly water: Float64Array;

  constructor(private readonly making: VoiceMaking) {
    const massKgPerS = new Float64Array(1);
    const jetMPerS = new Float64Array(1);
    const waterKgPerS = new Float64Array(1);
    const boreM = roundBoreM(making.description.plant?.blowdownAreaM2 ?? 0);
    const heard = { slugHz, heardRatio: 0.25, restK: restK(making, boilerK) };
    const source = { massKgPerS, jetMPerS, waterKgPerS, index: 0, boreM };
    super("blow-down", making, [source], heard, noiseStreams.blowdown);
    this.mass = massKgPerS;
    this.speed = jetMPerS;
    this.water = waterKgPerS;
  }

  protected override read(at: number): void {
    const { record } = this.making;
    this.mass[0] = record.blowdownKgPerS;
    this.speed[0] = record.blowdownMPerS;
    this.water[0] = record.blowdownWaterKgPerS;
    super.read(at);
  }

  override isStill(): boolean {
    return !(this.making.record.blowdownKgPerS > 0);
  }
}
