import { noiseStreams } from "./noise-streams.js";
import { roundBoreM, SteamJets } from "./steam-jets.js";
import type { VoiceMaking } from "./voice.js";

// The jet stands inside the chest and is heard back through the valve it came by: about a tenth of its power. [common
// practice: an opening takes back a small share of what a room behind it holds]
const backRatio = 0.1;
// Lift of the valve's disc, of its bore: air comes in as a ring. [common practice]
const ringRatio = 0.25;

/** Snifting valve: air drawn into the chest while the engine drifts, stroke by stroke. */
export class SniftingVoice extends SteamJets {
  private readonly mass: Float64Array;
  private readonly speed: Float64Array;

  constructor(private readonly making: VoiceMaking) {
    const massKgPerS = new Float64Array(1);
    const jetMPerS = new Float64Array(1);
    const boreM = ringRatio * roundBoreM(making.description.fittings?.sniftingAreaM2 ?? 0);
    const heard = { slugHz: 1, heardRatio: backRatio, restK: making.description.ambient.temperatureK };
    const source = { massKgPerS, jetMPerS, waterKgPerS: null, index: 0, boreM };
    super("snifting", making, [source], heard, noiseStreams.snifting);
    this.mass = massKgPerS;
    this.speed = jetMPerS;
  }

  protected override read(at: number): void {
    const { record } = this.making;
    this.mass[0] = record.sniftKgPerS;
    this.speed[0] = record.sniftMPerS;
    super.read(at);
  }

  override isStill(): boolean {
    const { record } = this.making;
    this.mass[0] = record.sniftKgPerS;
    this.speed[0] = record.sniftMPerS;
    return super.isStill();
  }
}
