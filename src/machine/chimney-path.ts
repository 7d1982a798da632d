import type { EngineDescription } from "../engine/engine-description.js";
import { smokeboxDensityKgPerM3, smokeboxSoundSpeedMPerS } from "../engine/exhaust-network.js";
import { Chimney } from "../sound/chimney.js";

// Head that the mean flow loses at the chimney's mouth, as its Mach number: steam and drawn-in gas go up at some 50 m/s
// under load. Held, because a loss that follows the load in steps can be heard in the quiet between beats.
// [common practice]
const workingMach = 0.1;

/** Smokebox and chimney at the audio rate, with the loss that a working engine's flow up the chimney brings. */
export class ChimneyPath {
  private readonly chimney: Chimney;

  constructor(
    sampleRateHz: number,
    smokebox: NonNullable<EngineDescription["exhaust"]["smokebox"]>,
    chimney: NonNullable<EngineDescription["exhaust"]["chimney"]>,
    ambientPa: number,
    idealised: boolean,
  ) {
    const soundSpeed = smokeboxSoundSpeedMPerS(smokebox.temperatureK);
    this.chimney = new Chimney(sampleRateHz, {
      smokeboxVolumeM3: smokebox.volumeM3,
      lengthM: chimney.lengthM,
      boreM: chimney.boreM,
      wallLossRatio: idealised ? 0 : 1,
    });
    this.chimney.setGas(smokeboxDensityKgPerM3(ambientPa, smokebox.temperatureK), soundSpeed);
    this.chimney.setFlowLossRatio(idealised ? 0 : workingMach);
    this.chimney.reset(0);
  }

  /** State only: settled, with this flow passing. */
  reset(flowM3PerS: number): void {
    this.chimney.reset(flowM3PerS);
  }

  /** Nozzle flow to the flow out of the chimney's mouth, m3/s, in place. */
  process(flow: Float64Array, frameCount: number): void {
    this.chimney.process(flow, flow, frameCount);
  }
}
