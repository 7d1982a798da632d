import { randomBytes } from "node:crypto";
import * as fs from "node:fs";
import { dirname } from "node:path";

/** The calls on the disk that writing needs, so that a test can stand a full disk in their place. */
export type DiskCalls = Pick<
  typeof fs,
  "openSync" | "writeSync" | "fsyncSync" | "closeSync" | "renameSync" | "unlinkSync"
>;

/**
 * A file that appears under its final name only when it is whole.
 *
 * `write` and `writeAt` fill a temporary file of its own, `name.RANDOM.part`, so that two runs towards one name never meet:
 * each publishes a whole file, and the later one stays. It is beside the final name, so that the rename stays on one disk.
 * `finish` puts it safely on the disk; `publish` gives it its name; `abandon` removes
 * it. Any call may throw the system's own error (ENOSPC, EACCES ...): `abandon` afterwards.
 */
export class PartFile {
  /** Bytes appended so far. */
  lengthBytes = 0;
  private readonly partPath: string;
  private descriptor: number;
  private isPublished = false;

  constructor(
    readonly finalPath: string,
    private readonly disk: DiskCalls = fs,
  ) {
    this.partPath = `${finalPath}.${randomBytes(6).toString("hex")}.part`;
    this.descriptor = disk.openSync(this.partPath, "wx"); // never through a file or link that is there already
  }

  /** Appends. */
  write(bytes: Uint8Array): void {
    this.writeAll(bytes, null);
    this.lengthBytes += bytes.length;
  }

  /** Overwrites bytes that were appended before. */
  writeAt(bytes: Uint8Array, positionBytes: number): void {
    this.writeAll(bytes, positionBytes);
  }

  /** Puts the content on the disk and closes; the name is still the temporary one. */
  finish(): void {
    this.disk.fsyncSync(this.descriptor);
    this.close();
  }

  /** After `finish`: gives the file its final name, in one step, replacing what had that name. */
  publish(): void {
    this.disk.renameSync(this.partPath, this.finalPath);
    this.isPublished = true;
  }

  /** Removes the temporary file. Safe to call at any time; a published file stays. */
  abandon(): void {
    try {
      this.close();
    } finally {
      if (!this.isPublished) removeIfThere(this.partPath, this.disk);
    }
  }

  private close(): void {
    if (this.descriptor < 0) return;
    const descriptor = this.descriptor;
    this.descriptor = -1;
    this.disk.closeSync(descriptor);
  }

  private writeAll(bytes: Uint8Array, positionBytes: number | null): void {
    let done = 0;
    while (done < bytes.length) {
      const position = positionBytes === null ? this.lengthBytes + done : positionBytes + done;
      done += this.disk.writeSync(this.descriptor, bytes, done, bytes.length - done, position);
    }
  }
}

/** Several files that appear together: none gets its name before all are whole. */
export class PartFiles {
  private files: PartFile[] = [];

  constructor(private readonly disk: DiskCalls = fs) {}

  open(finalPath: string): PartFile {
    const file = new PartFile(finalPath, this.disk);
    this.files.push(file);
    return file;
  }

  /** Leaves one of them out: its temporary file is removed, and it will not appear. */
  drop(file: PartFile): void {
    file.abandon();
    this.files = this.files.filter((other) => other !== file);
  }

  /** Call when every file has been written to its end. */
  publishAll(): void {
    for (const file of this.files) file.finish();
    for (const file of this.files) file.publish();
    for (const folder of new Set(this.files.map((file) => dirname(file.finalPath)))) this.syncFolder(folder);
  }

  /** Removes every temporary file. */
  abandonAll(): void {
    for (const file of this.files) file.abandon();
  }

  /** Makes the new names themselves last; not every system lets a folder be opened, and then nothing is lost but that. */
  private syncFolder(folder: string): void {
    try {
      const descriptor = this.disk.openSync(folder, "r");
      this.disk.fsyncSync(descriptor);
      this.disk.closeSync(descriptor);
    } catch {
      return;
    }
  }
}

/** Removes a file; content with there being none. */
function removeIfThere(path: string, disk: Pick<DiskCalls, "unlinkSync">): void {
  try {
    disk.unlinkSync(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOENT") throw error;
  }
}
