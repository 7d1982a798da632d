/** Pressure of the standard atmosphere. [source: NIST SP 811 (2008), table B.8, exact] */
export const STANDARD_ATMOSPHERE_PA = 101_325;

/** Zero of the Celsius scale; absolute zero is 0 K, that is -273.15 °C. [source: NIST SP 811 (2008), B.9, exact] */
export const ZERO_CELSIUS_K = 273.15;

/** Sound pressure of 0 dB in gases. [source: ISO 1683:2015, table 1] */
export const REFERENCE_SOUND_PRESSURE_PA = 20e-6;

/** Specific gas constant of dry air. [source: ISO 2533:1975, Standard Atmosphere, 2.1] */
export const DRY_AIR_GAS_CONSTANT_J_PER_KG_K = 287.05287;

/** Isentropic exponent of dry air near room temperature. [source: ISO 2533:1975, Standard Atmosphere, 2.1] */
export const DRY_AIR_ISENTROPIC_EXPONENT = 1.4;
