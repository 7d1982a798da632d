/**
 * The functions of `Math` that engines are free to round differently, made of + - * / and square roots only, so that
 * a render has the same bits everywhere. Relative error of each below 1e-15. None allocates and none throws.
 */
export { cbrt, cosh, exp, expm1, log, log10, log1p, log2, sinh, tanh } from "./portable-exponentials.js";
export { acos, asin, atan, atan2, cos, sin, tan } from "./portable-angles.js";
export { pow } from "./portable-power.js";
export { hypot } from "./portable-lengths.js";
