import { DamagedFile } from './damaged-file.js';
import { message } from '../messages.js';

/**
 * The parts of a file that are kept, and the bytes inserted between them, in order. Copies neither.
 */
export class KeptParts {
  private readonly parts: Buffer[] = [];
  private from = 0;
  private to = 0;

  constructor(private readonly file: Buffer) {}

  /**
   * Keeps the bytes from `from` up to `to`.
   *
   * @throws DamagedFile when the file ends before `to`
   */
  keep(from: number, to: number): void {
    if (to > this.file.length) throw new DamagedFile(message('file-ends-early'));
    if (from !== this.to) {
      this.flush();
      this.from = from;
    }
    this.to = to;
  }

  /** Inserts bytes here that are not from the file. */
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
