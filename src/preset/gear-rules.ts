import type {
  CylinderGeometry,
  EccentricGear,
  EventsGear,
  GearDescription,
  OscillatingGear,
  ValveGear,
} from "../gear/gear-description.js";
import { sin } from "../quantities/portable-maths.js";
import type { Sheet } from "./sheet.js";
import { eventsValve, fullGearCutoffRatio, latestReleaseRad, nominalCutoffRad, portAreaM2 } from "./valve-defaults.js";
import { portRoomM } from "./oscillating-defaults.js";

/**
 * Holds the iron against what can turn and open. What cannot is complained about; what is legal but odd is warned of.
 *
 * @param laterBlocks names of the blocks of later stages, in order
 */
export function applyGearRules(sheet: Sheet, gear: GearDescription, laterBlocks: readonly string[]): void {
  const at = { gearName: "valveGear", cylindersName: "cylinders", isLater: false };
  const { kind } = gear.valveGear;
  applyCylinderRules(sheet, at, gear.cylinder, kind !== "oscillating" && kind !== "tripped");
  applyValveRules(sheet, at, gear.cylinder, gear.valveGear);
  (gear.laterStages ?? []).forEach(({ cylinder, valveGear }, s) => {
    const block = laterBlocks[s]!;
    const place = { gearName: `${block}.valveGear`, cylindersName: `${block}.cylinders`, isLater: true };
    applyCylinderRules(sheet, place, cylinder, true);
    applyValveRules(sheet, place, cylinder, valveGear);
  });
}

/** Where a stage's figures stand in the file. */
interface StagePlace {
  readonly gearName: string;
  readonly cylindersName: string;
  /** Of a stage whose stroke and rod are those of the first cylinders. */
  readonly isLater: boolean;
}

function applyValveRules(sheet: Sheet, at: StagePlace, cylinder: CylinderGeometry, valveGear: ValveGear): void {
  if (valveGear.kind === "eccentric") applyEccentricRules(sheet, at, valveGear);
  else if (valveGear.kind === "events") applyEventsRules(sheet, at, valveGear);
  else if (valveGear.kind === "oscillating") applyOscillatingRules(sheet, valveGear, cylinder);
  const pistonM2 = (Math.PI / 4) * cylinder.boreM * cylinder.boreM;
  const portM2 = portAreaM2(valveGear);
  sheet.query([at.gearName, `${at.cylindersName}.bore`], portM2 > 0.5 * pistonM2, () => {
    return `A steam port has ${percent(portM2 / pistonM2)} of the piston's area. Usual are 4 to 17 %.`;
  });
}

function percent(ratio: number): string {
  return `${Number((100 * ratio).toPrecision(3))} %`;
}

function applyCylinderRules(
  sheet: Sheet,
  { cylindersName: at, isLater }: StagePlace,
  cylinder: CylinderGeometry,
  hasRod: boolean,
): void {
  const { boreM, strokeM, connectingRodM, pistonRodM, clearanceRatio } = cylinder;
  if (hasRod && !isLater) {
    const name = "cylinders.connectingRod";
    sheet.rule(name, ["cylinders.stroke"], connectingRodM > strokeM / 2, () => {
      const crank = sheet.limit(name, strokeM / 2, "length");
      return `must be longer than the crank, ${crank}, got ${sheet.got(name, connectingRodM, "length")}. Measure it centre to centre.`;
    });
    const cranks = connectingRodM / (strokeM / 2);
    sheet.query([name, "cylinders.stroke"], cranks > 1 && (cranks < 3 || cranks > 14), () => {
      return `The connecting rod is ${Number(cranks.toPrecision(3))} cranks long. Usual are 4 to 9.`;
    });
  }
  sheet.rule(`${at}.pistonRod`, [`${at}.bore`], pistonRodM < boreM, () => {
    const bore = sheet.got(`${at}.bore`, boreM, "length");
    const got = sheet.got(`${at}.pistonRod`, pistonRodM, "length");
    return `must be thinner than the bore, ${bore}, got ${got}. Give its diameter.`;
  });
  sheet.query([`${at}.pistonRod`, `${at}.bore`], pistonRodM > 0.5 * boreM && pistonRodM < boreM, () => {
    return `The piston rod is ${percent(pistonRodM / boreM)} of the bore. Usual are 12 to 25 %.`;
  });
  sheet.query([`${at}.clearance`], clearanceRatio > 0.25, () => {
    return `The clearance is ${percent(clearanceRatio)} of the swept volume. Over 25 % is rare.`;
  });
  const proportion = strokeM / boreM;
  sheet.query([`${at}.bore`, "cylinders.stroke"], proportion < 0.3 || proportion > 6, () => {
    return `The stroke is ${Number(proportion.toPrecision(3))} times the bore. Is one of them in the wrong unit?`;
  });
}

function applyEccentricRules(sheet: Sheet, { gearName: at, isLater }: StagePlace, gear: EccentricGear): void {
  const { travelM, steamLapM, exhaustLapM, leadM, portWidthM } = gear;
  const halfM = travelM / 2;
  const lapName = `${at}.steamLap`;
  sheet.rule(lapName, [`${at}.travel`], steamLapM < halfM, () => {
    const limit = sheet.limit(lapName, halfM, "length");
    const got = sheet.got(lapName, steamLapM, "length");
    return `must be less than half the travel, ${limit}, or the steam port never opens, got ${got}. Lessen it or lengthen the travel.`;
  });
  const both = [`${at}.travel`, lapName];
  sheet.rule(`${at}.lead`, both, steamLapM >= halfM || steamLapM + leadM < halfM, () => {
    const limit = sheet.limit(`${at}.lead`, halfM - steamLapM, "length");
    const got = sheet.got(`${at}.lead`, leadM, "length");
    return `must be less than half the travel beyond the lap, ${limit}, got ${got}. Lessen it or lengthen the travel.`;
  });
  const exhaustName = `${at}.exhaustLap`;
  sheet.rule(exhaustName, [`${at}.travel`], Math.abs(exhaustLapM) < halfM, () => {
    const limit = sheet.limit(exhaustName, halfM, "length");
    const got = sheet.got(exhaustName, exhaustLapM, "length");
    return `must be less than half the travel, ${limit}, either way, or the exhaust never ${exhaustLapM > 0 ? "opens" : "shuts"}, got ${got}. Lessen it.`;
  });
  const openingM = halfM - steamLapM;
  const works = openingM > leadM;
  sheet.query([...both, `${at}.portWidth`], works && openingM < 0.2 * portWidthM, () => {
    return `In full gear the valve opens the steam port to only ${percent(openingM / portWidthM)} of its width.`;
  });
  if (works) {
    const cutoff = fullGearCutoffRatio(halfM, steamLapM, leadM);
    sheet.query([...both, `${at}.lead`], cutoff < 0.5 && !isLater, () => {
      return `Full gear cuts off at ${percent(cutoff)} of the stroke. Usual are 65 to 90 %.`;
    });
  }
}

function applyEventsRules(sheet: Sheet, { gearName: at }: StagePlace, gear: EventsGear): void {
  const { fullGearCutoffRatio: cutoff, leadM, releaseRad, portWidthM, portLengthM } = gear;
  const leadName = `${at}.lead`;
  const cutoffRad = nominalCutoffRad(cutoff);
  const mostLeadM = cutoffRad > Math.PI / 2 ? portWidthM * sin(cutoffRad) : portWidthM;
  sheet.rule(leadName, [`${at}.portWidth`, `${at}.fullGearCutoff`], leadM < mostLeadM * (1 - 1e-9), () => {
    const limit = sheet.limit(leadName, mostLeadM, "length");
    const got = sheet.got(leadName, leadM, "length");
    return `must be less than ${limit} with that port width and cut-off, got ${got}. It is the opening at dead centre: lessen it.`;
  });
  const name = `${at}.release`;
  sheet.rule(name, [`${at}.fullGearCutoff`], releaseRad > cutoffRad, () => {
    const limit = sheet.limit(name, cutoffRad, "angle");
    return `must be later than cut-off, which is at ${limit}, got ${sheet.got(name, releaseRad, "angle")}. Make it later.`;
  });
  const valve = eventsValve(portLengthM, portWidthM, leadM, cutoff);
  if (valve === null) return;
  const latest = latestReleaseRad(valve);
  const needs = [leadName, `${at}.portWidth`, `${at}.fullGearCutoff`];
  sheet.rule(name, needs, releaseRad < latest, () => {
    const limit = sheet.limit(name, latest, "angle");
    const got = sheet.got(name, releaseRad, "angle");
    return `must be before the valve turns back, ${limit}, got ${got}. Make it earlier.`;
  });
}

function applyOscillatingRules(sheet: Sheet, gear: OscillatingGear, cylinder: CylinderGeometry): void {
  const { portDiameterM, portRadiusM, pivotDistanceM } = gear;
  const crankM = cylinder.strokeM / 2;
  const pivotName = "valveGear.pivotDistance";
  sheet.rule(pivotName, ["cylinders.stroke"], pivotDistanceM > crankM, () => {
    const limit = sheet.limit(pivotName, crankM, "length");
    const got = sheet.got(pivotName, pivotDistanceM, "length");
    return `must be longer than the crank, ${limit}, got ${got}. It runs from the trunnion to the crank centre.`;
  });
  const radiusName = "valveGear.portRadius";
  sheet.rule(radiusName, ["valveGear.portDiameter"], portRadiusM > portDiameterM / 2, () => {
    const limit = sheet.limit(radiusName, portDiameterM / 2, "length");
    const got = sheet.got(radiusName, portRadiusM, "length");
    return `must be more than half the port's diameter, ${limit}, got ${got}. It runs from the trunnion to the port.`;
  });
  const needs = [radiusName, pivotName, "valveGear.portDiameter", "cylinders.stroke"];
  const roomM = portRoomM(portRadiusM, pivotDistanceM, cylinder.strokeM);
  sheet.query(needs, roomM < portDiameterM * (1 - 1e-9), () => {
    const room = sheet.limit("valveGear.portDiameter", roomM, "length");
    const got = sheet.got("valveGear.portDiameter", portDiameterM, "length");
    return `At dead centre both ports stand open: valveGear.portDiameter is ${got}, and they shut at ${room} or less.`;
  });
}
