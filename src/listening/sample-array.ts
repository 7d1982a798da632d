/** A recorded or rendered signal, one channel, 1.0 = full scale of the file. */
export type SampleArray = Float32Array | Float64Array;
