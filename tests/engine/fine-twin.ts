import { portDischargeCoefficient } from "../../src/engine/vessel-ports.js";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { fluidStates, makeExhaustGas, makeFluid, surroundingsOf } from "../../src/engine/engine-fluid.js";
import { Motion } from "../../src/gear/motion.js";
import type { FineShape } from "../flow/reference/fine-cells.js";
import { solveFineEngine, type FineEngineResult } from "../flow/reference/fine-engine.js";
import type { Turning } from "./turning.js";

export interface FineTwinSettings {
  readonly cutoffRatio: number | null;
  /** Length of one fine cell, m. */
  readonly cellM: number;
  /** Share of a turn run before the turn that is kept, to 1. */
  readonly leadTurns: number;
  /** False for pipes whose temperature fronts stay as sharp as the cells allow. */
  readonly isMixed: boolean;
  readonly stepsPerTurn: number;
}

const angleCount = 16_384;

/**
 * Spread of temperature along a pipe by turbulence, as a length times the speed: 10.1 radii times the friction velocity,
 * here 0.05 of the mean speed. [source: G. I. Taylor, Proc. R. Soc. A 223 (1954), from memory]
 */
export function dispersionLengthM(boreM: number): number {
  return 10.1 * 0.5 * boreM * 0.05;
}

/**
 * One turn of an idealised engine without a smokebox by the slow, fine solution. It shares with the engine the tables of
 * its working fluid, the gas of its pipes, its volumes and openings, and how full its cylinders were at the start.
 */
export function turnFineTwin(settled: Turning, settings: FineTwinSettings): FineEngineResult {
  const { engine, turnS } = settled;
  const { description } = engine;
  const { gear, exhaust, idealised } = description;
  if (!idealised || exhaust.smokebox !== null) throw new Error("only an idealised engine without smokebox has a twin");
  // The twin takes over some way before the turn that counts.
  for (let i = 0; i < Math.round((1 - settings.leadTurns) * settled.ticksPerTurn); i++) settled.tick();
  const fluid = makeFluid(description.workingFluid);
  const states = fluidStates(description, fluid);
  const { gas, pipeEnthalpyFor } = bound(description);
  const around = surroundingsOf(description, states);
  const openings = tabulate(description, settings.cutoffRatio);
  const shape = (pipe: { lengthM: number; boreM: number }, hasNozzle: boolean): FineShape => ({
    ...pipe,
    ...(hasNozzle && exhaust.nozzle !== null
      ? { mouthBoreM: exhaust.nozzle.boreM, contractionM: exhaust.nozzle.contractionM }
      : {}),
    cellCount: Math.round(pipe.lengthM / settings.cellM),
    dispersionM: settings.isMixed ? dispersionLengthM(pipe.boreM) : 0,
  });
  const { passage, blastPipe } = exhaust;
  if (passage === null) throw new Error("the twin has passages");
  const cylinders = gear.crankAnglesRad.length;
  const perCylinder = engine.ends.count / cylinders;
  const at = (table: Float64Array) => (timeS: number) => {
    const place = (timeS / turnS - Math.floor(timeS / turnS)) * angleCount;
    const i = Math.floor(place);
    return table[i] + (place - i) * (table[i + 1] - table[i]);
  };
  return solveFineEngine({
    gas: { exponent: gas.isentropicExponent, gasConstant: gas.gasConstantJPerKgK },
    fluid: {
      exponent: fluid.isentropicExponent,
      pressurePa: (density, internal) => {
        fluid.lookup(density, internal);
        return fluid.pressurePa;
      },
      pipeEnthalpy: pipeEnthalpyFor,
    },
    outside: {
      ambientPa: around.pressurePa,
      airDensity: around.densityKgPerM3,
      airSoundSpeed: around.soundSpeedMPerS,
      inflowDensity: around.inflowDensityKgPerM3,
      // Air keeps its specific volume in the pipes' gas; its share in what comes back into a cylinder the twin leaves out.
      inflowEnthalpy:
        around.inflowAirRatio > 0
          ? ((gas.isentropicExponent / (gas.isentropicExponent - 1)) * around.pressurePa) / around.inflowDensityKgPerM3
          : pipeEnthalpyFor(around.inflowEnthalpyJPerKg),
    },
    ends: Array.from({ length: engine.ends.count }, (_, i) => ({
      passage: Math.floor(i / perCylinder),
      massKg: engine.ends.massKg[i],
      energyJ: engine.ends.energyJ[i],
      volumeM3: at(openings.volumeM3[i]),
      steamM2: at(openings.steamM2[i]),
      exhaustM2: at(openings.exhaustM2[i]),
    })),
    passages: gear.crankAnglesRad.map(() => shape(passage, blastPipe === null)),
    blastPipe: blastPipe === null ? null : shape(blastPipe, true),
    pipeStart: (k, xM) => {
      const pipe = engine.network.pipes[k];
      const place = Math.min(Math.max((xM / pipe.lengthM) * pipe.cellCount - 0.5, 0), pipe.cellCount - 1.001);
      const i = Math.floor(place);
      const between = (j: number) =>
        pipe.state[3 * i + j] + (place - i) * (pipe.state[3 * i + 3 + j] - pipe.state[3 * i + j]);
      const [density, momentum, energyJ] = [between(0), between(1), between(2)];
      const velocity = momentum / density;
      return [density, velocity, (gas.isentropicExponent - 1) * (energyJ - 0.5 * momentum * velocity)];
    },
    latentJPerKg: engine.network.latentJ / engine.network.massKg,
    chest: states.boiler,
    startS: -settings.leadTurns * turnS,
    fromS: 0,
    toS: turnS,
    resultStepS: turnS / settings.stepsPerTurn,
  });
}

function bound(description: EngineDescription) {
  const fluid = makeFluid(description.workingFluid);
  const exhaust = makeExhaustGas(description, fluid, fluidStates(description, fluid));
  return { gas: exhaust.gas, pipeEnthalpyFor: (enthalpy: number) => exhaust.pipeEnthalpyFor(enthalpy) };
}

/** Volumes and effective openings of every end over one turn. */
function tabulate(description: EngineDescription, cutoffRatio: number | null) {
  const motion = new Motion(description.gear);
  if (cutoffRatio !== null) motion.setCutoff(cutoffRatio);
  const tables = () => motion.ends.map(() => new Float64Array(angleCount + 1));
  const volumeM3 = tables();
  const steamM2 = tables();
  const exhaustM2 = tables();
  for (let a = 0; a <= angleCount; a++) {
    motion.process((2 * Math.PI * a) / angleCount);
    for (let i = 0; i < motion.ends.length; i++) {
      volumeM3[i][a] = motion.volumeM3[i];
      steamM2[i][a] = portDischargeCoefficient * motion.steamAreaM2[i];
      exhaustM2[i][a] = portDischargeCoefficient * motion.exhaustAreaM2[i];
    }
  }
  return { volumeM3, steamM2, exhaustM2 };
}
