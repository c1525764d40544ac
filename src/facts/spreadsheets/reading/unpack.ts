import { configure, type Entry, type FileEntry, Uint8ArrayReader, ZipReader } from '@zip.js/zip.js';
import { LIMITS } from './limits.js';
import { message } from './messages.js';
import { UnreadableSheet } from './unreadable.js';

configure({ useWebWorkers: false });

/** The parts of a workbook by their paths. Nothing is unpacked before it is asked for. */
export class Package {
  private unpacked = 0;

  private constructor(private readonly parts: ReadonlyMap<string, FileEntry>) {}

  /** @throws UnreadableSheet when it is no workbook, or too large a one */
  static async open(bytes: Uint8Array): Promise<Package> {
    const parts = new Map<string, FileEntry>();
    try {
      for await (const entry of new ZipReader(new Uint8ArrayReader(bytes)).getEntriesGenerator()) {
        if (parts.size >= LIMITS.entries)
          throw new UnreadableSheet(message('sheet-file-too-many-parts', { most: LIMITS.entries }));
        if (isFile(entry)) parts.set(entry.filename.replaceAll('\\', '/').replace(/^\//, ''), entry);
      }
    } catch (error) {
      throw error instanceof UnreadableSheet ? error : new UnreadableSheet(message('sheet-file-damaged'));
    }
    if (parts.size === 0) throw new UnreadableSheet(message('sheet-file-damaged'));
    return new Package(parts);
  }

  has(path: string): boolean {
    return this.parts.has(path);
  }

  /**
   * Passes on the text of a part as it is unpacked. What the directory says of its size is not
   * believed: bytes are counted as they come.
   *
   * @throws UnreadableSheet when it is missing, damaged, encrypted or too large
   */
  async text(path: string, take: (text: string) => void): Promise<void> {
    const entry = this.parts.get(path);
    if (entry === undefined) throw new UnreadableSheet(message('sheet-file-damaged'));
    if (entry.encrypted) throw new UnreadableSheet(message('sheet-file-encrypted'));
    const decoder = new TextDecoder('utf-8', { fatal: true });
    let size = 0;
    const sink = new WritableStream<Uint8Array>({
      write: (chunk) => {
        size += chunk.length;
        this.count(chunk.length, size, entry.compressedSize);
        take(decoder.decode(chunk, { stream: true }));
      },
    });
    try {
      await entry.getData(sink, { useWebWorkers: false });
      take(decoder.decode());
    } catch (error) {
      throw error instanceof UnreadableSheet ? error : new UnreadableSheet(message('sheet-file-damaged'));
    }
  }

  private count(more: number, size: number, packed: number): void {
    this.unpacked += more;
    const isBomb = size > LIMITS.ratioFrom && size > LIMITS.ratio * Math.max(1, packed);
    if (!isBomb && this.unpacked <= LIMITS.unpackedBytes) return;
    const mebibytes = LIMITS.unpackedBytes / 1024 / 1024;
    throw new UnreadableSheet(message('sheet-file-unpacks-too-far', { mebibytes }));
  }
}

function isFile(entry: Entry): entry is FileEntry {
  return !entry.directory;
}
