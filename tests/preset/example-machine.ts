/** Its boiler, on one line. */
export const BOILER_LINE =
  "boiler: { pressure: 160 psi, superheat: 0 K, volume: 5 m3, water: 72 %, lowWater: 58 %, fire: { power: 5 MW, efficiency: 62 %, response: 4 min }, loss: 12 kW, safetyValve: { set: 160 psi, fullLift: 166 psi, reseat: 155 psi, area: 25 cm2 }, feed: { kind: injector, flow: 8000 kg/h, temperature: 60 degC }, blowdown: { area: 8 cm2 } }";

/** A machine file that gives every field of the contract. */
export const FULL_MACHINE = `formatVersion: 1
name: Harbour shunter        # free text: escaped wherever it is shown
kind: locomotive
workingFluid: steam
ambient: { pressure: 1.01325 bar abs, temperature: 15 degC, humidity: 60 % }
${BOILER_LINE}
cylinders:
  count: 2
  bore: 17 in
  stroke: 24 in
  acting: double
  connectingRod: 6 ft
  pistonRod: 2.5 in
  clearance: 8 %
  crankAngles: [0 deg, 90 deg]
valveGear:
  kind: eccentric
  admission: outside
  travel: 4.5 in
  steamLap: 1 in
  exhaustLap: 0 in
  lead: 1/4 in
  portLength: 14 in
  portWidth: 1.5 in
  lifts: true
exhaust:
  passage:   { length: 1.4 m, bore: 150 mm }
  blastPipe: { length: 1.1 m, bore: 165 mm }
  nozzle:    { bore: 118 mm, contraction: 150 mm }
  smokebox:  { volume: 3 m3, temperature: 300 degC }
  chimney:   { length: 1.2 m, bore: 400 mm }
leaks: { valve: 1 mm2, rings: 1 mm2, regulator: 1 mm2 }
chest: { volume: 12 L }
regulator: { area: 40 cm2 }
wheels: { diameter: 5 ft }
speed: 90 rpm
fullScale: 20 Pa
idealised: false
faults:
  - { kind: valveRodLength, cylinder: 1, by: 1 mm }
  - { kind: eccentricSlip, cylinder: 1, by: 2 deg }
  - { kind: quartering, cylinder: 2, by: 1 deg }
  - { kind: ringLeak, cylinder: 1, area: 5 mm2 }
  - { kind: portChoke, cylinder: 1, end: crank, to: 60 % }
blower: { area: 1.2 cm2 }
brake: { torque: 40 kN m }
load: none
motion: { reciprocatingMass: 260 kg, inertia: 1500 kg m2, friction: 1 psi, slack: 0.4 mm }
flywheel: none
train: { mass: 240 t, engine: 45 t, adhesion: 40 t, gradient: 0.5 %, grip: 25 %, slipGrip: 15 %, resistance: davis, frontal: 85 ft2, axles: 30 }
governor: none
gearing: none
drains: { area: 1.3 cm2 }
snifting: { area: 20 cm2 }
relief: { area: 6 cm2, pressure: 180 psi }
glands: { area: 1 mm2 }
whistle: { bells: [{ length: 140 mm, bore: 60 mm }, { length: 110 mm, bore: 60 mm }], slit: 0.5 mm, cutUp: 40 % }
track: { rail: 60 ft, gap: 6 mm, dip: 3 mm, axles: [0 m, 2 m, 4 m], axleLoad: 15 t }
`;

/** The four values that suffice, each replaceable. */
export function fourValues(
  values: { bore?: string; stroke?: string; pressure?: string; speed?: string } = {},
  more = "",
): string {
  const { bore = "17 in", stroke = "24 in", pressure = "160 psi", speed = "90 rpm" } = values;
  return `boiler: { pressure: ${pressure} }\ncylinders: { bore: ${bore}, stroke: ${stroke} }\nspeed: ${speed}\n${more}`;
}

/** The full machine with one line's text replaced. */
export function fullMachineWith(from: string, to: string): string {
  if (!FULL_MACHINE.includes(from)) throw new Error(from);
  return FULL_MACHINE.replace(from, to);
}
