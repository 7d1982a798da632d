import type { Fault } from "../gear/gear-description.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import { formatQuantity } from "../quantities/units.js";

/** A fault as JSON tells it, under the names of the machine file; angles in degrees. */
export type ReportedFault =
  | { readonly kind: "valveRodLength"; readonly cylinder: number; readonly byM: number }
  | { readonly kind: "eccentricSlip" | "quartering"; readonly cylinder: number; readonly byDeg: number }
  | { readonly kind: "ringLeak"; readonly cylinder: number; readonly areaM2: number }
  | {
      readonly kind: "portChoke";
      readonly cylinder: number;
      readonly end: "head" | "crank";
      readonly toRatio: number;
    };

/** The faults of a gear for a report, in the order of the file. */
export function reportedFaults(faults: readonly Fault[]): ReportedFault[] {
  return faults.map((fault): ReportedFault => {
    if (fault.kind !== "eccentricSlip" && fault.kind !== "quartering") return { ...fault };
    // Twelve digits: 2 deg is told as 2.
    const byDeg = Number(((fault.byRad * 180) / Math.PI).toPrecision(12));
    return { kind: fault.kind, cylinder: fault.cylinder, byDeg };
  });
}

/** A fault in words: `cylinder 1, eccentricSlip: both ends 2 deg late in forward gear`. */
export function faultWords(fault: ReportedFault): string {
  return `cylinder ${fault.cylinder}, ${fault.kind}: ${effectOf(fault)}`;
}

function effectOf(fault: ReportedFault): string {
  switch (fault.kind) {
    case "valveRodLength": {
      const verb = fault.byM < 0 ? "covers" : "uncovers";
      return `the valve stands ${length(fault.byM)} off its middle, the way that ${verb} the head-end steam port`;
    }
    case "eccentricSlip":
      return `both ends ${degrees(fault.byDeg)} ${fault.byDeg < 0 ? "early" : "late"} in forward gear`;
    case "quartering":
      return `its crank leads by ${degrees(fault.byDeg)} ${fault.byDeg < 0 ? "less" : "more"}`;
    case "ringLeak":
      return `${readableQuantity(fault.areaM2, "area")} more past the piston`;
    case "portChoke":
      return `${readableQuantity(fault.toRatio, "ratio")} left of the ${fault.end}-end port`;
  }
}

function length(sizeM: number): string {
  return `${readableQuantity(Math.abs(sizeM), "length")} (${formatQuantity(Math.abs(sizeM), "length", "in", { digits: 4 })})`;
}

function degrees(angleDeg: number): string {
  return `${Number(Math.abs(angleDeg).toPrecision(4))} deg`;
}
