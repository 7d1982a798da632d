declare module "fft.js" {
  /** Radix-4 Fourier transform of a power-of-two size; complex arrays hold re, im in turn. */
  class FFT {
    constructor(size: number);
    readonly size: number;
    /** Fills re, im of bins 0 to size / 2 of `out` (2 x size long) from `data` (size real values). */
    realTransform(out: Float64Array, data: Float64Array): void;
    transform(out: Float64Array, data: Float64Array): void;
    /** Divides by the size. */
    inverseTransform(out: Float64Array, data: Float64Array): void;
  }
  export = FFT;
}
