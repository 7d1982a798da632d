/**
 * Speed of a mass after a tick against friction that holds and resistance that grows with the speed, both as they are at
 * the tick's end: v of `inertia v + square v |v| = push`, `push` lessened by `dry`, and 0 where that is more than it. So
 * nothing is ever pushed backwards by its own friction, stands still exactly, and runs away at no step.
 *
 * @param push momentum without friction, kg m/s or kg m2/s @param dry friction x step @param inertia mass and linear
 *   resistance x step @param square resistance for the square of the speed, x step
 */
export function heldSpeed(push: number, dry: number, inertia: number, square: number): number {
  const left = Math.abs(push) - dry;
  if (left <= 0) return 0;
  const speed = (2 * left) / (inertia + Math.sqrt(inertia * inertia + 4 * square * left));
  return push < 0 ? -speed : speed;
}
