import type { NoiseStream } from "../quantities/random.js";
import type { JetNoiseSetting } from "./jet-noise.js";
import { JetNoise } from "./jet-noise.js";
import { Patter } from "./patter.js";
import { requireWithin } from "./setting-range.js";
import { ShockNoise } from "./shock-noise.js";
import { Slugs } from "./slugs.js";

const CHUNK_SAMPLES = 128;

/** Water of so many times the mass of the steam halves the time in which the opening is free of it. [common practice: a slug fills the opening, and steam behind it is some ten times as thin] */
export const HALF_FREE_WATER_RATIO = 3;

/** Drops carried along take energy from the eddies: sound power falls to 1 / (1 + this x water / steam). [source: water injected into jets: 6 dB at its own mass, 10 dB at three times it; Krothapalli et al., JFM 491 (2003), from memory] */
export const WATER_QUIETING = 3;

/** Treble that the drops leave: corner of two low-passes in a row where water and steam are equal in mass; it falls as one over their ratio. [common practice] */
export const WET_CORNER_HZ = 7000;

// Drops are carried out at a share of the speed of the steam, and a share of their energy is heard as they are torn and
// strike. [tuned: spitting about as loud as the quieted jet at equal masses, 2026-11-25]
const DROP_SPEED_RATIO = 0.1;
const SPLASH_EFFICIENCY = 3e-4;
const GURGLE_EFFICIENCY = 1e-4;
// Mass of what is heard as one drop over the square of the mouth's bore, with little water beside the steam; it grows with
// the square of the water. [common practice: 4 mg from a mouth of 10 mm]
const DROP_KG_PER_M2 = 0.04;
// Finer spray than this is heard as so many drops a second of the same power. [common practice]
const MOST_DROPS_PER_S = 900;
const DROP_HZ = 4200;
// Bubbles that steam blows through water in the opening and its pipe: radius some 0.8 of the bore. [source: Minnaert, Phil. Mag. 16 (1933) 235: 3.26 m/s over the radius, at 1 atm]
const GURGLE_M_PER_S = 3.26 / 0.8;
const LEAST_GURGLE_HZ = 120;
const GREATEST_GURGLE_HZ = 4000;
const GURGLES_PER_S = 60;
// Share of the time below which water is not heard: quieting of 0.04 dB, and at half the sample rate 0.1 dB of dulling more.
// [common practice]
const LEAST_WET_SHARE = 1e-3;
// A speed of steam at which slugs follow each other as the setting has it. [common practice]
const USUAL_M_PER_S = 400;

export interface WetJetSetting extends JetNoiseSetting {
  /** Slugs of water a second at a steam speed of 400 m/s, 0.1 to 200; they follow it. */
  readonly slugHz: number;
}

/**
 * A jet of steam into the air that may carry water: hiss (`JetNoise`) and shock cells (`ShockNoise`) while dry; with water it
 * comes in bursts between slugs, quieter and duller the more drops it carries, drops spit, and bubbles gurgle in what stands
 * in the opening. The mean flow of steam is the one given: what slugs hold back comes between them.
 *
 * Four noise streams; sample n uses them at index n: `setNextSampleIndex` seeks.
 *
 * @example
 * const cock = new WetJet(48000, [0, 1, 2, 3, 4, 5, 6].map((k) => new NoiseStream(7, k)), { ...air, boreM: 0.01, slugHz: 14 });
 * cock.process(steamKgPerS, jetMPerS, machNumber, openRatio, waterKgPerS, pressurePa, 128);
 */
export class WetJet {
  /** The noise stands at the flow that makes it. */
  readonly delaySamples = 0;
  private readonly jet: JetNoise;
  private readonly shocks: ShockNoise;
  private readonly slugs: Slugs;
  private readonly drops: Patter;
  private readonly gurgle: Patter;
  private readonly perCorner: number;
  private readonly perPower: number;
  private readonly slugHz: number;
  private readonly dropKg: number;
  private readonly gurgleHz: number;
  private readonly free = new Float64Array(CHUNK_SAMPLES);
  private readonly share = new Float64Array(CHUNK_SAMPLES);
  private readonly mass = new Float64Array(CHUNK_SAMPLES);
  private readonly rate = new Float64Array(CHUNK_SAMPLES);
  private readonly exposure = new Float64Array(CHUNK_SAMPLES);
  private readonly pitch = new Float64Array(CHUNK_SAMPLES);
  private readonly speed = new Float64Array(CHUNK_SAMPLES);
  private readonly mach = new Float64Array(CHUNK_SAMPLES);
  private readonly part = new Float64Array(CHUNK_SAMPLES);
  private readonly sum = new Float64Array(CHUNK_SAMPLES);
  private first = 0.5;
  private second = 0.5;

  /** @param noises seven streams of its own @throws RangeError for a rate outside 8 to 768 kHz or a setting out of range. */
  constructor(sampleRateHz: number, noises: readonly NoiseStream[], setting: WetJetSetting) {
    if (noises.length !== 7) throw new RangeError(`WetJet: noises must be 7 streams, got ${noises.length}. Make 7.`);
    this.slugHz = requireWithin("WetJet", "slugHz", setting.slugHz, 0.1, 200, " Hz");
    const gurgleHz = GURGLE_M_PER_S / setting.boreM;
    this.gurgleHz = Math.min(GREATEST_GURGLE_HZ, Math.max(LEAST_GURGLE_HZ, gurgleHz));
    this.dropKg = DROP_KG_PER_M2 * setting.boreM * setting.boreM;
    this.jet = new JetNoise(sampleRateHz, noises[0]!, setting);
    this.shocks = new ShockNoise(sampleRateHz, noises[1]!, setting);
    this.slugs = new Slugs(sampleRateHz, noises[2]!);
    const drop = { spreadRatio: 2.5, quality: 3, sizePower: 1 } as const;
    this.drops = new Patter(sampleRateHz, noises[3]!, noises[4]!, drop);
    const bubble = { spreadRatio: 2, quality: 9, sizePower: 1 } as const;
    this.gurgle = new Patter(sampleRateHz, noises[5]!, noises[6]!, bubble);
    this.perCorner = sampleRateHz / (2 * Math.PI * WET_CORNER_HZ);
    const { airDensityKgPerM3, airSoundSpeedMPerS, distanceM } = setting;
    this.perPower = (airDensityKgPerM3 * airSoundSpeedMPerS) / (4 * Math.PI * distanceM * distanceM);
    this.reset();
  }

  /** State only: silence, at sample 0. */
  reset(): void {
    this.jet.reset();
    this.shocks.reset();
    this.slugs.reset();
    this.drops.reset();
    this.gurgle.reset();
    this.first = this.second = 0;
  }

  /** Position in the noise of the next sample, a whole number; filters and what rings keep their state. */
  setNextSampleIndex(index: number): void {
    this.jet.setNextSampleIndex(index);
    this.shocks.setNextSampleIndex(index);
    this.slugs.setNextSampleIndex(index);
    this.drops.setNextSampleIndex(index);
    this.gurgle.setNextSampleIndex(index);
  }

  /** Whether a drop still rings. */
  get isSounding(): boolean {
    return this.drops.isSounding || this.gurgle.isSounding;
  }

  /**
   * Steam in kg/s, its speed in m/s and Mach number once expanded, the open share of the mouth, 0 to 1, and water in kg/s, all
   * positive outwards, to sound pressure in Pa.
   */
  process(
    steamKgPerS: Float64Array,
    velocityMPerS: Float64Array,
    machNumber: Float64Array,
    openRatio: Float64Array,
    waterKgPerS: Float64Array,
    pressurePa: Float64Array,
    frameCount: number,
  ): void {
    const { mass, speed, mach, free, share, sum, part } = this;
    for (let start = 0; start < frameCount; start += CHUNK_SAMPLES) {
      const count = Math.min(CHUNK_SAMPLES, frameCount - start);
      let isDry = !this.isSounding;
      for (let i = 0; i < count; i++) {
        const steam = steamKgPerS[start + i]!;
        const water = waterKgPerS[start + i]!;
        speed[i] = velocityMPerS[start + i]!;
        mach[i] = machNumber[start + i]!;
        mass[i] = steam;
        const ratio = water > 0 && steam > 0 ? water / (water + HALF_FREE_WATER_RATIO * steam) : 0;
        share[i] = ratio > LEAST_WET_SHARE ? ratio : 0;
        if (ratio > LEAST_WET_SHARE) isDry = false;
        this.rate[i] = (this.slugHz / USUAL_M_PER_S) * Math.abs(speed[i]!);
      }
      if (isDry) {
        this.hiss(openRatio, pressurePa, start, count);
        continue;
      }
      this.slugs.process(share, this.rate, free, count);
      for (let i = 0; i < count; i++) {
        // A share of water x stands for a mass ratio of 3 x / (1 - x); of the time that slugs leave, none is lost.
        if (share[i]! > 0) mass[i] = (mass[i]! * free[i]!) / (1 - share[i]!);
      }
      this.jet.process(mass, speed, sum, count);
      this.shocks.process(speed, mach, part, count);
      for (let i = 0; i < count; i++) {
        // The cells are as many as the mouth is wide: power as area.
        const open = openRatio[start + i]!;
        part[i] = mass[i]! > 0 && open > 0 ? Math.sqrt(open) * part[i]! : 0;
      }
      this.quiet(count);
      this.spit(waterKgPerS, start, count);
      for (let i = 0; i < count; i++) pressurePa[start + i] = sum[i]!;
    }
  }

  // A stretch without water, to the last bit what the long way makes of it.
  private hiss(openRatio: Float64Array, pressurePa: Float64Array, start: number, count: number): void {
    const { mass, sum, part } = this;
    this.slugs.skip(count);
    this.drops.skip(count);
    this.gurgle.skip(count);
    this.jet.process(mass, this.speed, sum, count);
    this.shocks.process(this.speed, this.mach, part, count);
    for (let i = 0; i < count; i++) {
      const open = openRatio[start + i]!;
      const shock = mass[i]! > 0 && open > 0 ? Math.sqrt(open) * part[i]! : 0;
      pressurePa[start + i] = sum[i]! + shock;
    }
    this.first = this.second = pressurePa[start + count - 1]!;
  }

  // Takes shocks into the sum, and from it what the drops take.
  private quiet(count: number): void {
    const { share, free, sum, part, perCorner } = this;
    let { first, second } = this;
    for (let i = 0; i < count; i++) {
      const x = share[i]!;
      if (!(x > 0)) {
        first = second = sum[i] = sum[i]! + part[i]!;
        continue;
      }
      const ratio = (HALF_FREE_WATER_RATIO * x) / (1 - x);
      // Slugs break up the cells of a choked jet as well.
      const level = (sum[i]! + free[i]! * part[i]!) / Math.sqrt(1 + WATER_QUIETING * ratio);
      const keep = 1 / (1 + perCorner * ratio);
      first += keep * (level - first);
      second += keep * (first - second);
      sum[i] = second;
    }
    this.first = first;
    this.second = second;
  }

  private spit(water: Float64Array, start: number, count: number): void {
    const { share, free, speed, rate, exposure, pitch, part, sum, perPower, dropKg, gurgleHz } = this;
    let isWet = this.isSounding;
    for (let i = 0; i < count; i++) {
      const x = share[i]!;
      if (!(x > 0)) {
        rate[i] = 0;
        continue;
      }
      isWet = true;
      const heavier = 1 / (1 - x);
      const dropMPerS = DROP_SPEED_RATIO * speed[i]!;
      // Most are thrown as a slug comes through.
      const burst = 0.3 + (0.7 * (1 - free[i]!)) / x;
      const wanted = water[start + i]! / (dropKg * heavier * heavier);
      const heard = wanted < MOST_DROPS_PER_S ? wanted : MOST_DROPS_PER_S;
      rate[i] = heard * (burst < 20 ? burst : 20);
      const powerW = SPLASH_EFFICIENCY * 0.5 * water[start + i]! * dropMPerS * dropMPerS;
      exposure[i] = (perPower * powerW) / heard;
      pitch[i] = DROP_HZ * (1 - 0.7 * x);
    }
    if (!isWet) {
      this.drops.skip(count);
      this.gurgle.skip(count);
      return;
    }
    this.drops.process(rate, exposure, pitch, part, count);
    for (let i = 0; i < count; i++) sum[i] = sum[i]! + part[i]!;
    for (let i = 0; i < count; i++) {
      const x = share[i]!;
      if (!(x > 0)) continue;
      const dropMPerS = DROP_SPEED_RATIO * speed[i]!;
      rate[i] = GURGLES_PER_S * Math.sqrt(x);
      const powerW = GURGLE_EFFICIENCY * 0.5 * water[start + i]! * dropMPerS * dropMPerS;
      exposure[i] = (perPower * powerW) / rate[i]!;
      pitch[i] = gurgleHz * (1.2 - 0.7 * x);
    }
    this.gurgle.process(rate, exposure, pitch, part, count);
    for (let i = 0; i < count; i++) sum[i] = sum[i]! + part[i]!;
  }
}
