import { smokeboxDensityKgPerM3, smokeboxSoundSpeedMPerS } from "../engine/exhaust-network.js";
import { NoiseStream } from "../quantities/random.js";
import { FlowNoise } from "../sound/flow-noise.js";
import { JetNoise } from "../sound/jet-noise.js";
import { NoiseColour } from "../sound/noise-colour.js";
import { OpenPipe } from "../sound/open-pipe.js";
import { WideMouth } from "../sound/wide-mouth.js";
import { noiseStreams } from "./noise-streams.js";
import { positive, RowVoice } from "./row-voice.js";
import { roundBoreM } from "./steam-jets.js";
import type { VoiceMaking } from "./voice.js";

// Holes of the blower's ring. [common practice]
const holeCount = 16;
// Share of the sound power of jets under a chimney that leaves by it. [tuned: as for the blast, against a recorded locomotive's beats, 2026-11-25]
const upRatio = 0.0125;
// Fine hiss leaves a chimney as a beam: from k a = this on, less and less of it goes to the side. [source: directivity of an unflanged pipe, Levine & Schwinger, Phys. Rev. 73 (1948) 383]
const beamKa = 5;
// Turbulence of the stream beside that of a jet let into a pipe. [tuned: as for the blast, against a recorded locomotive's beats, 2026-11-25]
const streamRatio = 2;
// Gas drawn along, of the blower's steam, by mass. [common practice: ejectors of this kind draw some twice their steam]
const drawnRatio = 2;
// Where there is no chimney: one of this bore, in holes, and no pipe. [common practice]
const openBores = 12;

const mass = 0;
const speed = 1;
const head = 2;
const openingPerS = 3;
const pipePerS = 4;

/**
 * Blower: fine jets of steam under the chimney, whose hiss the chimney half swallows, and the stream of steam and drawn gas up
 * it, whose roar is the chimney's own. Both grow with the push of the steam.
 */
export class BlowerVoice extends RowVoice {
  private readonly jet: JetNoise;
  private readonly roar: FlowNoise;
  private readonly pipe: OpenPipe | null;
  private readonly mouth: WideMouth;
  private readonly beam: NoiseColour;
  private readonly roarPa: Float64Array;
  private readonly boreM: number;
  private readonly areaM2: number;
  private readonly holeM: number;
  private readonly hissGain: number;
  private readonly roarGain: number;
  private readonly densityKgPerM3: number;
  private lastWave = 0.5;

  constructor(private readonly making: VoiceMaking) {
    super("blower", making, 5, 1);
    const { sampleRateHz, samplesPerRow, seed, noisePeriod, distanceM, description } = making;
    const { smokebox, chimney } = description.exhaust;
    const areaM2 = description.plant?.blowerAreaM2 ?? 0;
    this.holeM = Math.min(5, Math.max(1e-4, roundBoreM(areaM2 / holeCount)));
    this.boreM = chimney?.boreM ?? openBores * this.holeM;
    this.areaM2 = 0.25 * Math.PI * this.boreM * this.boreM;
    const gasK = smokebox?.temperatureK ?? description.ambient.temperatureK;
    const soundSpeed = smokeboxSoundSpeedMPerS(gasK);
    this.densityKgPerM3 = smokeboxDensityKgPerM3(description.ambient.pressurePa, gasK);
    const around = { airDensityKgPerM3: this.densityKgPerM3, airSoundSpeedMPerS: soundSpeed, distanceM };
    const jetNoise = new NoiseStream(seed, noiseStreams.blower, noisePeriod);
    this.jet = new JetNoise(sampleRateHz, jetNoise, { ...around, boreM: this.holeM });
    const outside = making.airDensityKgPerM3 * making.airSoundSpeedMPerS;
    this.hissGain = chimney === null ? 1 : Math.sqrt((upRatio * outside) / (this.densityKgPerM3 * soundSpeed));
    const roarNoise = new NoiseStream(seed, noiseStreams.blower + 1, noisePeriod);
    this.roar = new FlowNoise(sampleRateHz, samplesPerRow, roarNoise);
    this.pipe =
      chimney === null
        ? null
        : new OpenPipe(sampleRateHz, {
            lengthM: Math.min(50, Math.max(0.02, chimney.lengthM)),
            boreM: Math.min(5, Math.max(1e-3, chimney.boreM)),
            soundSpeedMPerS: Math.min(1000, Math.max(100, soundSpeed)),
          });
    this.mouth = new WideMouth(sampleRateHz, 0.5 * this.boreM, making.airSoundSpeedMPerS);
    // A wave of pressure p carries the flow p A / rho c; a simple source of flow Q sounds as rho/(4 pi r) dQ/dt.
    this.roarGain =
      (streamRatio * making.airDensityKgPerM3 * sampleRateHz * this.areaM2) /
      (4 * Math.PI * distanceM * this.densityKgPerM3 * soundSpeed);
    const beamHz = (beamKa * making.airSoundSpeedMPerS) / (Math.PI * this.boreM);
    this.beam = new NoiseColour(sampleRateHz, [{ zeroRatio: Infinity, poleRatio: 1 }]);
    this.beam.baseHz = chimney === null ? 1e6 : beamHz;
    this.beam.follow();
    this.roarPa = new Float64Array(this.chunkFrames);
    this.silence();
  }

  protected override read(at: number): void {
    const { rows, holeM, boreM, areaM2, densityKgPerM3 } = this;
    const { record } = this.making;
    const steam = positive(record.blowerKgPerS);
    const velocity = positive(record.blowerMPerS);
    const streamMPerS = ((1 + drawnRatio) * steam) / (densityKgPerM3 * areaM2);
    rows[at + mass] = steam;
    rows[at + speed] = velocity;
    // Push of the jets, spread over the chimney.
    rows[at + head] = (steam * velocity) / areaM2;
    // Eddies of a jet that has grown to the chimney's half width move with about the geometric mean of the two speeds.
    const mixing = Math.sqrt(streamMPerS * velocity);
    rows[at + openingPerS] = mixing / Math.sqrt(holeM * boreM);
    rows[at + pipePerS] = mixing / boreM;
  }

  override isStill(): boolean {
    const { record } = this.making;
    return !(record.blowerKgPerS > 0 || record.blowerMPerS > 0);
  }

  protected override make(): void {
    const { jet, roar, pipe, mouth, beam, audio, pressurePa, roarPa, rows, chunkFrames, hissGain, roarGain } = this;
    this.standAtOnce(speed);
    if (this.isSeeking) jet.setNextSampleIndex(this.sampleIndex);
    if (this.isSeeking) roar.setNextSampleIndex(this.sampleIndex);
    jet.process(audio[mass]!, audio[speed]!, pressurePa, chunkFrames);
    beam.process(pressurePa, 0, chunkFrames);
    roar.process(rows, 5, head, openingPerS, pipePerS, this.making.rowsPerChunk, roarPa);
    if (pipe !== null) pipe.process(roarPa, roarPa, chunkFrames);
    mouth.process(roarPa, roarPa, chunkFrames);
    let last = this.lastWave;
    for (let i = 0; i < chunkFrames; i++) {
      const wave = roarPa[i]!;
      pressurePa[i] = hissGain * pressurePa[i]! + roarGain * (wave - last);
      last = wave;
    }
    this.lastWave = last;
  }

  protected override silence(): void {
    this.jet.reset();
    this.beam.reset();
    this.roar.reset();
    this.pipe?.reset();
    this.mouth.reset(0);
    this.lastWave = 0;
  }
}
