import { Vessel } from "../flow/vessel.js";
import { resolveCutoff } from "../gear/equivalent-eccentric.js";
import type { FluidState } from "../steam/fluid-state.js";
import { stateFromPressureEnthalpy } from "../steam/state-from.js";
import type { WorkingFluid } from "../steam/working-fluid.js";
import type { EngineDescription } from "./engine-description.js";
import type { FluidStates } from "./engine-fluid.js";
import type { EngineParts } from "./engine-parts.js";
import { stageExhaustJPerKg, stagePressuresPa } from "./stage-estimate.js";
import { StageLeak } from "./stage-leak.js";
import { VesselPorts } from "./vessel-ports.js";

/**
 * What stands between the stages of a compound: every stage but the last exhausts into a receiver, which is the chest of the
 * next, and leaks past its valves into it. Receivers give no heat to the air.
 */
export class Receivers {
  private readonly vessels: readonly Vessel[];
  private readonly inlets: readonly VesselPorts[];
  private readonly outlets: readonly VesselPorts[];
  private readonly leaks: readonly StageLeak[];
  /** Of a machine at work in full gear. */
  private readonly working: readonly FluidState[];
  private readonly fullCutoffRatio: number;

  /** @param parts with one receiver before each later stage */
  constructor(parts: EngineParts, description: EngineDescription, fluid: WorkingFluid) {
    const { motion, receivers, record, chest, exponent, stepS, states } = parts;
    this.vessels = receivers;
    for (const receiver of receivers) receiver.stepS = stepS;
    const leakM2 = description.idealised ? 0 : description.leaks.valveM2;
    // Nobody listens at a receiver.
    const unheardMPerS = new Float64Array(motion.ends.length);
    const { steamAreaM2, exhaustAreaM2, stages } = motion;
    this.inlets = receivers.map((vessel, s) => {
      const { firstEnd, endCount } = stages[s]!;
      return new VesselPorts(parts, {
        ...{ vessel, firstEnd, endCount, towards: "vessel" },
        ...{ areaM2: exhaustAreaM2, massFlowKgPerS: record.endExhaustKgPerS, jetMPerS: unheardMPerS },
      });
    });
    this.outlets = receivers.map((vessel, s) => {
      const { firstEnd, endCount } = stages[s + 1]!;
      return new VesselPorts(parts, {
        ...{ vessel, firstEnd, endCount, towards: "ends" },
        ...{ areaM2: steamAreaM2, massFlowKgPerS: record.endSteamKgPerS, jetMPerS: record.endSteamMPerS },
      });
    });
    this.leaks = receivers.map((vessel, s) => {
      const before = s === 0 ? chest : receivers[s - 1]!;
      return new StageLeak(before, vessel, leakM2 * stages[s]!.endCount, exponent, stepS);
    });
    this.working = receivers.length === 0 ? [] : workingStates(description, states, fluid);
    this.fullCutoffRatio = resolveCutoff(description.gear, null).cutoffRatio ?? 1;
  }

  /** Flows and pressures held. */
  get heldCount(): number {
    const { vessels, inlets, outlets, leaks } = this;
    return [...vessels, ...inlets, ...outlets, ...leaks].reduce((sum, { heldCount }) => sum + heldCount, 0);
  }

  /**
   * State only: full of what fills a machine at rest, or about as at work.
   * @param cutoffRatio as the first gear stands; null: at rest
   */
  reset(still: FluidState, stillAirRatio: number, cutoffRatio: number | null): void {
    const { vessels, working, inlets, outlets, leaks } = this;
    const share = cutoffRatio === null ? 0 : Math.min(1, Math.abs(cutoffRatio) / this.fullCutoffRatio);
    for (let s = 0; s < vessels.length; s++) {
      const state = working[s]!;
      // Notched up, each stroke sends so much less on.
      const density = Math.max(share * state.densityKgPerM3, still.densityKgPerM3);
      if (share === 0) vessels[s]!.reset(still.densityKgPerM3, still.internalEnergyJPerKg, stillAirRatio);
      else vessels[s]!.reset(density, state.internalEnergyJPerKg, 0);
      inlets[s]!.reset();
      outlets[s]!.reset();
      leaks[s]!.reset();
    }
  }

  /** Reads pressures and enthalpies. */
  observe(): void {
    const { vessels } = this;
    for (let s = 0; s < vessels.length; s++) vessels[s]!.observe();
  }

  /** Adds the flows of one tick to receivers, ends and chest. */
  process(): void {
    const { vessels, inlets, outlets, leaks } = this;
    for (let s = 0; s < vessels.length; s++) {
      inlets[s]!.process();
      outlets[s]!.process();
      leaks[s]!.process();
    }
  }

  /** Takes the flows added and clears them. */
  advance(): void {
    const { vessels } = this;
    for (let s = 0; s < vessels.length; s++) vessels[s]!.advance();
  }
}

function workingStates(description: EngineDescription, states: FluidStates, fluid: WorkingFluid): FluidState[] {
  const [, ...pressures] = stagePressuresPa(description, states.outsidePa);
  return pressures.map((pa, s) => {
    return stateFromPressureEnthalpy(fluid, pa, stageExhaustJPerKg(description, states.boiler, s, pa));
  });
}

/** One vessel for each receiver, none smaller than can be stepped. */
export function makeReceivers(volumesM3: readonly number[], leastM3: readonly number[], fluid: WorkingFluid): Vessel[] {
  return volumesM3.map((volumeM3, s) => new Vessel(Math.max(volumeM3, leastM3[s]!), fluid, false));
}
