const mostEvents = 64;
// A shaft that has gone on by more strokes than this in a row has been set anew, not turned. [common practice]
const mostAtOnce = 3;

/**
 * Moments in a chunk at which something driven from the shaft comes to the end of its stroke: whenever the shaft passes a
 * whole multiple of a turn / strokes, either way.
 */
export class StrokeEvents {
  /** Of the chunk so far. */
  count = 0;
  /** In samples from the beginning of the chunk. */
  readonly offsets = new Int32Array(mostEvents);
  /** Strokes since the shaft stood at 0, by their number: of each moment. */
  readonly strokes = new Float64Array(mostEvents);
  /** Where the shaft stands, for `take`: a field, for a number handed over by itself would be allocated. */
  shaftRad = 0.5;
  private before = 0.5;
  private hasBefore = false;

  constructor(
    private readonly strokesPerTurn: number,
    private readonly samplesPerRow: number,
  ) {
    this.reset();
  }

  /** State only. */
  reset(): void {
    this.count = 0;
    this.before = 0;
    this.hasBefore = false;
  }

  /** Takes `shaftRad` at row `r`; row 0 begins a chunk. */
  take(r: number): void {
    if (r === 0) this.count = 0;
    const now = (this.shaftRad * this.strokesPerTurn) / (2 * Math.PI);
    const { before } = this;
    const wasKnown = this.hasBefore;
    this.hasBefore = Number.isFinite(now);
    this.before = this.hasBefore ? now : 0;
    if (!wasKnown || !this.hasBefore) return;
    const first = Math.floor(Math.min(before, now));
    const last = Math.floor(Math.max(before, now));
    if (last - first > mostAtOnce) return;
    for (let k = first + 1; k <= last && this.count < mostEvents; k++) {
      const share = (k - before) / (now - before);
      const offset = Math.floor(share * this.samplesPerRow);
      this.offsets[this.count] = r * this.samplesPerRow + Math.min(this.samplesPerRow - 1, Math.max(0, offset));
      this.strokes[this.count] = k;
      this.count++;
    }
  }
}
