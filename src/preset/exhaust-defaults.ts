import type { ExhaustDescription, PipeDescription } from "../engine/engine-description.js";
import type { CylinderGeometry } from "../gear/gear-description.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { assumedQuantity, type Sheet } from "./sheet.js";

/** Proportions of exhaust pipes where the owner does not say. */
export const EXHAUST_DEFAULTS = {
  /** Passage area over the area of one port, so that the passage chokes less than the port. [common practice] */
  passagePorts: 1.25,
  /** Passage length over bore; 1.4 m on a locomotive of 17 in. [common practice] */
  locomotivePassageBores: 3.3,
  /** Passage length over bore of other engines. [common practice] */
  passageBores: 2,
  /** Area of the shared pipe over that of one passage. [common practice] */
  sharedPipePassages: 1.2,
  /** Length of a blast pipe over bore of the cylinder; 1.1 m on 17 in. [common practice] */
  blastPipeBores: 2.5,
  /** Length of a plain exhaust pipe over bore of the cylinder. [common practice] */
  plainPipeBores: 12,
  /** Longest plain exhaust pipe that is assumed. [common practice] */
  longestPlainPipeM: 8,
  /** Piston area over area of the blast nozzle; 4 3/4 in on 17 in. [common practice] */
  pistonPerNozzleArea: 13,
  /** Largest nozzle bore over the pipe's that is assumed. [common practice] */
  mostNozzlePipes: 0.75,
  /** Contraction over nozzle bore; 150 mm on 118 mm. [common practice] */
  contractionBores: 1.25,
  /** Largest share of the pipe over which it is assumed to narrow. [common practice] */
  mostContractionPipes: 0.5,
  /** Smokebox over swept volume of all cylinders; 3 m3 on two of 17x24 in. [common practice] */
  smokeboxSweptVolumes: 16,
  /** Gas in a working smokebox, 300 degC. [common practice] */
  smokeboxTemperatureK: 573.15,
  /** Chimney bore over nozzle bore; 400 mm on 118 mm. [common practice] */
  chimneyNozzles: 3.4,
  /** Chimney length over its own bore. [common practice] */
  chimneyBores: 3,
  /** Back pressure of a condensing engine, 3 lb/in2. [source: Steam Engines, Machinery's Reference Series No. 70, 1911, back pressure of condensing engines] */
  condenserPressurePa: 20_684,
} as const;

const CIRCLE = Math.PI / 4;

/** Which parts stand where the owner says nothing of the exhaust. */
function usualParts(kind: MachineKind): NonNullable<GivenMachine["exhaust"]> {
  return kind === "locomotive"
    ? { passage: {}, blastPipe: {}, nozzle: {}, smokebox: {}, chimney: {} }
    : { passage: {}, blastPipe: {} };
}

interface Pipes {
  readonly sheet: Sheet;
  readonly kind: MachineKind;
  readonly cylinder: CylinderGeometry;
}

function fillPassage({ sheet, kind, cylinder }: Pipes, part: PartialPipe, portM2: number): PipeDescription {
  const bores = kind === "locomotive" ? EXHAUST_DEFAULTS.locomotivePassageBores : EXHAUST_DEFAULTS.passageBores;
  const lengthM = sheet.take("exhaust.passage.length", part.length, () =>
    assumedQuantity(bores * cylinder.boreM, "length", `${bores} times the cylinder's bore`, ["cylinders.bore", "kind"]),
  );
  const boreM = sheet.take("exhaust.passage.bore", part.bore, () =>
    assumedQuantity(
      Math.sqrt((EXHAUST_DEFAULTS.passagePorts * portM2) / CIRCLE),
      "length",
      `${EXHAUST_DEFAULTS.passagePorts} times the area of a port`,
      ["valveGear", "cylinders.bore"],
    ),
  );
  return { lengthM, boreM };
}

type PartialPipe = { readonly length?: number | undefined; readonly bore?: number | undefined };

function fillBlastPipe({ sheet, kind, cylinder }: Pipes, part: PartialPipe, passageBoreM: number): PipeDescription {
  const lengthM = sheet.take("exhaust.blastPipe.length", part.length, () => {
    if (kind === "locomotive") {
      const bores = EXHAUST_DEFAULTS.blastPipeBores;
      return assumedQuantity(bores * cylinder.boreM, "length", `${bores} times the cylinder's bore`, [
        "cylinders.bore",
      ]);
    }
    const { plainPipeBores, longestPlainPipeM } = EXHAUST_DEFAULTS;
    return assumedQuantity(
      Math.min(longestPlainPipeM, plainPipeBores * cylinder.boreM),
      "length",
      `${plainPipeBores} times the cylinder's bore, at most ${longestPlainPipeM} m`,
      ["cylinders.bore", "kind"],
    );
  });
  const boreM = sheet.take("exhaust.blastPipe.bore", part.bore, () =>
    assumedQuantity(
      passageBoreM * Math.sqrt(EXHAUST_DEFAULTS.sharedPipePassages),
      "length",
      `${EXHAUST_DEFAULTS.sharedPipePassages} times the area of a passage`,
      ["exhaust.passage.bore"],
    ),
  );
  return { lengthM, boreM };
}

/** Nozzle bore by rule, for what is assumed of a nozzle or chimney. */
function nozzleBoreM(cylinder: CylinderGeometry): number {
  return cylinder.boreM / Math.sqrt(EXHAUST_DEFAULTS.pistonPerNozzleArea);
}

/** Fills in `exhaust`: the usual parts of the kind if there is no such block, otherwise the parts named. */
export function fillExhaust(
  sheet: Sheet,
  given: GivenMachine,
  kind: MachineKind,
  cylinder: CylinderGeometry,
  cylinderCount: number,
  portM2: number,
  condenserPa: number | undefined,
): ExhaustDescription {
  const parts = given.exhaust ?? usualParts(kind);
  const pipes: Pipes = { sheet, kind, cylinder };
  const usualPassageBoreM = Math.sqrt((EXHAUST_DEFAULTS.passagePorts * portM2) / CIRCLE);

  const passage = parts.passage === undefined ? null : fillPassage(pipes, parts.passage, portM2);
  const blastPipe =
    parts.blastPipe === undefined ? null : fillBlastPipe(pipes, parts.blastPipe, passage?.boreM ?? usualPassageBoreM);

  let nozzle: ExhaustDescription["nozzle"] = null;
  if (parts.nozzle !== undefined) {
    const pipe = blastPipe ?? passage;
    const pipeName = blastPipe ? "exhaust.blastPipe" : "exhaust.passage";
    const mostM = pipe === null ? Infinity : EXHAUST_DEFAULTS.mostNozzlePipes * pipe.boreM;
    const boreM = sheet.take("exhaust.nozzle.bore", parts.nozzle.bore, () => {
      const { pistonPerNozzleArea, mostNozzlePipes } = EXHAUST_DEFAULTS;
      const rule = `area 1/${pistonPerNozzleArea} of a piston, bore at most ${mostNozzlePipes} of the pipe's`;
      return assumedQuantity(Math.min(nozzleBoreM(cylinder), mostM), "length", rule, [
        "cylinders.bore",
        `${pipeName}.bore`,
      ]);
    });
    const contractionM = sheet.take("exhaust.nozzle.contraction", parts.nozzle.contraction, () => {
      const { contractionBores, mostContractionPipes } = EXHAUST_DEFAULTS;
      const most = pipe === null ? Infinity : mostContractionPipes * pipe.lengthM;
      const rule = `${contractionBores} times the nozzle's bore, at most half of the pipe`;
      const from = ["exhaust.nozzle.bore", `${pipeName}.length`];
      return assumedQuantity(Math.min(contractionBores * boreM, most), "length", rule, from);
    });
    nozzle = { boreM, contractionM };
  }

  let smokebox: ExhaustDescription["smokebox"] = null;
  if (parts.smokebox !== undefined) {
    const volumeM3 = sheet.take("exhaust.smokebox.volume", parts.smokebox.volume, () => {
      const sweptM3 = cylinderCount * CIRCLE * cylinder.boreM * cylinder.boreM * cylinder.strokeM;
      const times = EXHAUST_DEFAULTS.smokeboxSweptVolumes;
      const from = ["cylinders.bore", "cylinders.stroke", "cylinders.count"];
      return assumedQuantity(times * sweptM3, "volume", `${times} times the swept volume of all cylinders`, from);
    });
    const temperatureK = sheet.take("exhaust.smokebox.temperature", parts.smokebox.temperature, () =>
      assumedQuantity(EXHAUST_DEFAULTS.smokeboxTemperatureK, "temperature", "usual with a good fire"),
    );
    smokebox = { volumeM3, temperatureK };
  }

  let chimney: ExhaustDescription["chimney"] = null;
  if (parts.chimney !== undefined) {
    const boreM = sheet.take("exhaust.chimney.bore", parts.chimney.bore, () => {
      const times = EXHAUST_DEFAULTS.chimneyNozzles;
      const from = ["exhaust.nozzle.bore", "cylinders.bore"];
      return assumedQuantity(
        times * (nozzle?.boreM ?? nozzleBoreM(cylinder)),
        "length",
        `${times} times the nozzle's`,
        from,
      );
    });
    const lengthM = sheet.take("exhaust.chimney.length", parts.chimney.length, () => {
      const times = EXHAUST_DEFAULTS.chimneyBores;
      return assumedQuantity(times * boreM, "length", `${times} times its bore`, ["exhaust.chimney.bore"]);
    });
    chimney = { lengthM, boreM };
  }

  let condenser: ExhaustDescription["condenser"] = null;
  if (parts.condenser !== undefined) {
    const pressurePa = sheet.take("exhaust.condenser.pressure", condenserPa, () =>
      assumedQuantity(EXHAUST_DEFAULTS.condenserPressurePa, "pressure", "usual back pressure of a condensing engine"),
    );
    condenser = { pressurePa };
  }
  return { passage, blastPipe, nozzle, smokebox, chimney, condenser };
}
