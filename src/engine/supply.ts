import type { EngineDescription } from "./engine-description.js";
import type { VoiceRecord } from "./voice-record.js";
import type { FluidState } from "../steam/fluid-state.js";
import { AIR_FLOW_EXPONENT, STEAM_FLOW_EXPONENT } from "../steam/working-fluid.js";
import type { EngineLedger } from "./engine-ledger.js";
import type { FluidStates } from "./engine-fluid.js";
import { WhistleSteam } from "./whistle-steam.js";
import { sideControlIndex } from "./engine-controls.js";
import { Plant } from "./plant.js";

// Below this over the air outside no whistle speaks. [common practice: a tenth of a bar]
const leastWhistlePa = 1e4;

/** What the regulator draws from, as it stands in this tick: held, or as a living boiler has it. */
export class Supply {
  pressurePa = 0.5;
  densityKgPerM3 = 0.5;
  enthalpyJPerKg = 0.5;
  /** Share of air among the steam; 0 in a machine that works on air. */
  airRatio = 0.5;
  /** When the whistle was first opened without steam to speak of, s since the boiler was let go; -1: never. */
  faintWhistleSinceS = -1.5;

  private readonly held: FluidState;
  private readonly whistle: WhistleSteam | null;
  private readonly gasPerK: number;
  private standsCold = false;
  private readonly isSteam: boolean;
  private readonly outsidePa: number;

  constructor(
    { fittings, workingFluid, idealised }: EngineDescription,
    states: FluidStates,
    private readonly plant: Plant | null,
    private readonly voice: VoiceRecord,
    private readonly side: Float64Array,
  ) {
    this.held = states.boiler;
    this.outsidePa = states.air.pressurePa;
    this.isSteam = workingFluid === "steam";
    const exponent = workingFluid === "steam" ? STEAM_FLOW_EXPONENT : AIR_FLOW_EXPONENT;
    const bells = idealised ? null : (fittings?.whistle ?? null);
    this.whistle = bells === null ? null : new WhistleSteam(bells, exponent, states.air.pressurePa);
    this.gasPerK = this.held.pressurePa / (this.held.densityKgPerM3 * this.held.temperatureK);
    this.airRatio = 0;
    this.reset(false);
  }

  /** State only: after the boiler's own. @param standsCold whether a boiler that is held is one found cold, and stands so */
  reset(standsCold: boolean): void {
    this.standsCold = standsCold;
    this.faintWhistleSinceS = -1;
    this.observe();
    if (this.plant !== null) return;
    this.voice.boilerPa = this.held.pressurePa;
    this.voice.boilerK = this.held.temperatureK;
  }

  /** Tells the boiler what regulator and whistle took in this tick, and brings it on. */
  take(ledger: EngineLedger): void {
    const { plant, whistle, voice, side } = this;
    if (plant === null) {
      voice.whistleRatio = side[sideControlIndex.whistle]!;
      return;
    }
    plant.drawnKgPerS = ledger.inKgPerS;
    plant.drawnW = ledger.inW;
    plant.drawnAirKgPerS = ledger.inAirKgPerS;
    if (whistle !== null && (side[sideControlIndex.whistle]! > 0 || plant.whistleKgPerS > 0)) {
      whistle.boilerPa = voice.boilerPa;
      whistle.gasJPerKg = this.gasPerK * voice.boilerK;
      whistle.openRatio = side[sideControlIndex.whistle]!;
      whistle.measure();
      const isFaint = voice.boilerPa < this.outsidePa + leastWhistlePa && whistle.openRatio > 0;
      if (isFaint && this.faintWhistleSinceS < 0) this.faintWhistleSinceS = plant.timeS;
      plant.whistleKgPerS = whistle.massFlowKgPerS;
    }
    plant.process();
  }

  /** Reads the boiler. A boiler that is held stands as the description has it, unless it primes. */
  observe(): void {
    const { held, plant, side } = this;
    if (plant === null || (plant.isHeld && !this.standsCold && !(side[sideControlIndex.priming]! > 0))) {
      this.pressurePa = held.pressurePa;
      this.densityKgPerM3 = held.densityKgPerM3;
      this.enthalpyJPerKg = held.enthalpyJPerKg;
      this.airRatio = 0;
      return;
    }
    this.pressurePa = plant.outletPa;
    this.densityKgPerM3 = plant.outletKgPerM3;
    this.enthalpyJPerKg = plant.outletJPerKg;
    this.airRatio = this.isSteam ? plant.outletAirRatio : 0;
  }
}

/** The boiler that a machine is described with, held; null if there is none, or the machine is idealised. */
export function makePlant(
  { plant, ambient, boiler, workingFluid, idealised }: EngineDescription,
  stepS: number,
  voice: VoiceRecord,
  side: Float64Array,
): Plant | null {
  if (plant === undefined || plant === null || idealised) return null;
  const { superheatK, pressurePa, temperatureK } = boiler;
  const made = new Plant(plant, {
    ambient,
    superheatK,
    workingFluid,
    stepS,
    pressurePa,
    airK: temperatureK,
    voice,
    side,
  });
  made.isHeld = true;
  return made;
}
