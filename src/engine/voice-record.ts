// The fields are to hold doubles from the start, so they begin with one; the constructor sets all to 0.
// [common practice]
const none = 0.5;

/**
 * What the engine tells the voices beside the exhaust, one row, overwritten at every tick: what flows to the air and how
 * fast, what the iron bears, and how boiler and train stand. Flows are positive to the air unless said otherwise; speeds of
 * jets are those that they come to on expanding; a water flow is liquid thrown out beside the steam.
 */
export class VoiceRecord {
  /** Per cylinder end. */
  readonly drainKgPerS: Float64Array;
  readonly drainMPerS: Float64Array;
  readonly drainWaterKgPerS: Float64Array;
  readonly reliefKgPerS: Float64Array;
  readonly reliefMPerS: Float64Array;
  /** Per cylinder: force along the piston rod on the crosshead, gas and inertia, positive towards the crank, N; how fast the piston goes that way, m/s. */
  readonly rodForceN: Float64Array;
  readonly pistonMPerS: Float64Array;
  /** Push that lifts each slide valve from its face, 0 while it is held on, Pa; and how fast it slides, m/s. */
  readonly valveLiftPa: Float64Array;
  readonly valveMPerS: Float64Array;
  readonly glandKgPerS: Float64Array;
  readonly glandMPerS: Float64Array;
  readonly glandWaterKgPerS: Float64Array;
  readonly metalK: Float64Array;
  /**
   * Per cylinder of a pump without a crank, counted since reset, with the speed of the last: blows of a piston on its cover,
   * a valve's rod met or its valve thrown to its end, water valves met by their seats.
   */
  readonly coverBlows: Float64Array;
  readonly coverMPerS: Float64Array;
  readonly trips: Float64Array;
  readonly tripMPerS: Float64Array;
  readonly seatings: Float64Array;
  readonly seatMPerS: Float64Array;

  /** Past the packing of all valve spindles, whose glands stand on the chest. */
  spindleKgPerS = none;
  spindleMPerS = none;
  /** Snifting valve: air drawn in, and its speed. */
  sniftKgPerS = none;
  sniftMPerS = none;
  chestPa = none;

  boilerPa = none;
  boilerK = none;
  /** Share of the boiler under water. */
  waterRatio = none;
  /** Heat let loose by the fire, and heat that reaches the water, W. */
  fireW = none;
  heatW = none;
  /** Steam raised in the water, kg/s, and how far the water is short of boiling, K (0 when it boils). */
  steamRaisedKgPerS = none;
  subcoolingK = none;
  safetyKgPerS = none;
  safetyMPerS = none;
  /** 0 shut, 1 full open. */
  safetyLiftRatio = none;
  blowerKgPerS = none;
  blowerMPerS = none;
  blowdownKgPerS = none;
  blowdownMPerS = none;
  blowdownWaterKgPerS = none;
  feedKgPerS = none;
  /** What leaves the exhaust's last pipe, up the chimney, into the air or into a condenser. */
  exhaustKgPerS = none;
  /** Whistle valve, 0 shut to 1 full open. */
  whistleRatio = none;

  shaftRad = none;
  shaftRadPerS = none;
  /** Torque that goes on into gearing, wheels or load, Nm. */
  loadTorqueNm = none;
  /** Of the vehicle along the road, and of the wheels' rims beyond it, m/s; how far it has come, m. */
  roadMPerS = none;
  slipMPerS = none;
  roadM = none;
  brakeRatio = none;

  /** @param endCount cylinder ends @param cylinderCount cylinders */
  constructor(endCount: number, cylinderCount: number) {
    const ends = () => new Float64Array(endCount);
    const cylinders = () => new Float64Array(cylinderCount);
    this.drainKgPerS = ends();
    this.drainMPerS = ends();
    this.drainWaterKgPerS = ends();
    this.reliefKgPerS = ends();
    this.reliefMPerS = ends();
    this.rodForceN = cylinders();
    this.pistonMPerS = cylinders();
    this.valveLiftPa = cylinders();
    this.valveMPerS = cylinders();
    this.glandKgPerS = cylinders();
    this.glandMPerS = cylinders();
    this.glandWaterKgPerS = cylinders();
    this.metalK = cylinders();
    this.coverBlows = cylinders();
    this.coverMPerS = cylinders();
    this.trips = cylinders();
    this.tripMPerS = cylinders();
    this.seatings = cylinders();
    this.seatMPerS = cylinders();
    this.clear();
  }

  /** Sets all numbers to 0, those of ends and cylinders aside. */
  private clear(): void {
    this.spindleKgPerS =
      this.spindleMPerS =
      this.sniftKgPerS =
      this.sniftMPerS =
      this.chestPa =
      this.boilerPa =
      this.boilerK =
      this.waterRatio =
      this.fireW =
      this.heatW =
      this.steamRaisedKgPerS =
      this.subcoolingK =
      this.safetyKgPerS =
      this.safetyMPerS =
      this.safetyLiftRatio =
      this.blowerKgPerS =
      this.blowerMPerS =
      this.blowdownKgPerS =
      this.blowdownMPerS =
      this.blowdownWaterKgPerS =
      this.feedKgPerS =
      this.whistleRatio =
      this.shaftRad =
      this.shaftRadPerS =
      this.loadTorqueNm =
      this.roadMPerS =
      this.slipMPerS =
      this.roadM =
      this.brakeRatio =
      this.exhaustKgPerS =
        0;
  }
}
