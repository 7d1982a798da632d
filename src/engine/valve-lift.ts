import { isSettable } from "../gear/gear-description.js";
import type { Stage } from "../gear/stages.js";
import type { EngineParts } from "./engine-parts.js";
import type { VoiceRecord } from "./voice-record.js";

/**
 * The cavity in a slide valve's face over that and the steam ports: the exhaust port is about twice as wide as each of them.
 * [common practice: exhaust port 1.8 to 2.5 times the width of a steam port]
 */
export const CAVITY_SHARE = 0.5;

/**
 * What lifts slide valves from their faces. The chest holds them down; under them stand the exhaust in the cavity and the
 * cylinder ends in the ports. An engine that drifts with its regulator shut compresses beyond the chest and throws them up.
 */
export class ValveLift {
  /** Per cylinder. */
  private readonly mayLift: readonly boolean[];
  private readonly stageOf: readonly number[];

  /** @param lifts false for valves that cannot: piston valves, inside admission, oscillating cylinders */
  constructor(
    private readonly parts: Pick<EngineParts, "ends" | "motion" | "chest" | "receivers" | "network">,
    private readonly lifts: boolean,
    private readonly voice: VoiceRecord,
  ) {
    const { stages } = parts.motion;
    const outside = ({ valveGear }: Stage) => !isSettable(valveGear) || valveGear.admission === "outside";
    this.mayLift = stages.flatMap((stage) => Array<boolean>(stage.cylinderCount).fill(outside(stage)));
    this.stageOf = stages.flatMap(({ cylinderCount }, s) => Array<number>(cylinderCount).fill(s));
    this.reset();
  }

  /** State only. */
  reset(): void {
    this.voice.valveLiftPa.fill(0);
  }

  /** Writes the push on every valve for the pressures last reached. */
  process(): void {
    if (!this.lifts) return;
    const { ends, motion, chest, receivers, network } = this.parts;
    const lastStage = receivers.length;
    const firstOut = motion.stages[lastStage]!.firstCylinder;
    const { valveLiftPa } = this.voice;
    const { reachedPa } = ends;
    const { portEnds } = network;
    const endsPerCylinder = reachedPa.length / valveLiftPa.length;
    for (let k = 0; k < valveLiftPa.length; k++) {
      if (!this.mayLift[k]!) continue;
      const stage = this.stageOf[k]!;
      const abovePa = stage === 0 ? chest.pressurePa : receivers[stage - 1]!.pressurePa;
      const head = endsPerCylinder * k;
      let portsPa = reachedPa[head]!;
      if (endsPerCylinder === 2) portsPa = 0.5 * (portsPa + reachedPa[head + 1]!);
      const cavityPa =
        stage < lastStage
          ? receivers[stage]!.pressurePa
          : portEnds[portEnds.length > 1 ? k - firstOut : 0]!.facePressurePa;
      const push = CAVITY_SHARE * cavityPa + (1 - CAVITY_SHARE) * portsPa - abovePa;
      valveLiftPa[k] = push > 0 ? push : 0;
    }
  }
}
