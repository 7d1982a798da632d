import type { Engine } from "../engine/engine.js";
import { NoiseStream } from "../quantities/random.js";
import { airDensityKgPerM3, airSoundSpeedMPerS } from "./ambient-air.js";
import type { FlowRows } from "./flow-rows.js";
import { noiseStreams } from "./noise-streams.js";
import { RowJet } from "./row-jet.js";
import type { VoiceSettings } from "./voice-settings.js";

// What comes through the walls of chest and cylinders, lagging on, as a share of the pressure. [source: IEC 60534-8-3:2010,
// worked examples: 33 to 39 dB from the power inside a steel pipe to that outside; 37 dB]
const wallRatio = 0.0141;
// Mean width of a steam port's opening while steam passes, of its greatest. [common practice]
const meanOpeningRatio = 0.5;

/**
 * The rush of steam through regulator and steam ports, as it is heard through the iron around it. Of several ways open
 * at once the loudest is heard, each as wide as a steam port half open.
 */
export class InletVoice {
  /** Pressure at the listener for the chunk last filled, Pa. */
  readonly pressurePa: Float64Array;

  private readonly jet: RowJet;

  constructor(
    engine: Engine,
    private readonly table: FlowRows,
    settings: VoiceSettings,
  ) {
    const { description, motion } = engine;
    const { distanceM, seed } = settings;
    const { valveGear } = description.gear;
    const greatestAreaM2 = Math.max(...motion.portAreaMaxM2.subarray(0, motion.stages[0]!.endCount));
    const openingM =
      valveGear.kind === "oscillating"
        ? Math.sqrt((4 / Math.PI) * greatestAreaM2)
        : greatestAreaM2 / valveGear.portLengthM;
    // A jet in steam: its speed counts against the sound of steam, and what gets out goes on in air.
    const soundSpeed = engine.steamSoundSpeedMPerS();
    const airSpeed = airSoundSpeedMPerS(description.ambient);
    const air = {
      airDensityKgPerM3: Math.max(0.1, airDensityKgPerM3(description.ambient) * (airSpeed / soundSpeed)),
      airSoundSpeedMPerS: soundSpeed,
      distanceM,
    };
    this.jet = new RowJet(
      settings,
      new NoiseStream(seed, noiseStreams.steam, settings.noisePeriod),
      { ...air, boreM: meanOpeningRatio * openingM },
      table.steamMass,
      table.steamSpeed,
    );
    this.pressurePa = new Float64Array(settings.samplesPerTick * settings.ticksPerChunk);
  }

  /** State only. */
  reset(): void {
    this.jet.reset();
    this.pressurePa.fill(0);
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    this.jet.setNextSampleIndex(index);
  }

  /** Makes the chunk that the table holds. */
  process(): void {
    const { jet, pressurePa } = this;
    jet.process(this.table);
    for (let i = 0; i < pressurePa.length; i++) pressurePa[i] = wallRatio * jet.pressurePa[i]!;
  }
}
