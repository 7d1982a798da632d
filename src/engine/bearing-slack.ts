// Impacts that one step may tell of; what is beyond them is not told. [common practice: a step is far shorter than a bounce]
const MOST_IMPACTS = 8;
// A rebound slower than this stays where it is. [common practice]
const LEAST_REBOUND_M_PER_S = 4e-3;
const BISECTIONS = 40;

/** One bearing of a train, from the piston on. */
export interface SlackBearing {
  /** Way from the one side to the other. */
  readonly playM: number;
  /** The body between this bearing and the one before, which is freed with all that lie before it. */
  readonly massKg: number;
}

/** Oil between the surfaces. */
export interface BearingOil {
  /** Speed after a blow, as a share of that before it, backwards: 0 dead, 1 elastic. */
  readonly reboundRatio: number;
  /** Time in which the film takes the speed of what moves through it, s; Infinity for a dry bearing. */
  readonly filmS: number;
}

/**
 * Play in a row of bearings, such as crosshead pin and big end, and what happens in it when the force changes sign: what lies
 * before the first slack bearing is freed, gathers speed under the force as that grows, crosses the play and strikes. Masses
 * picked up share their momentum; the last bearing stands against the shaft. A force that turns at the rate R frees a mass m
 * to cross the play s in (6 m s / R)^(1/3), striking at R t^2 / 2m: a slow reversal is soft, a sharp one hard. Forces are
 * those between parts that keep in touch, so that the motion of the whole does not count.
 *
 * @example
 * const slack = new BearingSlack([{ playM: 2e-4, massKg: 180 }], { reboundRatio: 0.2, filmS: 0.01 }, 1e-4);
 * slack.reset(-2e4);
 * slack.forceN = 5e3;
 * slack.integrate(); // slack.impactCount blows within it
 */
export class BearingSlack {
  /** Force at the end of the coming step, positive towards the far side of the play; between steps it goes straight. */
  forceN = 0.5;
  /** Blows of the last step, and of each: time into the step, speed, momentum given, bearing, reduced mass. */
  impactCount = 0;
  readonly impactS = new Float64Array(MOST_IMPACTS);
  readonly impactMPerS = new Float64Array(MOST_IMPACTS);
  readonly impactNs = new Float64Array(MOST_IMPACTS);
  readonly impactKg = new Float64Array(MOST_IMPACTS);
  readonly impactBearing = new Int32Array(MOST_IMPACTS);
  /** Energy lost in blows since the reset, J. */
  lostJ = 0.5;

  private readonly bearingCount: number;
  private readonly playM: Float64Array;
  private readonly placeM: Float64Array;
  // Of all bodies up to and with this bearing's own.
  private readonly groupKg: Float64Array;
  private readonly reboundRatio: number;
  private readonly perFilmS: number;
  private previousN = 0.5;
  // Of the force in the step at hand.
  private startN = 0.5;
  private slopeNPerS = 0.5;
  private speedMPerS = 0.5;

  /** @param stepS length of every step, s @throws RangeError for a play or mass that is not above 0, or oil out of range */
  constructor(
    bearings: readonly SlackBearing[],
    oil: BearingOil,
    private readonly stepS: number,
  ) {
    this.bearingCount = bearings.length;
    this.playM = Float64Array.from(bearings, ({ playM }) => requireAboveZero("playM", playM, " m"));
    let sum = 0;
    this.groupKg = Float64Array.from(bearings, ({ massKg }) => (sum += requireAboveZero("massKg", massKg, " kg")));
    this.placeM = new Float64Array(bearings.length);
    if (!(oil.reboundRatio >= 0 && oil.reboundRatio <= 1)) {
      throw new RangeError(
        `BearingSlack: reboundRatio must be between 0 and 1, got ${oil.reboundRatio}. Iron in oil has about 0.2.`,
      );
    }
    this.reboundRatio = oil.reboundRatio;
    this.perFilmS = 1 / requireAboveZero("filmS", oil.filmS, " s");
    this.reset(0);
  }

  /** Whether nothing moves, all play being taken up by the force. */
  get isHeld(): boolean {
    return this.speedMPerS === 0 && this.slackTowards(this.previousN > 0 ? 1 : -1) < 0;
  }

  /** State only: all play taken up by this force. */
  reset(forceN: number): void {
    this.forceN = this.previousN = forceN;
    this.speedMPerS = 0;
    this.impactCount = 0;
    this.lostJ = 0;
    for (let k = 0; k < this.bearingCount; k++) this.placeM[k] = forceN > 0 ? this.playM[k]! : 0;
  }

  /** One step of the constructor's length, the force going to `forceN`. */
  integrate(): void {
    const before = this.previousN;
    const after = this.forceN;
    this.impactCount = 0;
    this.previousN = after;
    // Held all the time: the usual case.
    if (this.speedMPerS === 0) {
      if (before === 0 && after === 0) return;
      if (before >= 0 && after >= 0 && this.slackTowards(1) < 0) return;
      if (before <= 0 && after <= 0 && this.slackTowards(-1) < 0) return;
    }
    this.startN = before;
    this.slopeNPerS = (after - before) / this.stepS;
    this.move();
  }

  private move(): void {
    const { placeM, playM, groupKg, perFilmS, slopeNPerS, stepS } = this;
    let startN = this.startN;
    let t = 0;
    // Each round ends with the step, a turn of the motion or a blow.
    for (let round = 0; round < 4 * MOST_IMPACTS && t < stepS; round++) {
      let speed = this.speedMPerS;
      const force = startN + slopeNPerS * t;
      const heading = speed !== 0 ? speed : force !== 0 ? force : slopeNPerS;
      const way = heading > 0 ? 1 : -1;
      const k = this.slackTowards(way);
      if (k < 0) {
        this.speedMPerS = 0;
        // Held until the force turns.
        const turnS = -startN / slopeNPerS;
        if (!(turnS > t && turnS < stepS)) return;
        t = turnS;
        // Exactly nothing at this time, so that it is the slope which says where it goes.
        startN = -slopeNPerS * turnS;
        if (this.slackTowards(slopeNPerS > 0 ? 1 : -1) < 0) return;
        continue;
      }
      const mass = groupKg[k]!;
      const push = (way * force) / mass - way * speed * perFilmS;
      const growth = (way * slopeNPerS) / mass;
      speed *= way;
      let run = stepS - t;
      // When the speed falls through zero: the root of speed + push t + growth t^2 / 2 that has no cancellation.
      let turn = Infinity;
      const inside = push * push - 2 * growth * speed;
      if (inside >= 0) {
        if (push < 0) turn = (2 * speed) / (Math.sqrt(inside) - push);
        else if (growth < 0) turn = (push + Math.sqrt(inside)) / -growth;
      }
      const turns = turn < run;
      if (turns) run = turn;
      const room = way > 0 ? playM[k]! - placeM[k]! : placeM[k]!;
      const passed = run * (speed + run * (0.5 * push + (run * growth) / 6));
      if (passed < room) {
        placeM[k] = placeM[k]! + way * passed;
        this.speedMPerS = turns ? 0 : way * (speed + run * (push + 0.5 * run * growth));
        t += run;
        continue;
      }
      // Way is gained all through the run: halving finds when the room is crossed.
      let early = 0;
      let late = run;
      for (let i = 0; i < BISECTIONS; i++) {
        const middle = 0.5 * (early + late);
        const gone = middle * (speed + middle * (0.5 * push + (middle * growth) / 6));
        if (gone < room) early = middle;
        else late = middle;
      }
      t += late;
      placeM[k] = way > 0 ? playM[k]! : 0;
      this.speedMPerS = way * Math.max(0, speed + late * (push + 0.5 * late * growth));
      this.strike(k, t);
    }
  }

  private strike(k: number, atS: number): void {
    const { groupKg } = this;
    const speed = this.speedMPerS;
    const size = speed < 0 ? -speed : speed;
    const mass = groupKg[k]!;
    const next = this.slackTowards(speed > 0 ? 1 : -1);
    let reduced = mass;
    // What rebounds is the first body, all others stay where they are.
    let momentum = (mass + groupKg[0]! * this.reboundRatio) * size;
    let left = -this.reboundRatio * speed;
    if (next >= 0) {
      // What was at rest is taken along.
      const all = groupKg[next]!;
      reduced = (mass * (all - mass)) / all;
      momentum = reduced * size;
      left = (speed * mass) / all;
      this.lostJ += 0.5 * reduced * size * size;
    } else {
      if (left < LEAST_REBOUND_M_PER_S && left > -LEAST_REBOUND_M_PER_S) left = 0;
      this.lostJ += 0.5 * (mass * size * size - groupKg[0]! * left * left);
    }
    this.speedMPerS = left;
    const i = this.impactCount;
    if (i === MOST_IMPACTS || size === 0) return;
    this.impactS[i] = atS;
    this.impactMPerS[i] = size;
    this.impactNs[i] = momentum;
    this.impactKg[i] = reduced;
    this.impactBearing[i] = k;
    this.impactCount = i + 1;
  }

  /** First bearing from the piston on that has room that way; -1: none. */
  private slackTowards(way: 1 | -1): number {
    const { placeM, playM, bearingCount } = this;
    for (let k = 0; k < bearingCount; k++) {
      if (way > 0 ? placeM[k]! < playM[k]! : placeM[k]! > 0) return k;
    }
    return -1;
  }
}

function requireAboveZero(name: string, value: number, unit: string): number {
  if (value > 0) return value;
  throw new RangeError(`BearingSlack: ${name} must be above 0${unit}, got ${value}. Leave out a bearing without play.`);
}
