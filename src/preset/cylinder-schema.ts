import * as z from "zod";
import { quantity, whole } from "./fields.js";

// Every range in this file spans the smallest working models to the largest engines built, with room to spare; outside
// it a unit is wrong. [common practice]

/** What cylinders of every stage have of their own, bore and cranks aside. */
export const cylinderFields = {
  count: whole(1, 4, "How many, all alike.").optional(),
  pistonRod: quantity("length", "0 mm", "1 m", "Diameter of the piston rod.").optional(),
  clearance: quantity("ratio", "0.5 %", "60 %", "Volume left at dead centre over swept volume, each end.").optional(),
};

/** Field of the angles by which cranks lead the shaft. */
export function crankAnglesField(description: string): z.ZodOptional<z.ZodArray<z.ZodOptional<z.ZodType<number>>>> {
  return z
    .array(quantity("angle", "-360 deg", "360 deg", "By how much this crank leads the shaft.").optional())
    .meta({ description })
    .optional();
}
