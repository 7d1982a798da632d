/** One bell of a whistle: a stopped pipe, blown by a sheet of steam from an annular slit at its mouth. */
export interface BellDescription {
  /** Inside length from mouth to stop. */
  readonly lengthM: number;
  readonly boreM: number;
}

export interface WhistleDescription {
  /** One to six, sounding together. */
  readonly bells: readonly BellDescription[];
  /** Width of the slit. */
  readonly slitM: number;
  /** Height of the mouth from slit to lip, as a share of the bell's bore. */
  readonly cutUpRatio: number;
}

/** Rails that the wheels run on. */
export interface TrackDescription {
  readonly railLengthM: number;
  /** Gap at a joint, and dip of the rail ends below the line. */
  readonly gapM: number;
  readonly dipM: number;
  /** Where the axles stand, from the first back, engine first. */
  readonly axlesM: readonly number[];
  /** Mass carried by each axle. */
  readonly axleKg: number;
}

/** What hangs on a machine beside its cylinders; null or 0: there is none. */
export interface FittingsDescription {
  /** Drain cocks, effective area each, one an end. */
  readonly drainAreaM2: number;
  /** Snifting valve on the chest: lets air in when it falls below the atmosphere. */
  readonly sniftingAreaM2: number;
  /** Gland and joint leaks of each cylinder to the air. */
  readonly glandAreaM2: number;
  /** Each cylinder end's relief valve: lifts at `reliefPa`, absolute. */
  readonly reliefAreaM2: number;
  readonly reliefPa: number;
  /** The same in each later stage; left out: as the first. */
  readonly laterReliefsPa?: readonly number[];
  /** Whether slide valves may lift from their faces when the cylinder stands above the chest. */
  readonly valvesLift: boolean;
  readonly whistle: WhistleDescription | null;
  readonly track: TrackDescription | null;
  /** Air pump of a condenser: strokes for each turn of the shaft, bore and stroke; null without one. */
  readonly airPump: { readonly strokesPerTurn: number; readonly boreM: number; readonly strokeM: number } | null;
}
