// Time in which the flow of gas through the boiler follows the blast. [common practice: the draught of single beats is
// felt at the fire below one or two beats a second]
const draughtS = 0.3;

/**
 * A smokebox as a vessel in the fluid engine: the blast compresses its gas, the chimney above lets it out through the
 * inertia of its column. Only the rise above the air's pressure is kept; what the fire gives and what is drawn along is
 * taken as steady, so that in the mean the chimney passes what the nozzles bring. The audio-rate chimney stands in sound/.
 */
export class DraughtBox {
  /** Pressure above the surrounding air. */
  risePa = 0.5;
  /** Volume flow up the chimney, without what is drawn along. */
  chimneyFlowM3PerS = 0.5;
  /** Flow from the nozzles as the fire's gas feels it: a running mean, since its way through the boiler has much inertia. */
  meanInflowM3PerS = 0.5;

  /** From the nozzles, for `advance`. */
  inflowM3PerS = 0.5;

  private readonly meanShare: number;
  private readonly perVolumePa: number;
  private readonly perInertance: number;
  private readonly lossFactor: number;

  /**
   * @param stepS tick
   * @param volumeM3 of the box
   * @param stiffnessPa density x sound speed squared of its gas
   * @param chimneyAreaM2 @param chimneyLengthM with its end corrections @param densityKgPerM3 of the gas in it
   * @param lossRatio velocity heads lost at the chimney's mouth for each volume of steam squared, 0 for none
   */
  constructor(
    private readonly stepS: number,
    volumeM3: number,
    stiffnessPa: number,
    chimneyAreaM2: number,
    chimneyLengthM: number,
    densityKgPerM3: number,
    lossRatio: number,
  ) {
    this.meanShare = stepS / (draughtS + stepS);
    this.perVolumePa = stiffnessPa / volumeM3;
    this.perInertance = chimneyAreaM2 / (densityKgPerM3 * chimneyLengthM);
    this.lossFactor = (0.5 * lossRatio * densityKgPerM3) / (chimneyAreaM2 * chimneyAreaM2);
    // Begun with halves, the fields hold doubles for good.
    this.risePa = this.chimneyFlowM3PerS = this.meanInflowM3PerS = 0;
  }

  /** Rise of the box's pressure over one tick per unit of volume flow into it, Pa s/m3. */
  get risePerFlowPaSPerM3(): number {
    return this.perVolumePa * this.stepS;
  }

  /** State only. */
  reset(): void {
    this.risePa = 0;
    this.meanInflowM3PerS = this.inflowM3PerS = 0;
    this.chimneyFlowM3PerS = 0;
  }

  /** One tick with the given volume flow from the nozzles. */
  process(inflowM3PerS: number): void {
    this.inflowM3PerS = inflowM3PerS;
    this.advance();
  }

  /** The same with the flow in `inflowM3PerS`; trapezoidal, so stable at any size. */
  advance(): void {
    const { inflowM3PerS } = this;
    const h = this.stepS;
    const q = this.chimneyFlowM3PerS;
    const speed = q < 0 ? -q : q;
    const a = 0.5 * h * this.perVolumePa;
    const b = 0.5 * h * this.perInertance;
    const r = b * this.lossFactor * speed;
    // rise' = rise + a (2 inflow - q - q');  q' = q + b (rise + rise') - r (q + q')
    const next = (q * (1 - r - a * b) + 2 * b * (this.risePa + a * inflowM3PerS)) / (1 + r + a * b);
    this.risePa += a * (2 * inflowM3PerS - q - next);
    this.chimneyFlowM3PerS = next;
    this.meanInflowM3PerS += this.meanShare * (inflowM3PerS - this.meanInflowM3PerS);
  }
}
