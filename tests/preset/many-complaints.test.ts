import { describe, expect, it } from "vitest";
import { loadMachine } from "../../src/preset/machine-file.js";
import { fourValues, fullMachineWith as full } from "./example-machine.js";
import { complaintsOf } from "./loading.js";

describe("all faults at once", () => {
  it("in order of place, each with its own name", () => {
    const text = full("bore: 17 in", "bore: 305 m")
      .replace("kind: locomotive", "kind: tram")
      .replace("speed: 90 rpm", "speed: fast")
      .replace("portWidth", "portWith");
    const complaints = complaintsOf(text);
    expect(complaints.map((text) => text.split(" ").slice(0, 2).join(" "))).toEqual([
      "m.yaml:3:7 kind",
      "m.yaml:9:9 cylinders.bore",
      "m.yaml:24:3 valveGear.portWith",
      "m.yaml:36:8 speed",
    ]);
  });

  it("the first ten, then how many more", () => {
    const text = fourValues({}, Array.from({ length: 25 }, (_, i) => `zzzzzzzz${i}: 1`).join("\n"));
    const loaded = loadMachine(text, "m.yaml");
    expect(loaded.ok ? 0 : [loaded.errors.length, loaded.moreErrors]).toEqual([10, 15]);
  });

  it("long names and texts are cut, control characters left out", () => {
    const complaints = complaintsOf(
      fourValues({}, `"${"k".repeat(900)}\\e[31m": 1\nname: [1]\nkind: "<script>\\u202e${"y".repeat(3000)}"`),
    );
    expect(complaints.length).toBe(3);
    for (const text of complaints) expect(text.length).toBeLessThan(450);
  });

  it("rules that need a value which is itself wrong are left out", () => {
    // The stroke is wrong, so nothing is said of the rod that hangs on it; the bore is right, so the piston rod is judged.
    const text = full("stroke: 24 in", "stroke: 24")
      .replace("connectingRod: 6 ft", "connectingRod: 3 mm")
      .replace("pistonRod: 2.5 in", "pistonRod: 20 in");
    expect(complaintsOf(text).map((one) => one.split(" ")[1])).toEqual(["cylinders.stroke", "cylinders.pistonRod"]);
    // The travel is wrong: neither lap nor lead nor the shifted valve is judged.
    const valve = full("travel: 4.5 in", "travel: wide")
      .replace("steamLap: 1 in", "steamLap: 11 in")
      .replace("by: 1 mm", "by: 90 mm");
    expect(complaintsOf(valve).map((one) => one.split(" ")[1])).toEqual(["valveGear.travel"]);
    // The count is wrong: the cranks and the faults' cylinders are not counted.
    const count = full("count: 2", "count: 9").replace("quartering, cylinder: 2", "quartering, cylinder: 4");
    expect(complaintsOf(count).map((one) => one.split(" ")[1])).toEqual(["cylinders.count"]);
    // What was worked out from a wrong value is not judged either.
    const bore = fourValues(
      { bore: "x" },
      "exhaust: { blastPipe: { bore: 20 mm }, nozzle: { bore: 10 mm, contraction: 3 m } }",
    );
    expect(complaintsOf(bore).map((one) => one.split(" ")[1])).toEqual(["cylinders.bore"]);
  });
});
