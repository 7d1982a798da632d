/** Length of the vector (x, y), free of overflow and of underflow. */
export function hypot(x: number, y: number): number {
  const a = Math.abs(x);
  const b = Math.abs(y);
  if (a === Infinity || b === Infinity) return Infinity;
  const large = a > b ? a : b;
  const small = a > b ? b : a;
  if (large === 0 || small !== small || large !== large) return large + small;
  if (large < 1e150 && small > 1e-150) return Math.sqrt(large * large + small * small);
  const ratio = small / large;
  return large * Math.sqrt(1 + ratio * ratio);
}
