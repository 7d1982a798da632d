import WavEncoder from "wav-encoder";
import { FiniteVolumePipe } from "../flow/finite-volume-pipe.js";
import { LoudnessMeter } from "../listening/loudness-meter.js";
import { TruePeakMeter } from "../listening/true-peak-meter.js";
import { STANDARD_ATMOSPHERE_PA } from "../quantities/constants.js";
import { NoiseStream } from "../quantities/random.js";
import { Background } from "../sound/background.js";
import { Chimney } from "../sound/chimney.js";
import { FlowNoise } from "../sound/flow-noise.js";
import { HighPass } from "../sound/high-pass.js";
import { JetNoise } from "../sound/jet-noise.js";
import { Monopole } from "../sound/monopole.js";
import { PipeNoise } from "../sound/pipe-noise.js";
import { PipeNoiseColumns } from "../sound/pipe-noise-layout.js";
import { ShockNoise } from "../sound/shock-noise.js";
import { CombustionRoar } from "../sound/combustion-roar.js";
import { Patter } from "../sound/patter.js";
import { StruckModes } from "../sound/struck-modes.js";
import { WetJet } from "../sound/wet-jet.js";
import { STEAM_IN_BELL, WhistleBell } from "../sound/whistle-bell.js";
import { TickInterpolator } from "../sound/tick-interpolator.js";
import { createSteam } from "../steam/working-fluid.js";
import { block, cost, rateHz, type Row } from "./bench-cost.js";
import { locomotiveNs, voicesNs } from "./bench-machines.js";
import { columns } from "./terminal-text.js";

// `npm run bench`: what each part costs in processor time, as a ratio to a fixed reference loop. Nanoseconds of one machine
// say little about another; ratios say what became dearer.

const frames = 48_000;

/** The fixed reference: a second-order section over ten million samples, each waiting for the last. */
function referenceNs(): number {
  const count = 10_000_000;
  let kept = 0;
  const ns = cost(count, () => {
    let a = 0;
    let b = 0;
    for (let i = 0; i < count; i++) {
      const x = (i & 255) * 0.01 - 1;
      const y = 0.1 * x + a;
      a = 0.2 * x + 1.6 * y + b;
      b = 0.1 * x - 0.8 * y;
      kept = y;
    }
  });
  if (!Number.isFinite(kept)) throw new Error("the reference loop ran away");
  return ns;
}

function parts(): Row[] {
  const flow = Float64Array.from({ length: block }, (_, i) => 2 + Math.sin(i * 0.003));
  const speed = Float64Array.from({ length: block }, (_, i) => 200 + 100 * Math.sin(i * 0.003));
  const output = new Float64Array(block);
  const blocks = Math.ceil(frames / block);
  const each = (name: string, run: () => void): Row => ({
    name,
    nsPerSample: cost(blocks * block, () => {
      for (let i = 0; i < blocks; i++) run();
    }),
  });
  const interpolator = new TickInterpolator(4);
  const ticks = flow.subarray(0, block / 4);
  const chimney = new Chimney(rateHz, { smokeboxVolumeM3: 2.6, lengthM: 1.1, boreM: 0.4 });
  chimney.reset(2);
  const listener = { distanceM: 7.5, airDensityKgPerM3: 1.2 };
  const monopole = new Monopole(rateHz, listener);
  const jet = new JetNoise(rateHz, new NoiseStream(1, 0), { ...listener, boreM: 0.12, airSoundSpeedMPerS: 340 });
  const shock = new ShockNoise(rateHz, new NoiseStream(1, 1), { ...listener, boreM: 0.12, airSoundSpeedMPerS: 340 });
  const mach = new Float64Array(block).fill(1.2);
  const turbulence = new FlowNoise(rateHz, 4, new NoiseStream(1, 2));
  // Head in Pa, speed over width at the opening and in the pipe.
  const heads = Float64Array.from({ length: (3 * block) / 4 }, (_, i) => [3e4, 1e4, 1e3][i % 3]!);
  const columnsOf = new PipeNoiseColumns(0, 3, 2, 1);
  const stand = new Float64Array((columnsOf.count * block) / 4).fill(0.5);
  for (let t = 0; t < block / 4; t++)
    stand.fill(0.0021 + 1e-5 * Math.sin(t * 0.01), t * columnsOf.count, t * columnsOf.count + 6);
  const pipes = new PipeNoise(rateHz, 4, {
    branchCount: 2,
    hasTrunk: true,
    longestDelayS: 0.03,
    mouthLoadRatio: 1,
    mouthLoadS: 1e-4,
    passRatios: [1, 1, 1],
  });
  const sources = [flow, speed];
  const second = new Float64Array(block);
  const streams = (count: number) => Array.from({ length: count }, (_, k) => new NoiseStream(1, 10 + k));
  const jetAir = { ...listener, airSoundSpeedMPerS: 340 };
  const wet = new WetJet(rateHz, streams(7), { ...jetAir, boreM: 0.013, slugHz: 14 });
  const dry = new WetJet(rateHz, streams(7), { ...jetAir, boreM: 0.013, slugHz: 14 });
  const filled = (value: number) => new Float64Array(block).fill(value);
  const steam = filled(0.05);
  const water = filled(0.05);
  const none = filled(0);
  const half = filled(0.5);
  const patter = new Patter(rateHz, streams(1)[0]!, streams(2)[1]!, { spreadRatio: 2, quality: 8, sizePower: 1 });
  const rate = filled(300);
  const exposure = filled(1e-6);
  const pitch = filled(900);
  const heat = filled(2e6);
  const push = filled(2);
  const roar = new CombustionRoar(rateHz, streams(1)[0]!, { ...jetAir, outRatio: 0.1 });
  const bell = new WhistleBell(rateHz, streams(1)[0]!, {
    lengthM: 0.14,
    boreM: 0.06,
    slitM: 5e-4,
    cutUpRatio: 0.4,
    gas: STEAM_IN_BELL,
  });
  const modes = Array.from({ length: 8 }, (_, k) => ({ frequencyHz: 300 * (k + 1), lossRatio: 1e-4, paPerNs: 1 }));
  const body = new StruckModes(rateHz, modes, block);
  const background = new Background(rateHz, new NoiseStream(1, 3), 40);
  const highPass = new HighPass(rateHz);
  const loudness = new LoudnessMeter(rateHz, 1);
  const truePeak = new TruePeakMeter(1);
  const floats = Float32Array.from(flow, (q) => 0.2 * (q - 2));
  return [
    { name: "pipe, 12 cells, every 4th sample", nsPerSample: pipeNs(12) / 4 },
    { name: "steam tables, 5 volumes, every 4th sample", nsPerSample: (5 * lookNs()) / 4 },
    each("interpolator, one column", () => interpolator.processTicks(ticks, 0, 1, block / 4, output, 0)),
    each("chimney", () => chimney.process(flow, output, block)),
    each("monopole", () => monopole.process(flow, output, block)),
    each("jet hiss", () => jet.process(flow, speed, output, block)),
    each("shock noise, choked", () => shock.process(speed, mach, output, block)),
    each("flow noise of one opening", () => turbulence.process(heads, 3, 0, 1, 2, block / 4, output)),
    each("noise copy of three pipes, two noises", () =>
      pipes.process(stand, columnsOf.count, columnsOf, block / 4, sources, [speed], sources, output, second),
    ),
    each("wet jet, spitting", () => wet.process(steam, speed, mach, half, water, output, block)),
    each("wet jet, dry", () => dry.process(steam, speed, mach, half, none, output, block)),
    each("patter of 300 drops a second", () => patter.process(rate, exposure, pitch, output, block)),
    each("roar of a fire", () => roar.process(heat, output, block)),
    each("whistle's bell", () => bell.process(push, speed, output, block)),
    each("body of eight modes, ringing", () => {
      if (body.isIdle) body.strike(0.5, 1, 1e-4);
      body.process(output, block);
    }),
    each("background", () => background.process(output, block)),
    each("8 Hz high-pass", () => highPass.process(flow, output, block)),
    each("loudness meter", () => loudness.process([floats], block)),
    each("true-peak meter", () => truePeak.process([floats], block)),
    each("24-bit samples", () => {
      WavEncoder.encode.sync(
        { sampleRate: rateHz, channelData: [floats] },
        { bitDepth: 24, float: false, symmetric: true },
      );
    }),
  ];
}

function pipeNs(cellCount: number): number {
  const gas = {
    gasConstantJPerKgK: 461.5,
    isentropicExponent: 1.3,
    specificHeatJPerKgK: 2000,
    enthalpyOffsetJPerKg: 0,
  };
  const pipe = new FiniteVolumePipe(
    {
      lengthM: 0.075 * cellCount,
      boreM: 0.15,
      mouthBoreM: 0,
      contractionM: 0,
      cellCount,
      stepS: 1 / 12_000,
      frictionFactor: 0.02,
      dragRatio: 0,
    },
    gas,
  );
  pipe.reset(STANDARD_ATMOSPHERE_PA, 380, 0);
  const count = 20_000;
  return cost(count, () => {
    for (let i = 0; i < count; i++) {
      pipe.process();
      const mass = 0.5 + 0.4 * Math.sin(i * 0.01);
      const u = mass / (pipe.leftDensity * pipe.leftAreaM2);
      pipe.closeLeft(mass, u, pipe.leftArrivalPa + pipe.leftImpedance * u, mass * 7.6e5);
      const out = (pipe.rightArrivalPa - STANDARD_ATMOSPHERE_PA) / pipe.rightImpedance;
      const outMass = pipe.rightDensity * out * pipe.rightAreaM2;
      pipe.closeRight(outMass, out, STANDARD_ATMOSPHERE_PA, out * pipe.rightAreaM2 * 4.39e5);
    }
  });
}

function lookNs(): number {
  const steam = createSteam();
  const { query } = steam;
  const count = 200_000;
  return cost(count, () => {
    for (let i = 0; i < count; i++) {
      query[0] = 1 + 4 * ((i & 1023) / 1023);
      query[1] = i & 1024 ? 2.7e6 : 2.4e6;
      steam.look();
    }
  });
}

function main(): void {
  const reference = referenceNs();
  const hard = locomotiveNs(60, null);
  const locomotive = locomotiveNs(120, 0.3);
  const whole: Row = {
    name: "two-cylinder locomotive, 120 rpm, 30 % cut-off, all of it",
    nsPerSample: locomotive.whole,
  };
  const rows = [
    ...parts(),
    { name: "its gas and iron", nsPerSample: locomotive.engine },
    { name: "its noise, jets and chimney", nsPerSample: locomotive.whole - locomotive.engine },
    whole,
    { name: "the same, full gear at 60 rpm, nozzle choked", nsPerSample: hard.whole },
    ...voicesNs(),
  ];
  const realtimeRatio = 1e9 / (rateHz * whole.nsPerSample);
  if (process.argv.includes("--json")) {
    const parts = rows.map(({ name, nsPerSample }) => ({ name, nsPerSample, ratio: nsPerSample / reference }));
    console.log(JSON.stringify({ referenceNs: reference, realtimeRatio, parts }));
    return;
  }
  console.log("Processor time for one sample at 48 kHz, least of several repeats, and its ratio to one step of the");
  console.log(
    `reference loop (a second-order section, ${reference.toFixed(2)} ns here). Compare ratios, not nanoseconds.\n`,
  );
  console.log(
    columns(
      ["part", "ns", "ratio"],
      rows.map(({ name, nsPerSample }) => [name, nsPerSample.toFixed(1), (nsPerSample / reference).toFixed(1)]),
    ),
  );
  console.log(
    `\nThe locomotive runs ${realtimeRatio.toFixed(1)} times real time on one core, ` +
      `${(1e9 / (rateHz * hard.whole)).toFixed(1)} in full gear with the nozzle choked, files and meters aside.`,
  );
}

main();
