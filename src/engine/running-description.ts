/**
 * What a shaft works against, by how its torque follows speed: `constant`; `linear` and `square` with the speed; `pump` a
 * delivery head, the same at any speed but always against the motion; `hoist` a hanging weight, which pulls backwards
 * whichever way the shaft turns.
 */
export type LoadLaw = "constant" | "linear" | "square" | "pump" | "hoist";

export interface LoadDescription {
  readonly law: LoadLaw;
  /** Torque at the shaft with load 100 %, at `atRpm`. */
  readonly torqueNm: number;
  readonly atRpm: number;
}

/** What a locomotive or road engine draws, itself included. */
export interface TrainDescription {
  /** Behind the engine with load 100 %; the whole is engine and train. */
  readonly trainKg: number;
  readonly engineKg: number;
  /** Mass carried by the driven wheels. */
  readonly adhesionKg: number;
  /** Rise over distance, positive uphill; load 100 % or not. */
  readonly gradientRatio: number;
  /** Of a standing wheel, and of one that slips. */
  readonly adhesionRatio: number;
  readonly slipRatio: number;
  readonly resistance: "davis" | "clark";
  /** Frontal area, and axles under engine and train with load 100 %; for the Davis formula. */
  readonly frontalM2: number;
  readonly axleCount: number;
  /** Brakes of the train full on, as a share of its whole weight; left out: only the engine's own brake. */
  readonly brakeRatio?: number;
}

/** A governor that moves the regulator, or the cut-off, by the shaft's speed. */
export interface GovernorDescription {
  readonly acts: "regulator" | "cutoff";
  /** Speed at which it stands in the middle. */
  readonly speedRpm: number;
  /** Change of speed from its one end to the other, of `speedRpm`. */
  readonly droopRatio: number;
  /** Time of its own swing and how well that is damped (1 is critical): small and slack hunts. */
  readonly periodS: number;
  readonly dampingRatio: number;
}

/** Gearing between crankshaft and wheels, drum or pump. */
export interface GearingDescription {
  readonly kind: "gear" | "chain" | "belt";
  /** Teeth of each pair, driving and driven, from the crankshaft on; for a belt the pulley diameters in millimetres. */
  readonly pairs: readonly { readonly driving: number; readonly driven: number }[];
  /** From tooth to tooth along the pitch circle, or from pin to pin of the chain; left out: by the cylinder's bore. */
  readonly pitchM?: number;
  /** Width of teeth or belt; left out: some pitches. */
  readonly faceM?: number;
  /** Links of the chain; left out: twice the teeth of both wheels. */
  readonly linkCount?: number;
  /** Length of the belt; left out: shafts five great pulleys' radii apart. */
  readonly beltM?: number;
}

/** The iron that moves, and what it is held against. */
export interface RunningDescription {
  /** Piston, rod, crosshead and a share of the connecting rod, each cylinder. */
  readonly reciprocatingKg: number;
  /** Of everything that turns with the crankshaft: flywheel, wheels, cranks. */
  readonly inertiaKgM2: number;
  /** Friction of the engine itself, as a mean effective pressure on its pistons: over all that its ends sweep in a turn. */
  readonly frictionPa: number;
  /** Diametral play of the bearings between piston and crank. */
  readonly slackM: number;
  /** Brake full on, at the crankshaft; as friction, so that it can hold a standing shaft. */
  readonly brakeTorqueNm: number;
  readonly load: LoadDescription | null;
  readonly train: TrainDescription | null;
  readonly governor: GovernorDescription | null;
  readonly gearing: GearingDescription | null;
}
