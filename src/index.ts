/**
 * fourbeat: describe a reciprocating steam machine and get its true sound. Pure core: no files, no browser, no clock.
 *
 * @example
 * const loaded = loadMachine(text, "mine.yaml");
 * if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
 * const render = openRender(renderRequest(loaded.value, { seconds: 4 }));
 * for (let block = render.next(); block !== null; block = render.next()) block.mix.subarray(0, block.frameCount);
 */
export { Engine } from "./engine/engine.js";
export { restingControls, sideControlIndex, sideControls, type SideControl } from "./engine/engine-controls.js";
export type { EngineDescription, ExhaustDescription, PipeDescription } from "./engine/engine-description.js";
export type { FittingsDescription, WhistleDescription } from "./engine/fittings-description.js";
export type { PlantDescription, SafetyValveDescription } from "./engine/plant-description.js";
export { PulseRecord } from "./engine/pulse-record.js";
export type { LoadDescription, RunningDescription, TrainDescription } from "./engine/running-description.js";
export { VoiceRecord } from "./engine/voice-record.js";
export { audibleShiftDeg, beatsOfTurn, type Beat, type BeatsOfTurn } from "./gear/beats.js";
export { resolveCutoff } from "./gear/equivalent-eccentric.js";
export type { CylinderEnd, CylinderGeometry, Fault, GearDescription, ValveGear } from "./gear/gear-description.js";
export { Motion } from "./gear/motion.js";
export { eventsOfTurn, type EndEvents } from "./gear/valve-events.js";
export { beatCentroids } from "./listening/beat-centroids.js";
export { LoudnessMeter } from "./listening/loudness-meter.js";
export { measureRealism } from "./listening/realism.js";
export { TruePeakMeter } from "./listening/true-peak-meter.js";
export { ControlTrack } from "./machine/control-track.js";
export { type Drive, type SideTracks, TimedDrive } from "./machine/drive.js";
export { Listener, type ListenerSettings } from "./machine/listener.js";
export { type ListenerPlace, type PickUpFormat, standingPoint, type StandingPoint } from "./machine/listener-place.js";
export { Machine, stemNames } from "./machine/machine.js";
export type { MachineSettings } from "./machine/machine-settings.js";
export { PlumeRecord, type PlumeTap, plumeUntil } from "./machine/plume.js";
export { restoreState, type SavedState, saveState } from "./machine/saved-state.js";
export { settle } from "./machine/settle.js";
export { type MachinePoint, sourcePlaces, type SourcePlaces } from "./machine/source-places.js";
export { relativeBeatLevelsDb } from "./offline/beat-levels.js";
export { caution } from "./offline/caution.js";
export { checkMachine, type CheckReport } from "./offline/check.js";
export { eventsReport, type EventsReport } from "./offline/events-report.js";
export { eventsText } from "./offline/events-text.js";
export { OfflineRender } from "./offline/render.js";
export {
  type BeatRow,
  renderRequest,
  type RenderedBlock,
  type RenderRequest,
  type RenderSource,
  type RenderSummary,
} from "./offline/render-request.js";
export { openRender } from "./offline/units-render.js";
export { turnRing } from "./pictures/turn-ring.js";
export type { TurnRingMachine, TurnRingReport } from "./pictures/turn-ring-content.js";
export { type Assumption, type Complaint, complaintText, type Loaded } from "./preset/complaint.js";
export { loadMachine, type MachineFile } from "./preset/machine-file.js";
export { type ControlPoint, loadRun, type MachinePath, readRunMachinePath, type RunFile } from "./preset/run-file.js";
export { formatQuantity, parseQuantity, requireQuantity } from "./quantities/units.js";
export type { Ground } from "./sound/ground-reflection.js";
export { saturationPressurePa, saturationTemperatureK } from "./steam/if97.js";
export { createAir, createSteam, WorkingFluid } from "./steam/working-fluid.js";
