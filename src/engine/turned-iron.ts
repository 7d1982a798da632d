import { CrankForce } from "./crank-force.js";
import type { EngineDescription } from "./engine-description.js";
import type { EngineParts } from "./engine-parts.js";
import { crankTurnsPerDrivenTurn } from "./running.js";
import type { RunningDescription } from "./running-description.js";
import { ValveLift } from "./valve-lift.js";
import type { VoiceRecord } from "./voice-record.js";

// Time over which the pull on gearing and wheels is taken together where the shaft is turned from outside: about what a
// flywheel evens out. [common practice]
const pullS = 0.25;

/** What rods and valves bear, and how the wheels run, in a machine whose shaft is turned from outside. */
export class TurnedIron {
  private readonly crankForce: CrankForce;
  private readonly valveLift: ValveLift;
  private readonly perTick: number;
  private readonly pullShare: number;
  /** Road per angle of the crankshaft, m/rad; 0 without wheels. */
  readonly roadMPerRad: number;
  private readonly lastRad = new Float64Array(1);
  private lastRadPerS = 0.5;
  private pullNm = 0.5;
  private isFresh = true;
  private isSteady = false;

  constructor(
    parts: Pick<EngineParts, "motion" | "ends" | "chest" | "receivers" | "network" | "stepS">,
    description: EngineDescription,
    running: RunningDescription,
    private readonly voice: VoiceRecord,
  ) {
    const { gear, ambient, wheelDiameterM } = description;
    this.crankForce = new CrankForce(parts, gear, running.reciprocatingKg, ambient.pressurePa, voice);
    const lifts = description.fittings?.valvesLift ?? false;
    this.valveLift = new ValveLift(parts, lifts, voice);
    this.perTick = 1 / parts.stepS;
    this.pullShare = parts.stepS / (pullS + parts.stepS);
    this.roadMPerRad = (0.5 * (wheelDiameterM ?? 0)) / crankTurnsPerDrivenTurn(running.gearing);
    this.reset();
  }

  /** State only. */
  reset(): void {
    this.crankForce.reset();
    this.valveLift.reset();
    this.lastRadPerS = this.pullNm = 0;
    this.isFresh = true;
    this.isSteady = false;
    const { voice } = this;
    voice.shaftRadPerS = voice.loadTorqueNm = voice.roadMPerS = voice.roadM = voice.slipMPerS = 0;
  }

  /**
   * Before a tick of the engine: `shaftRad[0]` is the angle that the tick will end at, not folded; `crankRad[0]` the same less
   * the turns of a loop gone by, so that the road repeats with it.
   */
  process(shaftRad: Float64Array, crankRad: Float64Array): void {
    const { crankForce, voice, lastRad, perTick } = this;
    crankForce.measure();
    const angle = shaftRad[0]!;
    const speed = this.isFresh ? 0 : (angle - lastRad[0]!) * perTick;
    const acceleration = this.isFresh ? 0 : (speed - this.lastRadPerS) * perTick;
    crankForce.speedRadPerS = speed;
    crankForce.accelerationRadPerS2 = this.isSteady ? acceleration : 0;
    crankForce.record();
    this.valveLift.process();
    this.pullNm += this.pullShare * (crankForce.torqueNm - this.pullNm);
    voice.shaftRad = angle;
    voice.shaftRadPerS = speed;
    voice.loadTorqueNm = this.pullNm;
    voice.roadMPerS = speed * this.roadMPerRad;
    voice.roadM = crankRad[0]! * this.roadMPerRad;
    lastRad[0] = angle;
    // The first difference from rest is no blow.
    this.lastRadPerS = speed;
    this.isSteady = !this.isFresh;
    this.isFresh = false;
  }
}
