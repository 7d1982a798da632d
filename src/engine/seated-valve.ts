// Blows that one step may tell of. [common practice: a step is far shorter than a bounce]
const MOST_IMPACTS = 8;
// The motion is stepped at least as finely. [common practice: a tenth of the time of a small disc's bounce]
const LONGEST_STEP_S = 25e-6;
// A rebound slower than this stays where it is. [common practice]
const LEAST_REBOUND_M_PER_S = 2e-3;

/** A valve that lies loose on its seat: slide valve on its face, disc of a snifting or relief valve. */
export interface SeatedValveDescription {
  readonly massKg: number;
  /** On which the pressure below pushes. */
  readonly areaM2: number;
  /** Weight or spring that holds it down, N, and how it grows with the lift, N/m. */
  readonly holdN: number;
  readonly springNPerM: number;
  /** Greatest lift, where it meets a stop. */
  readonly stopM: number;
  /** Lift at which what flows out below halves the push: opening around the edge as wide as what feeds it. */
  readonly relievedM: number;
  /** Time in which the room below fills. */
  readonly fillS: number;
  /** Speed after a blow as a share of that before it, 0 to 1. */
  readonly reboundRatio: number;
}

/**
 * A valve that pressure lifts from its seat: it rises against weight and spring, lets the pressure out below as it rises,
 * falls back and bounces, and does so again while the push lasts. The room below fills in a time of its own, which is why it
 * rattles instead of floating. Pushed by nothing it lies on its seat and costs nothing.
 *
 * @example
 * const valve = new SeatedValve(snifter, 1e-4);
 * valve.reset();
 * valve.pushPa = 8000;
 * valve.integrate(); // valve.impactCount blows within it
 */
export class SeatedValve {
  /** Push at the end of the coming step, as it is with the valve on its seat; between steps it goes straight. */
  pushPa = 0.5;
  /** Blows of the last step, and of each: time into the step, speed, momentum given, 1 on the seat and 0 on the stop. */
  impactCount = 0;
  readonly impactS = new Float64Array(MOST_IMPACTS);
  readonly impactMPerS = new Float64Array(MOST_IMPACTS);
  readonly impactNs = new Float64Array(MOST_IMPACTS);
  readonly impactOnSeat = new Uint8Array(MOST_IMPACTS);

  /** Whether it lies on its seat and has not been pushed of late: without a push `integrate` would do nothing. */
  isAtRest = true;

  private readonly areaM2: number;
  private readonly massKg: number;
  private readonly holdN: number;
  private readonly springNPerM: number;
  // An array, for a number from a plain field would put the lift on the heap.
  private readonly stopM = new Float64Array(1);
  private readonly perRelievedM: number;
  private readonly perFillS: number;
  private readonly reboundRatio: number;
  private previousPa = 0.5;
  // Of the push in the step at hand.
  private startPa = 0.5;
  private slopePaPerS = 0.5;
  private liftM = 0.5;
  private speedMPerS = 0.5;
  private belowPa = 0.5;

  /** @param stepS length of every step, s @throws RangeError for a mass, area, hold, stop, relief or filling time that is not above 0, or a rebound outside 0 to 1 */
  constructor(
    description: SeatedValveDescription,
    private readonly stepS: number,
  ) {
    this.massKg = requireAboveZero("massKg", description.massKg, " kg");
    this.areaM2 = requireAboveZero("areaM2", description.areaM2, " m2");
    this.holdN = requireAboveZero("holdN", description.holdN, " N");
    this.stopM[0] = requireAboveZero("stopM", description.stopM, " m");
    this.perRelievedM = 1 / requireAboveZero("relievedM", description.relievedM, " m");
    this.perFillS = 1 / requireAboveZero("fillS", description.fillS, " s");
    this.springNPerM = description.springNPerM;
    if (!(description.reboundRatio >= 0 && description.reboundRatio < 1)) {
      throw new RangeError(
        `SeatedValve: reboundRatio must be from 0 to below 1, got ${description.reboundRatio}. Iron on iron has about 0.5.`,
      );
    }
    this.reboundRatio = description.reboundRatio;
    this.reset();
  }

  /** Whether it lies on its seat. */
  get isSeated(): boolean {
    return this.liftM === 0 && this.speedMPerS === 0;
  }

  /** How far it stands off its seat, m. */
  get standingM(): number {
    return this.liftM;
  }

  /** State only: on its seat, nothing below. */
  reset(): void {
    this.pushPa = 0;
    this.impactCount = 0;
    this.isAtRest = true;
    this.reseat();
  }

  /** State only: on its seat, the push going on as it is. */
  reseat(): void {
    this.previousPa = this.pushPa;
    this.liftM = 0;
    this.speedMPerS = 0;
    this.belowPa = 0;
  }

  /** One step of the constructor's length, the push going to `pushPa`. */
  integrate(): void {
    this.impactCount = 0;
    const before = this.previousPa;
    const after = this.pushPa;
    this.previousPa = after;
    if (this.liftM === 0 && this.speedMPerS === 0 && before <= 0 && after <= 0) {
      this.belowPa = 0;
      this.isAtRest = true;
      return;
    }
    this.isAtRest = false;
    this.startPa = before;
    this.slopePaPerS = (after - before) / this.stepS;
    this.move();
  }

  private move(): void {
    const { startPa, slopePaPerS, stepS } = this;
    const { areaM2, massKg, holdN, springNPerM, perRelievedM, perFillS, reboundRatio } = this;
    const stopM = this.stopM[0]!;
    const count = Math.ceil(stepS / LONGEST_STEP_S);
    const part = stepS / count;
    const perMass = 1 / massKg;
    // Implicit in the filling, so that any time of it is stable.
    const filled = (part * perFillS) / (1 + part * perFillS);
    let lift = this.liftM;
    let speed = this.speedMPerS;
    let below = this.belowPa;
    for (let n = 0; n < count; n++) {
      const push = startPa + slopePaPerS * part * (n + 1);
      const opened = lift * perRelievedM;
      const stands = push > 0 ? push / (1 + opened * opened) : 0;
      below += filled * (stands - below);
      const forceN = areaM2 * below - holdN - springNPerM * lift;
      if (lift === 0 && speed === 0 && forceN <= 0) continue;
      const was = lift;
      speed += part * forceN * perMass;
      lift += part * speed;
      if (lift > 0 && lift < stopM) continue;
      const seats = lift <= 0;
      const wall = seats ? 0 : stopM;
      const size = speed < 0 ? -speed : speed;
      const rebound = reboundRatio * size;
      if (size > 0 && was !== wall) {
        const i = this.impactCount;
        if (i < MOST_IMPACTS) {
          const share = (wall - was) / (lift - was);
          this.impactS[i] = part * (n + share);
          this.impactMPerS[i] = size;
          this.impactNs[i] = massKg * (size + rebound);
          this.impactOnSeat[i] = seats ? 1 : 0;
          this.impactCount = i + 1;
        }
      }
      lift = wall;
      speed = rebound < LEAST_REBOUND_M_PER_S ? 0 : seats ? rebound : -rebound;
    }
    this.liftM = lift;
    this.speedMPerS = speed;
    this.belowPa = below;
  }
}

function requireAboveZero(name: string, value: number, unit: string): number {
  if (value > 0) return value;
  throw new RangeError(
    `SeatedValve: ${name} must be above 0${unit}, got ${value}. Leave out a valve that is not there.`,
  );
}
