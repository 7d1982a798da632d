/** Specific gas constant of water, J/(kg K). [source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, eq. 1] */
export const WATER_GAS_CONSTANT_J_PER_KG_K = 461.526;

/** Reducing pressure and temperature of region 1 (liquid). [source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, section 5.1] */
export const REGION_1_REDUCING = { pressurePa: 16.53e6, temperatureK: 1386 } as const;

/** Reducing pressure and temperature of region 2 (vapour). [source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, section 6.1] */
export const REGION_2_REDUCING = { pressurePa: 1e6, temperatureK: 540 } as const;

/**
 * Region 1: gamma = sum n (7.1 - pi)^I (tau - 1.222)^J, as rows of I, J, n.
 * [source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, table 2]
 */
// prettier-ignore
export const REGION_1_TERMS: readonly number[] = [
  0, -2, 0.14632971213167,
  0, -1, -0.84548187169114,
  0, 0, -3.756360367204,
  0, 1, 3.3855169168385,
  0, 2, -0.95791963387872,
  0, 3, 0.15772038513228,
  0, 4, -0.016616417199501,
  0, 5, 0.00081214629983568,
  1, -9, 0.00028319080123804,
  1, -7, -0.00060706301565874,
  1, -1, -0.018990068218419,
  1, 0, -0.032529748770505,
  1, 1, -0.021841717175414,
  1, 3, -0.00005283835796993,
  2, -3, -0.00047184321073267,
  2, 0, -0.00030001780793026,
  2, 1, 0.000047661393906987,
  2, 3, -0.0000044141845330846,
  2, 17, -7.2694996297594e-16,
  3, -4, -0.000031679644845054,
  3, 0, -0.0000028270797985312,
  3, 6, -8.5205128120103e-10,
  4, -5, -0.0000022425281908,
  4, -2, -6.5171222895601e-7,
  4, 10, -1.4341729937924e-13,
  5, -8, -4.0516996860117e-7,
  8, -11, -1.2734301741641e-9,
  8, -6, -1.7424871230634e-10,
  21, -29, -6.8762131295531e-19,
  23, -31, 1.4478307828521e-20,
  29, -38, 2.6335781662795e-23,
  30, -39, -1.1947622640071e-23,
  31, -40, 1.8228094581404e-24,
  32, -41, -9.3537087292458e-26,
];

/**
 * Region 2, ideal-gas part: gamma = ln pi + sum n tau^J, as rows of J, n.
 * [source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, table 10]
 */
// prettier-ignore
export const REGION_2_IDEAL_TERMS: readonly number[] = [
  0, -9.6927686500217,
  1, 10.086655968018,
  -5, -0.005608791128302,
  -4, 0.071452738081455,
  -3, -0.40710498223928,
  -2, 1.4240819171444,
  -1, -4.383951131945,
  2, -0.28408632460772,
  3, 0.021268463753307,
];

/**
 * Region 2, residual part: gamma = sum n pi^I (tau - 0.5)^J, as rows of I, J, n.
 * [source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, table 11]
 */
// prettier-ignore
export const REGION_2_RESIDUAL_TERMS: readonly number[] = [
  1, 0, -0.0017731742473213,
  1, 1, -0.017834862292358,
  1, 2, -0.045996013696365,
  1, 3, -0.057581259083432,
  1, 6, -0.05032527872793,
  2, 1, -0.000033032641670203,
  2, 2, -0.00018948987516315,
  2, 4, -0.0039392777243355,
  2, 7, -0.043797295650573,
  2, 36, -0.000026674547914087,
  3, 0, 2.0481737692309e-8,
  3, 1, 4.3870667284435e-7,
  3, 3, -0.00003227767723857,
  3, 6, -0.0015033924542148,
  3, 35, -0.040668253562649,
  4, 1, -7.8847309559367e-10,
  4, 2, 1.2790717852285e-8,
  4, 3, 4.8225372718507e-7,
  5, 7, 0.0000022922076337661,
  6, 3, -1.6714766451061e-11,
  6, 16, -0.0021171472321355,
  6, 35, -23.895741934104,
  7, 0, -5.905956432427e-18,
  7, 11, -0.0000012621808899101,
  7, 25, -0.038946842435739,
  8, 8, 1.1256211360459e-11,
  8, 36, -8.2311340897998,
  9, 13, 1.9809712802088e-8,
  10, 4, 1.0406965210174e-19,
  10, 10, -1.0234747095929e-13,
  10, 14, -1.0018179379511e-9,
  16, 29, -8.0882908646985e-11,
  16, 50, 0.10693031879409,
  18, 57, -0.33662250574171,
  20, 20, 8.9185845355421e-25,
  20, 35, 3.0629316876232e-13,
  20, 48, -0.0000042002467698208,
  21, 21, -5.9056029685639e-26,
  22, 53, 0.0000037826947613457,
  23, 39, -1.2768608934681e-15,
  24, 26, 7.3087610595061e-29,
  24, 40, 5.5414715350778e-17,
  24, 58, -9.436970724121e-7,
];

/**
 * Region 4 (saturation line): n1 to n10 of the quadratic in theta and beta.
 * [source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, table 34]
 */
// prettier-ignore
export const REGION_4_COEFFICIENTS = [
  1167.0521452767,
  -724213.16703206,
  -17.073846940092,
  12020.82470247,
  -3232555.0322333,
  14.91510861353,
  -4823.2657361591,
  405113.40542057,
  -0.23855557567849,
  650.17534844798,
] as const;

/**
 * Boundary between regions 2 and 3: p = n1 + n2 T + n3 T^2, in MPa and K.
 * [source: IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, table 1 and eq. 5; from memory, checked against the printed point]
 */
// prettier-ignore
export const BOUNDARY_23_COEFFICIENTS = [
  348.05185628969,
  -1.1671859879975,
  0.0010192970039326,
] as const;
