/**
 * Speed of a mass after a tick against friction that holds and resistance that grows with the speed, both as they are at
 * the tick's end: v of `inertia v + square v |v| = push`, `push` lessened by `dry`, and 0 where that is more than it. So
 * nothing is ever pushed backwards by its own friction, stands still exactly, and runs away at no step.
 *
 * All fields but the answer are the caller's, in kg, m and s or kg m2, rad and s.
 */
export class HeldSpeed {
  /** Momentum without friction. */
  push = 0.5;
  /** Friction x step. */
  dry = 0.5;
  /** Mass, and linear resistance x step. */
  inertia = 0.5;
  /** Resistance for the square of the speed, x step. */
  square = 0.5;
  /** What `solve` finds. */
  speed = 0.5;

  solve(): void {
    const { push, dry, inertia, square } = this;
    const left = Math.abs(push) - dry;
    if (left <= 0) {
      this.speed = 0;
      return;
    }
    const speed = (2 * left) / (inertia + Math.sqrt(inertia * inertia + 4 * square * left));
    this.speed = push < 0 ? -speed : speed;
  }
}
