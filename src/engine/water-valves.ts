/** The disc valves of one plunger, as a group for each way that it goes. */
export interface WaterValvesDescription {
  /** Lift at the plunger's `atMPerS`: a disc held by its weight and a spring rises with the flow. */
  readonly liftM: number;
  readonly atMPerS: number;
  /** How fast a disc falls through still water at most. */
  readonly fallMPerS: number;
}

/**
 * Water valves of a pump's plungers: opened by the flow, they follow it down as a plunger slows, no faster than they fall.
 * At the pause of a stroke's end they sink onto their seats; a plunger that turns at once drives them down with its water.
 * [source: the constant head of a loaded disc makes its lift go with the flow, Bernoulli; common practice: a pause lets the
 * valves seat quietly]
 */
export class WaterValves {
  /** Per plunger and way (outward, back): how far its discs are open. */
  readonly liftM: Float64Array;
  /** Per plunger: speed with which discs met their seats in the last step, 0 if none did. */
  readonly seatMPerS: Float64Array;

  private readonly downMPerS: Float64Array;

  constructor(
    private readonly description: WaterValvesDescription,
    plungerCount: number,
    private readonly stepS: number,
  ) {
    this.liftM = new Float64Array(2 * plungerCount);
    this.seatMPerS = new Float64Array(plungerCount);
    this.downMPerS = new Float64Array(2 * plungerCount);
  }

  /** State only: all on their seats. */
  reset(): void {
    this.liftM.fill(0);
    this.seatMPerS.fill(0);
    this.downMPerS.fill(0);
  }

  /** One step at these speeds of the plungers, m/s, outward positive. */
  integrate(speedMPerS: Float64Array): void {
    const { liftM, seatMPerS, downMPerS, stepS } = this;
    const { liftM: fullM, atMPerS, fallMPerS } = this.description;
    const perSpeed = fullM / atMPerS;
    for (let k = 0; k < seatMPerS.length; k++) {
      const speed = speedMPerS[k]!;
      let met = 0;
      for (let way = 0; way < 2; way++) {
        const at = liftM[2 * k + way]!;
        const flow = way === 0 ? speed : -speed;
        const wanted = flow > 0 ? perSpeed * flow : 0;
        if (wanted >= at) {
          liftM[2 * k + way] = wanted;
          downMPerS[2 * k + way] = 0;
          continue;
        }
        // Water that flows back takes the disc along.
        const mostMPerS = flow < 0 ? fallMPerS - flow : fallMPerS;
        const least = at - mostMPerS * stepS;
        const now = wanted > least ? wanted : least;
        if (now > 0) {
          liftM[2 * k + way] = now;
          downMPerS[2 * k + way] = (at - now) / stepS;
          continue;
        }
        liftM[2 * k + way] = 0;
        // As fast as it came down until then, or as the flow that stopped let it.
        const came = downMPerS[2 * k + way]! > at / stepS ? downMPerS[2 * k + way]! : at / stepS;
        if (came > met) met = came;
      }
      seatMPerS[k] = met;
    }
  }
}
