import type { CylinderFaults } from "./faults-of-gear.js";
import type { TrippedGear } from "./gear-description.js";

/**
 * Valves of a pump without a crank: the pistons trip them, in a duplex each the other's, in a single pump each its own by way
 * of a pilot valve that throws the main valve over. State goes with the pistons: `process` must be called in order of time.
 *
 * A duplex valve follows the other piston's rod with lost motion: the rod's nuts stand apart, so the valve waits until they
 * touch it. The second valve moves as the first piston does, the first against the second piston, and so the strokes follow
 * each other without end. [common practice: duplex pumps]
 */
export class TrippedValves {
  /** Per cylinder: -1 open to the crank end, 1 open to the head end, 0 in the middle. */
  readonly valve: Float64Array;
  readonly portAreaMaxM2: Float64Array;

  /** Speed of a single pump's main valve on its way from side to side. */
  readonly thrownMPerS: number;

  /** Main valve of a single pump: the way it is going. */
  private readonly thrown: Float64Array;

  /** @param faults of each cylinder: one or two */
  constructor(
    private readonly gear: TrippedGear,
    faults: readonly CylinderFaults[],
    private readonly endsPerCylinder: 1 | 2,
  ) {
    this.valve = new Float64Array(faults.length);
    this.thrown = new Float64Array(faults.length);
    // It uncovers a port on either side.
    this.thrownMPerS = (2 * gear.portWidthM) / gear.throwOverS;
    const areaM2 = gear.portLengthM * gear.portWidthM;
    this.portAreaMaxM2 = new Float64Array(faults.length * endsPerCylinder);
    faults.forEach((fault, k) => {
      this.portAreaMaxM2[k * endsPerCylinder] = areaM2 * fault.headPortRatio;
      if (endsPerCylinder === 2) this.portAreaMaxM2[2 * k + 1] = areaM2 * fault.crankPortRatio;
    });
    this.reset();
  }

  /**
   * State only: as pistons leave them that stand at the first one's head end and the second one's crank end. A single valve
   * is open to the head end; of two both are open to the crank end, so that the second piston goes first.
   */
  reset(): void {
    this.valve.fill(this.valve.length > 1 ? -1 : 1);
    this.thrown.fill(1);
  }

  /**
   * Moves the valves after the pistons.
   *
   * @param position share of the stroke from the head end, per cylinder
   */
  process(position: Float64Array, stepS: number): void {
    const { valve, thrown, gear } = this;
    const cylinderCount = valve.length;
    const play = gear.lostMotionRatio;
    if (cylinderCount === 1) {
      const along = 2 * position[0]! - 1;
      if (along > play) thrown[0] = -1;
      else if (along < -play) thrown[0] = 1;
      const most = (2 * stepS) / gear.throwOverS;
      const wanted = thrown[0]! - valve[0]!;
      valve[0] = valve[0]! + (wanted > most ? most : wanted < -most ? -most : wanted);
      return;
    }
    // The nuts stand `play` half strokes from the middle; what is left of the travel is spread over the whole valve.
    const perTravel = 1 / (1 - play);
    for (let k = 0; k < cylinderCount; k++) {
      const other = k === 0 ? 1 : 0;
      const along = (k === 0 ? -1 : 1) * (2 * position[other]! - 1);
      const least = (along - play) * perTravel;
      const most = (along + play) * perTravel;
      const at = valve[k]!;
      const moved = at < least ? least : at > most ? most : at;
      valve[k] = moved > 1 ? 1 : moved < -1 ? -1 : moved;
    }
  }

  /** Writes the open areas of every end. */
  fillAreas(position: Float64Array, steamM2: Float64Array, exhaustM2: Float64Array): void {
    const { valve, gear, endsPerCylinder, portAreaMaxM2 } = this;
    const { steamLapRatio, cushionRatio, cushionLeakRatio } = gear;
    for (let k = 0; k < valve.length; k++) {
      const at = valve[k]!;
      for (let e = 0; e < endsPerCylinder; e++) {
        const towards = e === 0 ? at : -at;
        const end = k * endsPerCylinder + e;
        const perOpening = portAreaMaxM2[end]! / (1 - steamLapRatio);
        const open = towards - steamLapRatio;
        steamM2[end] = open > 0 ? perOpening * open : 0;
        // Near its own cover the piston has closed the exhaust port, over the first quarter of the way: what is left
        // cushions it.
        const left = e === 0 ? position[k]! : 1 - position[k]!;
        const beyond = 4 * (left / cushionRatio) - 3;
        const share =
          beyond > 0 ? (beyond < 1 ? cushionLeakRatio + (1 - cushionLeakRatio) * beyond : 1) : cushionLeakRatio;
        const free = -towards - steamLapRatio;
        exhaustM2[end] = free > 0 ? perOpening * free * share : 0;
      }
    }
  }
}
