import { exp } from "../quantities/portable-maths.js";
import { SteamOutlet } from "./steam-outlet.js";

/** Pressures absolute; effective area at full lift. */
export interface SafetyValveSetting {
  readonly setPa: number;
  readonly fullLiftPa: number;
  readonly reseatPa: number;
  readonly areaM2: number;
}

// It rises within some hundredths of a second. [common practice: pop valves]
const liftS = 0.02;
// Lift that it pops to at least and shuts from, for steam in the huddling chamber holds it up. [common practice]
const leastOpenRatio = 0.3;
// The feather before it pops: lift just at the set pressure, and where it begins, as a share of the blow-down below it. [common practice]
const featherRatio = 0.01;
const featherSpanRatio = 0.5;

/**
 * Spring-loaded safety valve. Below its set pressure a feather of steam; at it the valve pops, rises with the pressure to full
 * lift, and shuts only at the pressure where it reseats. An owner fills `outlet` but for the area, and calls `advance`.
 */
export class SafetyValve {
  isOpen = false;
  /** 0 shut to 1 full open. */
  liftRatio = 0.5;
  readonly outlet: SteamOutlet;
  private readonly follow: number;

  /** @param stepS from one `advance` to the next */
  constructor(
    private readonly setting: SafetyValveSetting,
    exponent: number,
    outsidePa: number,
    stepS: number,
  ) {
    this.outlet = new SteamOutlet(exponent, outsidePa, stepS);
    this.follow = 1 - exp(-stepS / liftS);
    this.liftRatio = 0;
  }

  /** Shut. State only. */
  reset(): void {
    this.isOpen = false;
    this.liftRatio = this.outlet.flowKgPerS = this.outlet.jetMPerS = 0;
  }

  /** Moves the valve for a step, and measures what it passes. */
  advance(): void {
    const { outlet, setting } = this;
    const { gasPa } = outlet;
    const { setPa, reseatPa, fullLiftPa } = setting;
    if (gasPa >= setPa) this.isOpen = true;
    else if (gasPa <= reseatPa) this.isOpen = false;
    let wanted = 0;
    if (this.isOpen) {
      const rise = fullLiftPa > reseatPa ? (gasPa - reseatPa) / (fullLiftPa - reseatPa) : 1;
      wanted = rise < 1 ? leastOpenRatio + (1 - leastOpenRatio) * rise : 1;
    } else {
      const spanPa = featherSpanRatio * (setPa - reseatPa);
      const near = spanPa > 0 ? (gasPa - setPa + spanPa) / spanPa : 0;
      if (near > 0) wanted = featherRatio * near;
    }
    const lift = this.liftRatio + this.follow * (wanted - this.liftRatio);
    // Seated at last, rather than for ever nearer.
    this.liftRatio = wanted === 0 && lift < 1e-4 ? 0 : lift;
    outlet.areaM2 = setting.areaM2 * this.liftRatio;
    outlet.measure();
  }
}
