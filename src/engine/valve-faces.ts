import type { PortEnd } from "../flow/port-end.js";
import type { Vessel } from "../flow/vessel.js";
import { isSettable } from "../gear/gear-description.js";
import type { EngineParts } from "./engine-parts.js";

// The cavity in a slide valve's face over that and the steam ports: the exhaust port is about twice as wide as each of them.
// [common practice: exhaust port 1.8 to 2.5 times the width of a steam port]
const cavityShare = 0.5;

/**
 * The slide valves of a machine between what stands on their backs and what pushes from below: the chest, or for a later stage
 * the receiver before it; under them the exhaust in the cavity, and the cylinder ends in the ports.
 */
export class ValveFaces {
  /** Per cylinder, as last measured: push from below less that from above, Pa; below 0 it is held down. */
  readonly pushPa: Float64Array;
  /** Per cylinder: chest or receiver on the valve's back. */
  readonly above: readonly Vessel[];
  /** Per cylinder: whether it is a slide valve. A piston valve, with inside admission, has no face to lift from. */
  readonly isSlide: readonly boolean[];

  /** Per cylinder: what its cavity opens to, the receiver of its stage or else the port end of its pipe. */
  private readonly into: readonly (Vessel | null)[];
  private readonly portEnd: readonly PortEnd[];

  constructor({ motion, chest, receivers, network }: Pick<EngineParts, "motion" | "chest" | "receivers" | "network">) {
    const { portEnds } = network;
    const valves = motion.stages.flatMap(({ valveGear, cylinderCount }, s) =>
      Array.from({ length: cylinderCount }, (_, k) => ({
        above: receivers[s - 1] ?? chest,
        into: receivers[s] ?? null,
        portEnd: portEnds[portEnds.length > 1 && s === receivers.length ? k : 0]!,
        isSlide: !isSettable(valveGear) || valveGear.admission === "outside",
      })),
    );
    this.above = valves.map(({ above }) => above);
    this.into = valves.map(({ into }) => into);
    this.portEnd = valves.map(({ portEnd }) => portEnd);
    this.isSlide = valves.map(({ isSlide }) => isSlide);
    this.pushPa = new Float64Array(valves.length);
  }

  /** Fills `pushPa`. @param endsPa pressure in every cylinder end */
  measure(endsPa: Float64Array): void {
    const { pushPa, above, into, portEnd } = this;
    const perCylinder = endsPa.length / pushPa.length;
    for (let k = 0; k < pushPa.length; k++) {
      const head = perCylinder * k;
      const portsPa = 0.5 * (endsPa[head]! + endsPa[head + perCylinder - 1]!);
      const receiver = into[k]!;
      const cavityPa = receiver === null ? portEnd[k]!.facePressurePa : receiver.pressurePa;
      pushPa[k] = cavityShare * cavityPa + (1 - cavityShare) * portsPa - above[k]!.pressurePa;
    }
  }
}
