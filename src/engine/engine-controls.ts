/** What a machine is set by beside regulator and cut-off, in the order in which they stand in arrays. */
export const sideControls = [
  "drains",
  "blower",
  "whistle",
  "brake",
  "load",
  "fire",
  "feed",
  "priming",
  "blowdown",
  "gradient",
  "barring",
  "grip",
] as const;

/** One of `sideControls`. */
export type SideControl = (typeof sideControls)[number];

/** Place of every side control. */
export const sideControlIndex = Object.fromEntries(sideControls.map((name, i) => [name, i])) as Readonly<
  Record<SideControl, number>
>;

// A fire as it is kept where nobody asks. [common practice: half of what it can]
const usualFireRatio = 0.5;

/** A machine that nobody touches: everything shut and off, its load on, its rails as described, a fire that keeps the pressure. Ratios, 0 to 1; the gradient as rise over distance, barring as a speed in rpm. */
export function restingControls(): Float64Array {
  const controls = new Float64Array(sideControls.length);
  controls[sideControlIndex.load] = 1;
  controls[sideControlIndex.grip] = 1;
  controls[sideControlIndex.fire] = usualFireRatio;
  return controls;
}
