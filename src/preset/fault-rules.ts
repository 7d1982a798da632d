import { type Fault, type GearDescription, isCrankless, isSettable } from "../gear/gear-description.js";
import type { GivenMachine } from "./machine-schema.js";
import { stageOf } from "../gear/stages.js";
import type { Sheet } from "./sheet.js";
import { eventsValve } from "./valve-defaults.js";

// Beyond these a fault is legal but odd: a key that has worked, cranks that were pressed on askew, a rod set by eye.
// [common practice]
const ODD_FAULT_RAD = { eccentricSlip: (15 * Math.PI) / 180, quartering: (5 * Math.PI) / 180 } as const;
const ODD_SHIFT_RATIO = 0.5;

type GivenFault = NonNullable<NonNullable<GivenMachine["faults"]>[number]>;

/** What is out of true, each with every value it needs. Faults that do not fit the machine are complained about. */
export function readFaults(sheet: Sheet, given: GivenMachine, gear: Omit<GearDescription, "faults">): Fault[] {
  const faults: Fault[] = [];
  (given.faults ?? []).forEach((fault, index) => {
    if (fault === undefined) return;
    const name = `faults[${index}]`;
    const read = readFault(sheet, name, fault, gear);
    if (read !== null) faults.push(read);
  });
  return faults;
}

function readFault(sheet: Sheet, name: string, fault: GivenFault, gear: Omit<GearDescription, "faults">): Fault | null {
  const count = gear.crankAnglesRad.length;
  const need = <T>(key: string, value: T | undefined, example: string): value is T => {
    if (value !== undefined) return true;
    if (sheet.isSound(`${name}.${key}`))
      sheet.complain(`${name}.${key}`, `is missing. For example ${key}: ${example}.`);
    return false;
  };
  const { cylinder, kind } = fault;
  const hasCylinder = need("cylinder", cylinder, "1");
  if (hasCylinder) {
    sheet.rule(`${name}.cylinder`, ["cylinders.count", "cylinders.crankAngles"], cylinder <= count, () => {
      return `must be at most the number of cylinders, ${count}, got ${cylinder}. Count them from 1.`;
    });
  }
  const isOscillating = gear.valveGear.kind === "oscillating";
  sheet.rule(
    `${name}.kind`,
    ["valveGear"],
    !isOscillating || (kind !== "valveRodLength" && kind !== "eccentricSlip"),
    () => {
      return `must be one that an oscillating cylinder can have, got ${kind}. It has no valve rod and no eccentric.`;
    },
  );
  const isTripped = isCrankless(gear);
  sheet.rule(`${name}.kind`, ["valveGear"], !isTripped || kind === "ringLeak" || kind === "portChoke", () => {
    return `must be ringLeak or portChoke for a pump without a crank, got ${kind}. Its valves follow no rod of their own.`;
  });
  switch (kind) {
    case "valveRodLength": {
      if (!need("by", fault.by, "1 mm") || !hasCylinder) return null;
      applyShiftRule(sheet, `${name}.by`, fault.by, gear, cylinder);
      return { kind, cylinder, byM: fault.by };
    }
    case "eccentricSlip":
    case "quartering": {
      const by = fault.by ?? 0;
      sheet.query([`${name}.by`], Math.abs(by) > ODD_FAULT_RAD[kind], () => {
        const most = Math.round((ODD_FAULT_RAD[kind] * 180) / Math.PI);
        return `${name}.by of ${sheet.got(`${name}.by`, by, "angle")} is far out for ${kind}. Usual are up to ${most} deg.`;
      });
      return need("by", fault.by, "2 deg") && hasCylinder ? { kind, cylinder, byRad: fault.by } : null;
    }
    case "ringLeak":
      return need("area", fault.area, "5 mm2") && hasCylinder ? { kind, cylinder, areaM2: fault.area } : null;
    case "portChoke": {
      const hasEnd = need("end", fault.end, "head");
      const hasTo = need("to", fault.to, "60 %");
      sheet.rule(
        `${name}.end`,
        ["cylinders.acting"],
        gear.cylinder.acting === "double" || fault.end !== "crank",
        () => {
          return "must be head in a single-acting cylinder, got crank. Name the head end.";
        },
      );
      return hasEnd && hasTo && hasCylinder ? { kind, cylinder, end: fault.end!, toRatio: fault.to! } : null;
    }
  }
}

function applyShiftRule(
  sheet: Sheet,
  name: string,
  byM: number,
  gear: Omit<GearDescription, "faults">,
  cylinder: number,
): void {
  const { valveGear } = stageOf(gear, cylinder - 1);
  if (!isSettable(valveGear)) return;
  const valve =
    valveGear.kind === "eccentric"
      ? { halfTravelM: valveGear.travelM / 2, steamLapM: valveGear.steamLapM }
      : eventsValve(valveGear.portLengthM, valveGear.portWidthM, valveGear.leadM, valveGear.fullGearCutoffRatio);
  if (valve === null) return;
  const mostM = valve.halfTravelM - valve.steamLapM;
  sheet.rule(name, ["valveGear"], mostM <= 0 || Math.abs(byM) < mostM, () => {
    const limit = sheet.limit(name, mostM, "length");
    return `must be less than ${limit}, either way, or one steam port never opens, got ${sheet.got(name, byM, "length")}. Lessen it.`;
  });
  const share = Math.abs(byM) / mostM;
  sheet.query([name, "valveGear"], mostM > 0 && share > ODD_SHIFT_RATIO && share < 1, () => {
    const got = sheet.got(name, byM, "length");
    return `${name} of ${got} takes ${Math.round(100 * share)} % of the port's opening from one end. Usual are up to ${100 * ODD_SHIFT_RATIO} %.`;
  });
}
