import { describe, expect, it } from "vitest";
import { Junction } from "../../src/flow/junction.js";
import type { FiniteVolumePipe } from "../../src/flow/finite-volume-pipe.js";
import { air, closeLeftEnd, closeRightEnd, makePipe, readCell, setCell, soundSpeedOf } from "./perfect-gas.js";

const pressurePa = 101_325;
const temperatureK = 293.15;
const density = pressurePa / (287.05 * temperatureK);
const soundSpeed = soundSpeedOf(air, temperatureK);
const impedance = density * soundSpeed;
const stepS = 2 / 48_000;
const cellM = (soundSpeed * stepS) / 0.85;
const pulsePa = 0.5;
const pulseM = 0.5;

function pipeOf(lengthM: number, boreM: number): FiniteVolumePipe {
  const pipe = makePipe(air, { lengthM, boreM, cellCount: Math.floor(lengthM / cellM), stepS });
  pipe.reset(pressurePa, temperatureK, 0);
  return pipe;
}

/** A smooth pulse running right whose middle is `centreM` from the left end. */
function setPulse(pipe: FiniteVolumePipe, centreM: number): void {
  for (let i = 0; i < pipe.cellCount; i++) {
    const x = (((i + 0.5) * pipe.lengthM) / pipe.cellCount - centreM) / (0.5 * pulseM);
    if (Math.abs(x) >= 1) continue;
    const rise = pulsePa * Math.cos((Math.PI / 2) * x) ** 4;
    setCell(pipe, air, i, density + rise / soundSpeed ** 2, rise / impedance, pressurePa + rise);
  }
}

interface Arrival {
  readonly timeS: number;
  readonly size: number;
}

/** Pulses in a wave that passes one place: the moment of each one's middle and how much of it there is, Pa s. */
function arrivals(wave: readonly number[]): Arrival[] {
  const found: Arrival[] = [];
  const gap = Math.round(pulseM / soundSpeed / stepS / 4);
  let from = -1;
  let quiet = 0;
  for (let i = 0; i <= wave.length; i++) {
    const isLoud = i < wave.length && Math.abs(wave[i]) > 1e-3 * pulsePa;
    quiet = isLoud ? 0 : quiet + 1;
    if (isLoud && from < 0) from = i;
    if (from >= 0 && (quiet > gap || i === wave.length)) {
      let size = 0;
      let moment = 0;
      for (let j = Math.max(0, from - gap); j < i; j++) {
        size += wave[j];
        moment += wave[j] * j;
      }
      found.push({ timeS: (moment / size) * stepS, size: size * stepS });
      from = -1;
    }
  }
  return found;
}

describe("passages of different length and bore into one blast pipe", () => {
  const lengths = [1.3, 2.2, 6] as const;
  const bores = [0.12, 0.17, 0.165] as const;
  const areas = bores.map((bore) => (Math.PI / 4) * bore ** 2);
  const total = areas[0] + areas[1] + areas[2];

  // Plane waves at a junction: passed on 2 A_from / sum, thrown back 2 A_own / sum - 1. [source: textbook acoustics]
  it.each([0, 1])("a pulse from passage %s and its echoes arrive when and as large as linear theory says", (from) => {
    const other = 1 - from;
    const pipes = lengths.map((length, k) => pipeOf(length, bores[k]));
    const junction = new Junction([pipes[0], pipes[1]], pipes[2], air);
    junction.reset();
    const centreM = 0.5 * lengths[from];
    setPulse(pipes[from], centreM);
    const sizePaS = (pulsePa * pulseM * 0.375) / soundSpeed; // the mean of cos^4 is 3/8
    const blast: number[] = [];
    const back: number[] = [];
    const place = 3;
    for (let i = 0; i * stepS < 0.022; i++) {
      for (const pipe of pipes) pipe.process();
      closeLeftEnd(pipes[0]);
      closeLeftEnd(pipes[1]);
      closeRightEnd(pipes[2]);
      junction.process();
      const right = readCell(pipes[2], air, place);
      const left = readCell(pipes[from], air, place);
      blast.push(0.5 * (right.pressurePa - pressurePa + impedance * right.velocityMPerS));
      back.push(0.5 * (left.pressurePa - pressurePa - impedance * left.velocityMPerS));
    }
    const passed = (2 * areas[from]) / total;
    const thrown = passed - 1;
    const toPlace = ((place + 0.5) * lengths[2]) / pipes[2].cellCount;
    const run = lengths[from] - centreM + toPlace;
    const expected = [
      { way: run, size: passed },
      // Into the other passage, back from its shut end, and on.
      { way: run + 2 * lengths[other], size: passed * ((2 * areas[other]) / total) },
      // Back into its own passage, back from its shut end, and on.
      { way: run + 2 * lengths[from], size: thrown * passed },
    ]
      .filter(({ way }) => way / soundSpeed < 0.019)
      .sort((a, b) => a.way - b.way);
    const got = arrivals(blast);
    console.log(
      `from passage ${from}: ` +
        expected
          .map(
            ({ way, size }, i) =>
              `${((1e3 * way) / soundSpeed).toFixed(3)} ms ${size.toFixed(4)} (got ${(1e3 * got[i].timeS).toFixed(3)}, ${(got[i].size / sizePaS).toFixed(4)})`,
          )
          .join("; "),
    );
    expect(expected.length).toBeGreaterThan(1);
    expected.forEach(({ way, size }, i) => {
      // The step that carries a pulse to a place ends one step after it began.
      expect(Math.abs(got[i].timeS + stepS - way / soundSpeed)).toBeLessThan(stepS);
      expect(Math.abs(got[i].size / sizePaS - size)).toBeLessThan(2e-3);
    });
    const [first] = arrivals(back);
    const backWay = lengths[from] - centreM + lengths[from] - ((place + 0.5) * lengths[from]) / pipes[from].cellCount;
    expect(Math.abs(first.timeS + stepS - backWay / soundSpeed)).toBeLessThan(stepS);
    expect(Math.abs(first.size / sizePaS - thrown)).toBeLessThan(2e-3);
  });
});
