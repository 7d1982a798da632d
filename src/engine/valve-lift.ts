import type { EngineParts } from "./engine-parts.js";
import { ValveFaces } from "./valve-faces.js";
import type { VoiceRecord } from "./voice-record.js";

/**
 * What lifts slide valves from their faces, for whoever hears them fall back: an engine that drifts with its regulator shut
 * compresses beyond the chest and throws them up.
 */
export class ValveLift {
  private readonly faces: ValveFaces;

  /** @param lifts false for machines whose valves cannot */
  constructor(
    private readonly parts: Pick<EngineParts, "ends" | "motion" | "chest" | "receivers" | "network">,
    private readonly lifts: boolean,
    private readonly voice: VoiceRecord,
  ) {
    this.faces = new ValveFaces(parts);
    this.reset();
  }

  /** State only. */
  reset(): void {
    this.voice.valveLiftPa.fill(0);
  }

  /** Writes the push on every valve for the pressures last reached. */
  process(): void {
    if (!this.lifts) return;
    const { faces } = this;
    const { valveLiftPa } = this.voice;
    const { pushPa, isSlide } = faces;
    faces.measure(this.parts.ends.reachedPa);
    for (let k = 0; k < valveLiftPa.length; k++) {
      const push = pushPa[k]!;
      if (isSlide[k]!) valveLiftPa[k] = push > 0 ? push : 0;
    }
  }
}
