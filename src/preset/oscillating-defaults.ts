import type { CylinderGeometry, OscillatingGear } from "../gear/gear-description.js";
import { asin, sin } from "../quantities/portable-maths.js";
import type { GivenMachine } from "./machine-schema.js";
import { assumedQuantity, type Sheet } from "./sheet.js";

/** Proportions of oscillating cylinders where the owner does not say. */
const OSCILLATING_DEFAULTS = {
  /** Trunnion to crank centre over stroke. [common practice] */
  pivotStrokes: 2,
  /** Trunnion to port over stroke. [common practice] */
  portRadiusStrokes: 0.75,
  /** Port diameter over bore, at most. [common practice] */
  portDiameterBores: 0.2,
  /** Port diameter over the room between port and dead centre, so that a land is left. [common practice] */
  portDiameterRoom: 0.9,
} as const;

/** Oscillating: distance between a fixed port and the cylinder's port at dead centre. */
export function portRoomM(portRadiusM: number, pivotDistanceM: number, strokeM: number): number {
  return 2 * portRadiusM * sin(0.5 * asin(Math.min(1, strokeM / 2 / pivotDistanceM)));
}

/** Fills in the ports of oscillating cylinders. */
export function fillOscillating(
  sheet: Sheet,
  gear: Extract<NonNullable<GivenMachine["valveGear"]>, { kind: "oscillating" }>,
  cylinder: CylinderGeometry,
): OscillatingGear {
  const { strokeM, boreM } = cylinder;
  const pivotDistanceM = sheet.take("valveGear.pivotDistance", gear.pivotDistance, () =>
    assumedQuantity(
      OSCILLATING_DEFAULTS.pivotStrokes * strokeM,
      "length",
      `${OSCILLATING_DEFAULTS.pivotStrokes} times the stroke`,
      ["cylinders.stroke"],
    ),
  );
  const portRadiusM = sheet.take("valveGear.portRadius", gear.portRadius, () => {
    const usualM = OSCILLATING_DEFAULTS.portRadiusStrokes * strokeM;
    const perRadius = portRoomM(1, pivotDistanceM, strokeM);
    const neededM =
      gear.portDiameter === undefined ? 0 : gear.portDiameter / (OSCILLATING_DEFAULTS.portDiameterRoom * perRadius);
    return assumedQuantity(
      Math.max(usualM, neededM),
      "length",
      `${OSCILLATING_DEFAULTS.portRadiusStrokes} times the stroke, or more so that the ports shut at dead centre`,
      [
        "cylinders.stroke",
        "valveGear.pivotDistance",
        ...(gear.portDiameter === undefined ? [] : ["valveGear.portDiameter"]),
      ],
    );
  });
  const portDiameterM = sheet.take("valveGear.portDiameter", gear.portDiameter, () => {
    const roomM = OSCILLATING_DEFAULTS.portDiameterRoom * portRoomM(portRadiusM, pivotDistanceM, strokeM);
    return assumedQuantity(
      Math.min(OSCILLATING_DEFAULTS.portDiameterBores * boreM, roomM),
      "length",
      `${OSCILLATING_DEFAULTS.portDiameterBores} times the bore, or less so that the ports shut at dead centre`,
      ["cylinders.bore", "cylinders.stroke", "valveGear.portRadius", "valveGear.pivotDistance"],
    );
  });
  return { kind: "oscillating", portDiameterM, portRadiusM, pivotDistanceM };
}
