import type { Engine } from "../engine/engine.js";
import { isCrankless } from "../gear/gear-description.js";
import { ReleaseWatch } from "../engine/release-watch.js";
import { BeatLog } from "./beat-log.js";

/** Writes down every release to the air or the condenser of a running engine, on the geometry itself where there is a crank. */
export class ReleaseLog {
  readonly beats = new BeatLog(1024);

  private readonly watch: ReleaseWatch | null;
  private readonly wasShut: Uint8Array;
  private readonly beforeRad = new Float64Array(1);

  /** @param shaftRad one number: where the shaft stands now, not folded */
  constructor(
    private readonly engine: Engine,
    private readonly shaftRad: Float64Array,
    private readonly stepS: number,
  ) {
    const { gear } = engine.description;
    this.watch = isCrankless(gear) ? null : new ReleaseWatch(gear);
    this.wasShut = new Uint8Array(engine.ends.count);
  }

  /** State only: forgets all. */
  clear(): void {
    this.beats.clear();
  }

  /** Call before a tick, while the shaft still stands at its beginning. */
  begin(): void {
    const areas = this.engine.motion.exhaustAreaM2;
    const { wasShut } = this;
    for (let i = 0; i < wasShut.length; i++) wasShut[i] = areas[i]! > 0 ? 0 : 1;
    this.beforeRad[0] = this.shaftRad[0]!;
  }

  /** Call after it: `tick` counts the ticks gone, itself among them. */
  end(tick: number): void {
    const { exhaustAreaM2: areas, firstOutEnd } = this.engine.motion;
    const { wasShut, watch, stepS } = this;
    for (let i = firstOutEnd; i < wasShut.length; i++) {
      if (wasShut[i] !== 1 || !(areas[i]! > 0)) continue;
      const before = this.beforeRad[0]!;
      const after = this.shaftRad[0]!;
      const at = watch === null ? after : watch.releaseRad(i, this.engine.motion.cutoffRatio[0]!, before, after);
      const share = after === before ? 1 : (at - before) / (after - before);
      this.beats.push((tick - 1 + share) * stepS, at, i);
    }
  }
}
