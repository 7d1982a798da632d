import { Motion } from "../gear/motion.js";
import type { GearDescription } from "../gear/gear-description.js";

/**
 * Finds where within a tick an exhaust port began to open, on the geometry itself. It turns a motion of its own, so the
 * running one is left alone.
 */
export class ReleaseWatch {
  private readonly motion: Motion;

  constructor(gear: GearDescription) {
    this.motion = new Motion(gear);
  }

  /**
   * Shaft angle of the release of one end.
   *
   * @param shutRad an angle at which the port is still shut
   * @param openRad the angle one tick later, at which it is open
   */
  releaseRad(end: number, cutoffRatio: number, shutRad: number, openRad: number): number {
    const motion = this.motion;
    motion.setCutoff(cutoffRatio);
    let shut = shutRad;
    let open = openRad;
    for (let i = 0; i < 40; i++) {
      const middle = 0.5 * (shut + open);
      motion.shaftRad[0] = middle;
      motion.processShaft();
      if (motion.exhaustAreaM2[end]! > 0) open = middle;
      else shut = middle;
    }
    return open;
  }
}
