/** A machine file that gives every field of the contract. */
export const FULL_MACHINE = `formatVersion: 1
name: Harbour shunter        # free text: escaped wherever it is shown
kind: locomotive
workingFluid: steam
ambient: { pressure: 1.01325 bar abs, temperature: 15 degC, humidity: 60 % }
boiler: { pressure: 160 psi, superheat: 0 K }
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
exhaust:
  passage:   { length: 1.4 m, bore: 150 mm }
  blastPipe: { length: 1.1 m, bore: 165 mm }
  nozzle:    { bore: 118 mm, contraction: 150 mm }
  smokebox:  { volume: 3 m3, temperature: 300 degC }
  chimney:   { length: 1.2 m, bore: 400 mm }
leaks: { valve: 1 mm2, rings: 1 mm2 }
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
