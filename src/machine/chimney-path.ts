import type { EngineDescription } from "../engine/engine-description.js";
import { chimneyFlowRatio, smokeboxDensityKgPerM3, smokeboxSoundSpeedMPerS } from "../engine/exhaust-network.js";
import { Chimney } from "../sound/chimney.js";

// The mean flow whose head the chimney loses is that of about this long. [common practice: a few beats]
const meanFlowS = 0.5;

/** Smokebox and chimney at the audio rate, with the loss that the mean flow up the chimney brings. */
export class ChimneyPath {
  private readonly chimney: Chimney;
  private readonly machPerFlow: number;
  private meanFlow = 0;

  constructor(
    private readonly sampleRateHz: number,
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
    const area = 0.25 * Math.PI * chimney.boreM * chimney.boreM;
    this.machPerFlow = idealised ? 0 : chimneyFlowRatio / (area * soundSpeed);
  }

  /** State only: settled at a mean flow, with this flow passing now. */
  reset(meanFlowM3PerS: number, flowM3PerS: number): void {
    this.meanFlow = meanFlowM3PerS;
    this.setLoss();
    this.chimney.reset(flowM3PerS);
  }

  /** Nozzle flow to the flow out of the chimney's mouth, m3/s, in place. */
  process(flow: Float64Array, frameCount: number): void {
    let sum = 0;
    for (let i = 0; i < frameCount; i++) sum += flow[i]!;
    const share = Math.min(1, frameCount / (meanFlowS * this.sampleRateHz));
    this.meanFlow += share * (sum / frameCount - this.meanFlow);
    this.setLoss();
    this.chimney.process(flow, flow, frameCount);
  }

  private setLoss(): void {
    this.chimney.setFlowLossRatio(Math.min(1, this.machPerFlow * Math.abs(this.meanFlow)));
  }
}
