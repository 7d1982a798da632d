/** First stream of every kind of noise; sources of a kind count on from it. [common practice: far enough apart for any machine] */
export const noiseStreams = {
  jet: 16,
  shock: 48,
  port: 100,
  mouth: 200,
  chimney: 250,
  leak: 300,
  airLeak: 400,
  steam: 500,
  background: 700,
  rolling: 800,
  railJoint: 801,
  tooth: 820,
} as const;
