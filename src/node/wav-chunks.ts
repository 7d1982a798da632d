/** Sample formats a WAV file can hold: 16 and 24 bit whole numbers, 32 bit floating point. */
export type SampleFormat = "16" | "24" | "32f";

/** A stretch that repeats, in frames; both ends belong to it. */
export interface LoopMark {
  readonly firstFrame: number;
  readonly lastFrame: number;
}

/** A named place, in frames. */
export interface CueMark {
  readonly frame: number;
  readonly label: string;
}

/** What follows the samples. Every part may be empty. */
export interface WavTail {
  readonly loop: LoopMark | null;
  readonly cues: readonly CueMark[];
  /** RIFF INFO items by their four letters, such as `INAM` (title) and `ISFT` (software). */
  readonly info: Readonly<Record<string, string>>;
}

/** Length of the spare chunk that becomes `ds64` in files beyond 4 GiB. [source: EBU Tech 3306, RF64, 2009, section 3] */
export const sizeChunkBytes = 28;

/** Bytes of one sample of one channel. */
export function bytesPerSample(format: SampleFormat): number {
  return format === "16" ? 2 : format === "24" ? 3 : 4;
}

/** Bytes built up piece by piece, least significant first. */
export class ByteList {
  private readonly pieces: Buffer[] = [];

  text(fourLetters: string): this {
    this.pieces.push(Buffer.from(fourLetters, "latin1"));
    return this;
  }
  u16(value: number): this {
    const piece = Buffer.alloc(2);
    piece.writeUInt16LE(value);
    this.pieces.push(piece);
    return this;
  }
  u32(value: number): this {
    const piece = Buffer.alloc(4);
    piece.writeUInt32LE(value);
    this.pieces.push(piece);
    return this;
  }
  u64(value: number): this {
    const piece = Buffer.alloc(8);
    piece.writeBigUInt64LE(BigInt(value));
    this.pieces.push(piece);
    return this;
  }
  bytes(value: Buffer): this {
    this.pieces.push(value);
    return this;
  }
  toBuffer(): Buffer {
    return Buffer.concat(this.pieces);
  }
}

/** One RIFF chunk: letters, length, content and the pad byte that an odd length needs. */
export function chunk(fourLetters: string, content: Buffer): Buffer {
  const list = new ByteList().text(fourLetters).u32(content.length).bytes(content);
  if (content.length % 2 === 1) list.bytes(Buffer.alloc(1));
  return list.toBuffer();
}

// The tail of the sub-format GUID shared by PCM and IEEE float; the format tag stands before it.
// [source: Microsoft, WAVEFORMATEXTENSIBLE and KSDATAFORMAT_SUBTYPE_PCM, Windows driver documentation]
const subFormatTail = Buffer.from("000000001000800000aa00389b71", "hex");

/** The `fmt ` chunk: plain for 16 bit and for float, EXTENSIBLE for 24 bit and for more than two channels. */
export function formatChunk(sampleRateHz: number, channelCount: number, format: SampleFormat): Buffer {
  const sampleBytes = bytesPerSample(format);
  const tag = format === "32f" ? 3 : 1;
  const isExtensible = format === "24" || channelCount > 2;
  const content = new ByteList()
    .u16(isExtensible ? 0xfffe : tag)
    .u16(channelCount)
    .u32(sampleRateHz)
    .u32(sampleRateHz * channelCount * sampleBytes)
    .u16(channelCount * sampleBytes)
    .u16(sampleBytes * 8);
  if (isExtensible) {
    // One channel is the centre, two are left and right, more are left without a place: as Ambisonics has to be.
    // [source: Microsoft, MS-RDPEAI 2.2.2.3.1, channel mask]
    const channelMask = channelCount === 1 ? 0x4 : channelCount === 2 ? 0x3 : 0;
    content
      .u16(22)
      .u16(sampleBytes * 8)
      .u32(channelMask)
      .u16(tag)
      .bytes(subFormatTail);
  } else if (format === "32f") {
    content.u16(0);
  }
  return chunk("fmt ", content.toBuffer());
}

/** Everything up to the first sample, for `frameCount` frames. Beyond `riffLimitBytes` the file is RF64. */
export function wavHeader(
  sampleRateHz: number,
  channelCount: number,
  format: SampleFormat,
  frameCount: number,
  tailBytes: number,
  riffLimitBytes: number,
): Buffer {
  const dataBytes = frameCount * channelCount * bytesPerSample(format);
  const formatPart = formatChunk(sampleRateHz, channelCount, format);
  const factBytes = format === "32f" ? 12 : 0;
  const headBytes = 12 + 8 + sizeChunkBytes + formatPart.length + factBytes + 8;
  const riffBytes = headBytes - 8 + dataBytes + (dataBytes % 2) + tailBytes;
  const isLarge = riffBytes > riffLimitBytes;
  const unknown = 0xffffffff;
  const sizes = isLarge
    ? chunk("ds64", new ByteList().u64(riffBytes).u64(dataBytes).u64(frameCount).u32(0).toBuffer())
    : chunk("JUNK", Buffer.alloc(sizeChunkBytes));
  const head = new ByteList()
    .text(isLarge ? "RF64" : "RIFF")
    .u32(isLarge ? unknown : riffBytes)
    .text("WAVE")
    .bytes(sizes)
    .bytes(formatPart);
  if (factBytes > 0) head.bytes(chunk("fact", new ByteList().u32(isLarge ? unknown : frameCount).toBuffer()));
  return head
    .text("data")
    .u32(isLarge ? unknown : dataBytes)
    .toBuffer();
}

/** Cue points, their labels, the loop and the words of a file, in the order readers expect. */
export function wavTail(tail: WavTail, sampleRateHz: number): Buffer {
  const out = new ByteList();
  if (tail.cues.length > 0) {
    const cues = new ByteList().u32(tail.cues.length);
    const labels = new ByteList().text("adtl");
    tail.cues.forEach((cue, index) => {
      cues
        .u32(index + 1)
        .u32(cue.frame)
        .text("data")
        .u32(0)
        .u32(0)
        .u32(cue.frame);
      labels.bytes(chunk("labl", Buffer.concat([new ByteList().u32(index + 1).toBuffer(), wordBytes(cue.label)])));
    });
    out.bytes(chunk("cue ", cues.toBuffer())).bytes(chunk("LIST", labels.toBuffer()));
  }
  if (tail.loop !== null) {
    const middleC = 60; // the note at which a sampler plays the file at its own speed
    const nanoseconds = Math.round(1e9 / sampleRateHz);
    const sampler = new ByteList().u32(0).u32(0).u32(nanoseconds).u32(middleC).u32(0).u32(0).u32(0).u32(1).u32(0);
    sampler.u32(0).u32(0).u32(tail.loop.firstFrame).u32(tail.loop.lastFrame).u32(0).u32(0); // forward, endless
    out.bytes(chunk("smpl", sampler.toBuffer()));
  }
  const items = Object.entries(tail.info);
  if (items.length > 0) {
    const info = new ByteList().text("INFO");
    for (const [fourLetters, words] of items) info.bytes(chunk(fourLetters, wordBytes(words)));
    out.bytes(chunk("LIST", info.toBuffer()));
  }
  return out.toBuffer();
}

/** Words as a reader expects them: UTF-8, no zero byte inside, one at the end. */
function wordBytes(words: string): Buffer {
  return Buffer.from(`${words.replaceAll("\0", " ")}\0`, "utf8");
}
