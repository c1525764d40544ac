import { DamagedFile } from './damaged-file.js';
import { message } from '../messages.js';

/**
 * What is kept of a file: parts of it and what is put in their place, in order, without a copy of
 * either.
 */
export class KeptParts {
  private readonly parts: Buffer[] = [];
  private from = 0;
  private to = 0;

  constructor(private readonly file: Buffer) {}

  /** Keeps the bytes from `from` up to `to`. @throws DamagedFile when the file ends before */
  keep(from: number, to: number): void {
    if (to > this.file.length) throw new DamagedFile(message('file-ends-early'));
    if (from !== this.to) {
      this.flush();
      this.from = from;
    }
    this.to = to;
  }

  /** Puts bytes here that are not the file's. */
  add(...bytes: readonly Buffer[]): void {
    this.flush();
    this.parts.push(...bytes);
  }

  all(): Buffer[] {
    this.flush();
    return this.parts;
  }

  private flush(): void {
    if (this.to > this.from) this.parts.push(this.file.subarray(this.from, this.to));
    this.from = this.to;
  }
}
