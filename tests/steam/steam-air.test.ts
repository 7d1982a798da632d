import { describe, expect, it } from "vitest";
import { saturatedVapourProperties, vapourProperties } from "../../src/steam/if97.js";
import { mixedAirEnergyJPerKg } from "../../src/steam/mixed-air.js";
import { SteamAir, UNCOUNTED_AIR_RATIO, countedAirRatio } from "../../src/steam/steam-air.js";
import { createSteam } from "../../src/steam/working-fluid.js";

// Of dry air, J/(kg K). [source: ISO 2533:1975]
const airR = 287.05287;
const airHeat = airR / 0.4;

const steam = createSteam();
const mixture = new SteamAir(steam);

interface Parts {
  readonly volumeM3: number;
  readonly steamKg: number;
  readonly airKg: number;
  readonly energyJ: number;
}

/** A little air counts as steam: the share that must be given for this share to count. */
function given(counted: number): number {
  return UNCOUNTED_AIR_RATIO + counted * (1 - UNCOUNTED_AIR_RATIO);
}

function look({ volumeM3, steamKg, airKg, energyJ }: Parts, nearK = 350) {
  const massKg = steamKg + airKg;
  mixture.query.set([massKg / volumeM3, energyJ / massKg, given(airKg / massKg), nearK]);
  steam.nearStep = -1;
  mixture.look();
  return { pressurePa: steam.answer[0], temperatureK: steam.answer[1], shortJPerKg: steam.answer[2] };
}

/** Superheated steam of the equations and dry air in one cubic metre. */
function dryMixture(temperatureK: number, steamPa: number, airPa: number): Parts {
  const vapour = vapourProperties(temperatureK, steamPa);
  const steamKg = 1 / vapour.volumeM3PerKg;
  const airKg = airPa / (airR * temperatureK);
  const energyJ = steamKg * vapour.internalEnergyJPerKg + airKg * mixedAirEnergyJPerKg(temperatureK);
  return { volumeM3: 1, steamKg, airKg, energyJ };
}

// Each gas has the pressure that it would have alone. [source: Gibbs-Dalton rule; steam by IAPWS R7-97, air as perfect gas]
describe("steam and air in one room", () => {
  const shares = [1e3, 2e4, 1e5, 4e5, 1e6];
  it.each([380, 450, 550, 700])("at %s K press as steam alone and air alone do together", (temperatureK) => {
    for (const steamPa of [300, 5e3, 5e4, 1e5]) {
      for (const airPa of shares) {
        const { pressurePa, temperatureK: found } = look(dryMixture(temperatureK, steamPa, airPa));
        expect(Math.abs(pressurePa / (steamPa + airPa) - 1)).toBeLessThan(1e-3);
        expect(Math.abs(found - temperatureK)).toBeLessThan(0.1);
      }
    }
  });

  it("come out the same from wherever the search begins, wet or dry", () => {
    for (const energy of [1.2e6, 2e6, 2.3e6, 2.45e6, 2.6e6]) {
      for (const airKg of [1e-3, 0.2, 5, 100]) {
        const parts = { volumeM3: 1, steamKg: 0.5, airKg, energyJ: 0.5 * energy + airKg * mixedAirEnergyJPerKg(350) };
        const first = look(parts, 300);
        for (const nearK of [100, 273, 373, 600, 1500]) {
          const other = look(parts, nearK);
          expect(Math.abs(other.pressurePa / first.pressurePa - 1)).toBeLessThan(1e-6);
          expect(Math.abs(other.temperatureK - first.temperatureK)).toBeLessThan(1e-3);
        }
      }
    }
  });

  it("mix without heat or work to the temperature at which their energies stay", () => {
    // 0.4 m3 of steam of 3 bar and 500 K, 0.6 m3 of air of 2 bar and 400 K, the wall between them taken away.
    const before = vapourProperties(500, 3e5);
    const steamKg = 0.4 / before.volumeM3PerKg;
    const airKg = (2e5 * 0.6) / (airR * 400);
    const energyJ = steamKg * before.internalEnergyJPerKg + airKg * mixedAirEnergyJPerKg(400);
    // By the equations: T at which the steam, spread over 1 m3, and the air hold just that energy.
    let low = 380;
    let high = 520;
    let steamPa = 1e5;
    for (let i = 0; i < 60; i++) {
      const t = 0.5 * (low + high);
      for (let k = 0; k < 40; k++) steamPa *= vapourProperties(t, steamPa).volumeM3PerKg * steamKg;
      const held = steamKg * vapourProperties(t, steamPa).internalEnergyJPerKg + airKg * mixedAirEnergyJPerKg(t);
      if (held < energyJ) low = t;
      else high = t;
    }
    const mixed = look({ volumeM3: 1, steamKg, airKg, energyJ });
    console.log(`mixed at ${low.toFixed(2)} K by IF97, ${mixed.temperatureK.toFixed(2)} K by the tables`);
    expect(Math.abs(mixed.temperatureK - low)).toBeLessThan(0.1);
    expect(Math.abs(mixed.pressurePa / (steamPa + airKg * airR * low) - 1)).toBeLessThan(1e-3);
  });
});

describe("humid air", () => {
  it("saturated at 60 degC and one atmosphere holds 0.1525 kg of steam a kilogram, and a drop more makes it wet", () => {
    // Saturation pressure 19.946 kPa at 60 degC [source: IAPWS steam tables]; 0.62198 x 19.946 / (101.325 - 19.946) =
    // 0.15245, with real gases 0.1535 [source: ASHRAE Fundamentals, psychrometric table at sea level, from memory].
    const vapour = saturatedVapourProperties(19_946);
    const volumeM3 = (airR * 333.15) / (101_325 - 19_946);
    const steamKg = volumeM3 / vapour.volumeM3PerKg;
    expect(Math.abs(steamKg / 0.15245 - 1)).toBeLessThan(0.007);
    const energyOf = (kg: number) => kg * vapour.internalEnergyJPerKg + mixedAirEnergyJPerKg(333.15);
    const saturated = look({ volumeM3, steamKg, airKg: 1, energyJ: energyOf(steamKg) });
    expect(Math.abs(saturated.pressurePa / 101_325 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(saturated.temperatureK - 333.15)).toBeLessThan(0.1);
    // The same with as much water again, whose energy at 60 degC is 251.16 kJ/kg [source: IAPWS steam tables].
    const wet = look({ volumeM3, steamKg: 2 * steamKg, airKg: 1, energyJ: energyOf(steamKg) + steamKg * 251.16e3 });
    expect(steam.isWet).toBe(1);
    expect(Math.abs(wet.pressurePa / 101_325 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(wet.temperatureK - 333.15)).toBeLessThan(0.1);
    expect(wet.shortJPerKg).toBeGreaterThan(0);
  });

  it("of 20 degC and half saturated dews at 8.7 degC when cooled in a closed room", () => {
    // Steam in saturated air: 17.30 g/m3 at 20 degC, 8.28 at 8, 8.83 at 9 degC [source: handbook table, from memory]
    const steamKg = 0.5 * 0.0173;
    const airKg = 1.19;
    let dewK = 0;
    const start = airKg * mixedAirEnergyJPerKg(293.15) + steamKg * 2.4025e6; // of thin steam at 20 degC [source: IAPWS tables]
    for (let lost = 0; dewK === 0; lost += 20) {
      const { temperatureK } = look({ volumeM3: 1, steamKg, airKg, energyJ: start - lost });
      if (steam.isWet === 1) dewK = temperatureK;
    }
    expect(Math.abs(dewK - 273.15 - 8.7)).toBeLessThan(0.2);
  });
});

describe("nearly all air, and nearly none", () => {
  it("air with a trace of steam goes over into air alone, down to the cold of a deep expansion", () => {
    for (const temperatureK of [150, 250, 300, 700]) {
      for (const steamKg of [1e-3, 1e-4, 1e-6, 1e-9, 0]) {
        const energyJ = mixedAirEnergyJPerKg(temperatureK) * (1 + steamKg);
        const found = look({ volumeM3: 1, steamKg, airKg: 1, energyJ });
        const pa = (airR + steamKg * 461.5) * temperatureK; // gas constant of steam [source: IAPWS R7-97]
        expect(Math.abs(found.temperatureK - temperatureK)).toBeLessThan(1e-3 * 700 + 500 * steamKg);
        expect(Math.abs(found.pressurePa / pa - 1)).toBeLessThan(2e-3 * (steamKg > 1e-4 ? 1 : 0.15));
      }
    }
    steam.outOfRangeCount = 0;
    look({ volumeM3: 1, steamKg: 1e-3, airKg: 1, energyJ: 1.001 * mixedAirEnergyJPerKg(200) });
    expect(steam.outOfRangeCount).toBe(0);
    look({ volumeM3: 1, steamKg: 1e-3, airKg: 1, energyJ: 1.001 * mixedAirEnergyJPerKg(1500) });
    expect(steam.outOfRangeCount).toBe(1);
    steam.outOfRangeCount = 0;
  });

  it("where air begins to count, pressure and temperature do not jump", () => {
    expect(countedAirRatio(UNCOUNTED_AIR_RATIO)).toBe(0);
    expect(countedAirRatio(1)).toBe(1);
    for (const [density, energy] of [
      [0.6, 2.4e6],
      [3, 2.65e6],
      [0.5, 1.9e6],
    ]) {
      steam.lookup(density, energy);
      const { pressurePa, temperatureK } = steam;
      mixture.query.set([density, energy, UNCOUNTED_AIR_RATIO * 1.000001, 400]);
      steam.nearStep = -1;
      mixture.look();
      expect(Math.abs(steam.answer[0] / pressurePa - 1)).toBeLessThan(1e-8);
      expect(Math.abs(steam.answer[1] - temperatureK)).toBeLessThan(1e-6);
    }
  });

  it("what is no number gives no endless search", () => {
    mixture.query.set([NaN, NaN, 0.5, NaN]);
    mixture.look();
    mixture.query.set([1, 2.5e6, 0.5, NaN]);
    mixture.look();
    expect(steam.hasSlopes).toBe(0);
    expect(airHeat).toBeCloseTo(717.63, 1);
  });
});
