/** The file is not what it begins as, or ends before what it began. */
export class DamagedFile extends Error {}

/** Reads a stream of bytes by counts, whatever the pieces it comes in, and holds no more than one of them. */
export class ByteReader {
  private piece: Buffer = Buffer.alloc(0);
  private readonly pieces: AsyncIterator<Buffer>;

  constructor(pieces: AsyncIterable<Buffer>) {
    this.pieces = pieces[Symbol.asyncIterator]();
  }

  /** Exactly so many bytes, in one buffer: for what is small. @throws DamagedFile */
  async take(count: number): Promise<Buffer> {
    const parts: Buffer[] = [];
    for await (const part of this.pass(count)) parts.push(part);
    return parts.length === 1 ? (parts[0] as Buffer) : Buffer.concat(parts);
  }

  /** So many bytes, piece by piece. @throws DamagedFile */
  async *pass(count: number): AsyncGenerator<Buffer> {
    for (let left = count; left > 0;) {
      const piece = await this.takePiece();
      if (piece.length > left) this.giveBack(piece.subarray(left));
      yield piece.subarray(0, left);
      left -= Math.min(piece.length, left);
    }
  }

  async skip(count: number): Promise<void> {
    for await (const _piece of this.pass(count));
  }

  /** Whatever comes next, at least one byte. @throws DamagedFile at the end */
  async takePiece(): Promise<Buffer> {
    while (this.piece.length === 0) {
      const next = await this.pieces.next();
      if (next.done) throw new DamagedFile();
      this.piece = next.value;
    }
    const { piece } = this;
    this.piece = Buffer.alloc(0);
    return piece;
  }

  /** Puts back the end of the piece that was taken last. */
  giveBack(rest: Buffer): void {
    this.piece = rest;
  }

  /** Reads to the end and keeps nothing. */
  async drain(): Promise<void> {
    try {
      for (;;) await this.takePiece();
    } catch (error) {
      if (!(error instanceof DamagedFile)) throw error;
    }
  }
}
