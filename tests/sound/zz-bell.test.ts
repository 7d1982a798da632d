import { it } from "vitest";
import { OfflineRender } from "../../src/offline/render.js";
import { preset, request } from "../offline/renders.js";
it("wobbler", () => {
  const m = preset("pocket-wobbler");
  const r = new OfflineRender(request(m, { seconds: 3, fullScalePa: 1 }));
  const sums = new Map<string, [number, number]>();
  for (let b = r.next(); b !== null; b = r.next()) {
    [...b.stems, b.mix].forEach((s, i) => {
      const n = r.stemNames[i] ?? "mix"; const e = sums.get(n) ?? [0, 0];
      for (let k = 0; k < b!.frameCount; k++) { e[0] += s[k] ** 2 / r.totalFrames; e[1] = Math.max(e[1], Math.abs(s[k])); }
      sums.set(n, e);
    });
  }
  for (const [n, [p, k]] of sums) console.log(n, (10 * Math.log10(p / 4e-10)).toFixed(1), (20 * Math.log10(k / 2e-5)).toFixed(1));
});
