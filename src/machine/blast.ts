// Share of the jet's momentum that ends as pressure under the chimney. [common practice: about half of it is draught, the
// rest leaves with the mixed stream]
const draughtRatio = 0.5;
// What is borne along by a jet goes at this share of its speed. [common practice: 0.6]
const convectionRatio = 0.6;
// Length over which the jet gives its momentum to the gas in the chimney, in bores of it. [common practice: about two]
const throwBores = 2;

/**
 * The push of the blast on the gas in the chimney, at the audio rate: what makes draught of it. The jet hands its momentum
 * over along its throw, so that quick changes, which follow each other along it, cancel: a low-pass whose corner is the
 * speed of what it bears along over the length of the throw.
 */
export class Blast {
  /** Pressure that the momentum of all jets would make over the chimney's area, before the low-pass, Pa. */
  readonly pressurePa: Float64Array;
  /** The same for each m3/s more through the nozzles, Pa s/m3. */
  readonly perFlowPaSPerM3: Float64Array;
  /** Share of a change that the low-pass lets through in one sample. */
  readonly keepRatio: Float64Array;

  private readonly perAreaM2: number;
  private readonly perFlow: number;
  private readonly anglePerSpeed: number;

  constructor(sampleRateHz: number, chimneyBoreM: number, mouthBoreM: number, frameCount: number) {
    this.pressurePa = new Float64Array(frameCount);
    this.perFlowPaSPerM3 = new Float64Array(frameCount);
    this.keepRatio = new Float64Array(frameCount);
    this.perAreaM2 = draughtRatio / (0.25 * Math.PI * chimneyBoreM * chimneyBoreM);
    // Momentum is flow squared x density / area: a change of flow changes it by 2 x mass flow / area.
    this.perFlow = (2 * this.perAreaM2) / (0.25 * Math.PI * mouthBoreM * mouthBoreM);
    this.anglePerSpeed = convectionRatio / (throwBores * chimneyBoreM * sampleRateHz);
  }

  /** Pressure for one mass flow and jet speed. */
  steadyPa(massKgPerS: number, jetMPerS: number): number {
    return this.perAreaM2 * massKgPerS * jetMPerS;
  }

  /** Begins a chunk. */
  clear(): void {
    this.pressurePa.fill(0);
    this.perFlowPaSPerM3.fill(0);
    this.keepRatio.fill(0);
  }

  /** Adds one mouth's mass flow and jet speed. */
  add(massKgPerS: Float64Array, jetMPerS: Float64Array, frameCount: number): void {
    const { pressurePa, perFlowPaSPerM3, keepRatio, perAreaM2, perFlow, anglePerSpeed } = this;
    for (let i = 0; i < frameCount; i++) {
      const mass = massKgPerS[i]!;
      const speed = jetMPerS[i]!;
      if (!(mass > 0 && speed > 0)) continue;
      pressurePa[i] = pressurePa[i]! + perAreaM2 * mass * speed;
      perFlowPaSPerM3[i] = perFlowPaSPerM3[i]! + perFlow * mass;
      const angle = anglePerSpeed * speed;
      const keep = angle / (1 + angle);
      if (keep > keepRatio[i]!) keepRatio[i] = keep;
    }
  }
}
