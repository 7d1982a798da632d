/** Goes with every report. Own words; defers to whoever governs the engine. [common practice] */
export const caution =
  "A calculation, not an inspection: it says nothing about whether a boiler, an air receiver or an engine is safe to " +
  "run. Steam, compressed air and moving machinery can kill, and loud sound harms hearing. Follow the codes where you " +
  "are, and ask the licensed or competent person before an engine is put under steam or air.";
