import fc from "fast-check";
import { amount, field } from "./random-values.js";

/** Pumps without a crank: mostly right. */
export function randomPump(oddShare: number): fc.Arbitrary<unknown> {
  const f = (value: fc.Arbitrary<unknown>) => field(value, oddShare);
  const some = (fields: Record<string, fc.Arbitrary<unknown>>) => fc.record(fields, { requiredKeys: [] });
  const gear = some({
    portLength: f(amount(10, 200, "mm")),
    portWidth: f(amount(2, 20, "mm")),
    lostMotion: f(amount(10, 90, "%")),
    steamLap: f(amount(1, 50, "%")),
    cushion: f(amount(2, 30, "%")),
    cushionLeak: f(amount(1, 90, "%")),
    throwOver: f(amount(10, 500, "ms")),
  }).map((fields) => ({ kind: "tripped", ...fields }));
  const water = some({
    waterBore: f(amount(10, 300, "mm")),
    lift: f(amount(0.1, 30, "bar")),
    airVessel: fc.oneof(f(amount(1, 500, "L")), fc.constant("none")),
    movingMass: f(amount(1, 200, "kg")),
    valveLoss: f(amount(1, 200, "kPa")),
    friction: f(amount(1, 50, "kPa")),
  });
  const crank = fc.constantFrom({}, {}, {}, {}, { flywheel: { mass: "1 t" } }, { kind: "mill" }, { speed: "30 rpm" });
  return fc.tuple(gear, water, fc.integer({ min: 1, max: 3 }), crank).map(([valveGear, pump, count, more]) => ({
    ...{
      boiler: { pressure: "100 psi" },
      cylinders: { count, bore: "6 in", stroke: "8 in" },
      valveGear,
      pump,
      ...more,
    },
  }));
}
