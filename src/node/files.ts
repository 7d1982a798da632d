import * as fs from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { fileFault, InputFault, optionFault } from "./input-fault.js";
import { PartFiles, type DiskCalls } from "./part-file.js";

/** Longest machine or run file, in bytes: 1 MB, as the machine file's contract says. [common practice] */
export const longestTextBytes = 1_000_000;

/**
 * Reads a machine or run file.
 *
 * Looks before it reads: a folder, a device, a file of more than 1 MB or one that is not text is refused with one
 * `InputFault` that says which and what to do.
 */
export function readTextFile(path: string): string {
  let facts: fs.Stats;
  try {
    facts = fs.statSync(path);
  } catch (error) {
    throw readFault(path, error);
  }
  if (facts.isDirectory()) throw fileFault(path, "must be a file, got a folder. Name a file in it.");
  if (!facts.isFile()) throw fileFault(path, "must be a plain file, got a device or pipe. Save it to a file first.");
  if (facts.size > longestTextBytes) {
    const size = (facts.size / 1e6).toFixed(1);
    throw fileFault(path, `must be at most 1 MB, got ${size} MB. Is it a machine or run file?`);
  }
  let bytes: Buffer;
  try {
    bytes = fs.readFileSync(path);
  } catch (error) {
    throw readFault(path, error);
  }
  const notText = fileFault(path, "must be a text file in UTF-8, got something else. Is it a machine or run file?");
  if (bytes.includes(0)) throw notText;
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw notText;
  }
}

function readFault(path: string, error: unknown): InputFault {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "ENOENT" || code === "ENOTDIR") {
    return fileFault(
      path,
      "must be a file, got nothing of that name. 'fourbeat presets' lists the machines that ship.",
    );
  }
  if (code === "EACCES" || code === "EPERM") {
    return fileFault(path, "must be readable, got no permission. Change its permissions or copy it.");
  }
  if (code === "ENAMETOOLONG") return fileFault(path, "must be a shorter name than the system allows.");
  return fileFault(path, `must be readable, got ${code ?? String(error)} from the system. Copy it to another disk.`);
}

/**
 * What is wrong with writing `path`, in words, from the system's error.
 *
 * @param option the one that names another place
 */
export function writeFault(path: string, error: unknown, option = "-o"): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === undefined || (error as NodeJS.ErrnoException).syscall === undefined) return error;
  if (code === "ENOSPC" || code === "EDQUOT") {
    return fileFault(
      path,
      `the disk must have room for it, got a full disk. Free some room, or name another folder with ${option}.`,
    );
  }
  if (code === "EACCES" || code === "EPERM" || code === "EROFS") {
    return fileFault(path, `its folder must be writable, got no permission. Name another folder with ${option}.`);
  }
  if ((code === "ENOENT" || code === "ENOTDIR") && !isFolder(dirname(path))) {
    return fileFault(path, `its folder must exist, got none. Make the folder first, or name another with ${option}.`);
  }
  if (code === "ENAMETOOLONG") {
    return fileFault(path, `must be a shorter name than the system allows. Name another file with ${option}.`);
  }
  if (code === "EFBIG")
    return fileFault(path, "must fit the disk's largest file, got a longer one. Render fewer seconds.");
  return fileFault(path, `must be writable, got ${code} from the system. Name another folder with ${option}.`);
}

/** What is wrong with printing an answer, in words, from the system's error. */
export function printFault(error: NodeJS.ErrnoException): InputFault {
  const isFull = error.code === "ENOSPC" || error.code === "EDQUOT";
  const got = isFull ? "a full disk" : `${error.code ?? error.message} from the system`;
  return optionFault("standard output", `standard output must be writable, got ${got}. Send it elsewhere.`);
}

/**
 * Writes a whole text so that it appears complete or not at all.
 *
 * @param option the one that named `path`, for messages
 */
export function writeTextFile(path: string, text: string, disk: DiskCalls = fs, option = "-o"): void {
  const files = new PartFiles(disk);
  try {
    files.open(path).write(Buffer.from(text, "utf8"));
    files.publishAll();
  } catch (error) {
    files.abandonAll();
    throw writeFault(path, error, option);
  }
}

/** A file that a command is about to write. */
export interface PlannedOutput {
  /** The option that names it, for messages. */
  readonly option: string;
  readonly path: string;
}

/**
 * Checks, before any work is done, that every output can be written.
 *
 * Each must be a plain file or nothing yet, in a folder that exists and can be written, none of the inputs, and no two alike.
 */
export function requireOutputs(outputs: readonly PlannedOutput[], inputs: readonly string[]): void {
  const taken = new Map<string, string>();
  for (const input of inputs) taken.set(truePath(input), "the input");
  for (const { option, path } of outputs) {
    const refuse = (rule: string): InputFault => optionFault(option, `${option} ${rule}`);
    if (path === "" || path.includes("\0")) throw refuse("must be a file name, got none.");
    if (path.endsWith("/") || path.endsWith("\\") || isFolder(path)) {
      throw refuse(`must be a file, got the folder ${path.endsWith(".") ? `'${path}'` : path}. Add a file name to it.`);
    }
    if (fs.existsSync(path) && !fs.statSync(path).isFile()) {
      throw refuse(`must be a plain file, got the device or pipe ${path}. Name a file.`);
    }
    const folder = dirname(path);
    if (!isFolder(folder))
      throw refuse(`must stand in a folder that exists, got ${path}. Make the folder ${folder} first.`);
    try {
      fs.accessSync(folder, fs.constants.W_OK);
    } catch {
      throw refuse(`must stand in a folder that can be written, got ${path}. Name another folder.`);
    }
    const real = truePath(path);
    const owner = taken.get(real);
    if (owner !== undefined)
      throw refuse(`must be a file of its own, got ${path}, which is ${owner}. Name another file.`);
    taken.set(real, `the file of ${option}`);
  }
}

/** The folder where renders go when nothing is said, made if it is not there. */
export function defaultOutputFolder(): string {
  const folder = join("render", "out");
  try {
    fs.mkdirSync(folder, { recursive: true });
  } catch (error) {
    throw writeFault(folder, error);
  }
  return folder;
}

function isFolder(path: string): boolean {
  try {
    return fs.statSync(path).isDirectory();
  } catch {
    return false;
  }
}

/** The one path of a file, links followed, whether or not it exists yet. */
function truePath(path: string): string {
  try {
    return fs.realpathSync(path);
  } catch {
    try {
      return join(fs.realpathSync(dirname(path)), basename(path));
    } catch {
      return resolve(path);
    }
  }
}
