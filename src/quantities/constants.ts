/** Pressure of the standard atmosphere. [source: NIST SP 811 (2008), table B.8, exact] */
export const STANDARD_ATMOSPHERE_PA = 101_325;

/** Zero of the Celsius scale; absolute zero is 0 K, that is -273.15 °C. [source: NIST SP 811 (2008), B.9, exact] */
export const ZERO_CELSIUS_K = 273.15;

/** Sound pressure of 0 dB in gases. [source: ISO 1683:2015, table 1] */
export const REFERENCE_SOUND_PRESSURE_PA = 20e-6;

/** Specific gas constant of dry air. [source: ISO 2533:1975, Standard Atmosphere, 2.1] */
export const DRY_AIR_GAS_CONSTANT_J_PER_KG_K = 287.05287;

/** End correction of a thin-walled open end, per radius, low frequency. [source: Levine & Schwinger, Phys. Rev. 73 (1948) 383; their integral itself gives 0.6127] */
export const UNFLANGED_END_CORRECTION_RATIO = 0.6133;

/** End correction of an end in a wide flat wall, per radius, low frequency. [source: Nomura et al., J. Phys. Soc. Japan 15 (1960) 510; Norris & Sheng, JSV 135 (1989) 85] */
export const FLANGED_END_CORRECTION_RATIO = 0.8216;

/** Isentropic exponent of dry air near room temperature. [source: ISO 2533:1975, Standard Atmosphere, 2.1] */
export const DRY_AIR_ISENTROPIC_EXPONENT = 1.4;

/** Standard acceleration of free fall. [source: NIST SP 811 (2008), table B.8, exact] */
export const STANDARD_GRAVITY_M_PER_S2 = 9.80665;
