import type { Command } from "commander";
import { type GearDescription, isCrankless, isSettable } from "../gear/gear-description.js";
import { checkMachine, type CheckReport } from "../offline/check.js";
import type { EngineDescription } from "../engine/engine-description.js";
import { faultWords } from "../offline/reported-faults.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import { FOOT_M, POUND_FORCE_N, POUND_KG } from "../quantities/unit-definition.js";
import { formatQuantity } from "../quantities/units.js";
import type { Answerer, CommandAnswer } from "./command-answer.js";
import { flowWords } from "./flow-words.js";
import { fileFault, withRefusals } from "./input-fault.js";
import { readMachineInput, type MachineInput } from "./machine-input.js";
import { columns, shown, shownLines } from "./terminal-text.js";

// As many as fit a line. [common practice]
const resonancesShown = 12;
// [source: NIST SP 811, 2008, appendix B: 550 ft lbf/s]
const WATTS_PER_HP = 550 * FOOT_M * POUND_FORCE_N;

/** `fourbeat check MACHINE`: what was assumed, what looks odd, and what the numbers come to. */
export function addCheckCommand(program: Command, answer: Answerer): void {
  program
    .command("check")
    .summary("what was assumed, what looks odd, and what the numbers come to")
    .description("Runs a machine at its own speed and prints what was assumed, what looks odd, and what it comes to.")
    .argument("<file>", "machine file")
    .option("--json", "print one JSON object instead of words")
    .addHelpText("after", "\nExample:\n  fourbeat check presets/harrow-tank.yaml")
    .action((file: string, words: { json?: boolean }) =>
      answer(checkAnswer(readMachineInput(file)), words.json === true),
    );
}

function checkAnswer({ machine, path }: MachineInput): CommandAnswer {
  const report = withRefusals(
    (message) => fileFault(path, message),
    () => checkMachine(machine),
  );
  const ends = endNames(machine.description.gear);
  const pressures = report.meanEffectivePressurePa.map((pa, i) => `${ends[i] ?? ""} ${(pa / 1e5).toFixed(2)} bar`);
  const resonances = report.resonancesHz
    .slice(0, resonancesShown)
    .map((hz) => hz.toFixed(0))
    .join(", ");
  const more = report.resonancesHz.length - resonancesShown;
  const figures: [string, string][] = [
    ["judged at", judgedAt(machine.description)],
    [`${machine.description.workingFluid} used`, flowWords(report.steamKgPerS)],
    ["supplied", supplyWords(machine.description)],
    ...(report.fullGearCutoffRatio === null
      ? []
      : [["full gear", `cuts off at ${(100 * report.fullGearCutoffRatio).toFixed(1)} %`] satisfies [string, string]]),
    ["power", readableQuantity(report.powerW, "power")],
    ...waterRows(report),
    ...(report.steamKgPerKWh === null
      ? []
      : [["consumption", consumptionWords(report.steamKgPerKWh)] satisfies [string, string]]),
    ["mean effective", pressures.join(", ")],
    ...receivers(report.receiverPressurePa ?? [], machine.description),
    ["piston speed", `${report.pistonSpeedMPerS.toFixed(2)} m/s`],
    ["resonances", resonances === "" ? "none" : `${resonances}${more > 0 ? ` and ${more} more` : ""} Hz`],
    ["balances", `mass ${closure(report.massResidualRatio)}, energy ${closure(report.energyResidualRatio)}`],
    ...report.faults.map((fault, i): [string, string] => [i === 0 ? "out of true" : "", faultWords(fault)]),
  ];
  const lines = [
    `${shown(machine.name)} (${machine.kind})`,
    ...figures.map(([name, value]) => `  ${name.padEnd(15)}${value}`),
  ];
  if (report.faults.length > 0) lines.push(`${" ".repeat(17)}'fourbeat events' shows what this does to the beats.`);
  if (report.warnings.length > 0) lines.push("", "Odd:", ...report.warnings.map((warning) => `  ${shown(warning)}`));
  if (report.assumed.length > 0) {
    const guessed = report.assumed.filter(({ name }) => !UNREMARKABLE.includes(name));
    const rows = guessed.map(({ name, value, rule }) => [shown(name), shown(value), shown(rule)]);
    lines.push("");
    if (rows.length > 0) {
      lines.push("Assumed, because the file does not say:", columns(["name", "value", "rule"], rows));
    }
    const usual = report.assumed.filter(({ name }) => UNREMARKABLE.includes(name));
    if (usual.length > 0)
      lines.push(`As usual: ${usual.map(({ name, value }) => `${name} ${shown(value)}`).join(", ")}.`);
  }
  lines.push("", shownLines(report.caution));
  return { json: { ...report }, text: lines.join("\n"), notes: [] };
}

/** What a pump without a crank gives. */
function waterRows({ doubleStrokesPerMin, waterM3PerS, waterPowerW, powerW }: CheckReport): [string, string][] {
  if (doubleStrokesPerMin === null || waterM3PerS === null || waterPowerW === null) return [];
  if (doubleStrokesPerMin === 0) return [["strokes", "none: the water holds it"]];
  const share = powerW > 0 ? `, ${((100 * waterPowerW) / powerW).toFixed(0)} % of the steam's` : "";
  return [
    ["strokes", `${doubleStrokesPerMin.toFixed(1)} double strokes a minute`],
    ["delivery", `${(60_000 * waterM3PerS).toFixed(1)} L/min, ${readableQuantity(waterPowerW, "power")}${share}`],
  ];
}

/** `29.6 lb for each indicated horsepower-hour (18.0 kg/kWh)` */
function consumptionWords(kgPerKWh: number): string {
  const poundsPerHpHour = ((kgPerKWh / 1000) * WATTS_PER_HP) / POUND_KG;
  return `${poundsPerHpHour.toFixed(1)} lb for each indicated horsepower-hour (${kgPerKWh.toFixed(1)} kg/kWh)`;
}

/** Order everywhere: cylinder 1 head, cylinder 1 crank, cylinder 2 head ... */
function endNames({ cylinder, crankAnglesRad }: GearDescription): string[] {
  const ends = cylinder.acting === "double" ? ["head", "crank"] : ["head"];
  return crankAnglesRad.flatMap((_, i) => ends.map((end) => `${i + 1} ${end}`));
}

/** At what the figures are taken. */
function judgedAt({ gear, speedRpm }: EngineDescription): string {
  const open = "regulator full open";
  if (isCrankless(gear)) return `the strokes that it makes against its lift, ${open}`;
  return `${Number(Math.abs(speedRpm).toPrecision(4))} rpm, ${isSettable(gear.valveGear) ? "full gear, " : ""}${open}`;
}

/** Mean pressures between the stages of a compound. */
function receivers(pressuresPa: readonly number[], { ambient }: EngineDescription): [string, string][] {
  const atmospherePa = ambient.pressurePa;
  const words = pressuresPa.map((pa) => formatQuantity(pa, "pressure", "bar abs", { atmospherePa, digits: 3 }));
  return words.length === 0 ? [] : [[words.length === 1 ? "receiver" : "receivers", words.join(", ")]];
}

/** What comes in against what goes out and stays, over a turn. */
function closure(residualRatio: number): string {
  if (!Number.isFinite(residualRatio)) return "not known";
  return residualRatio < 1e-6
    ? "adds up"
    : `is off by ${Number((100 * residualRatio).toPrecision(2))} % of a turn's throughput`;
}

/** `11.03 bar (160 psi) gauge, 188.1 degC, saturated` */
function supplyWords({ boiler, ambient, workingFluid }: EngineDescription): string {
  const state =
    workingFluid === "air"
      ? "air"
      : boiler.superheatK === 0
        ? "saturated"
        : `${Number(boiler.superheatK.toPrecision(4))} K above saturation`;
  const gauge = (unit: string) =>
    formatQuantity(boiler.pressurePa, "pressure", unit, { atmospherePa: ambient.pressurePa, digits: 4 });
  return `${gauge("bar")} (${gauge("psi")}) gauge, ${readableQuantity(boiler.temperatureK, "temperature")}, ${state}`;
}

// What a file may well leave out without anything being guessed at.
const UNREMARKABLE = ["formatVersion", "name", "idealised", "fullScale"];
