import { currentReader } from '../scope/fleet-scope.js';
import type { Message } from '../../domain/message.js';
import { type FieldFault, MOST_FAULTS, Problem, shownFault } from '../problems/problem.js';
import type { MatchedColumn } from './columns.js';
import type { FileEvidence } from './conventions.js';
import type { Delimiter } from './csv-text.js';
import type { ImportAnswer, ImportFault, ImportNotice } from './import.dto.js';
import type { Encoding } from './encodings.js';
import { message } from './messages.js';

/** How many faults and notices the answer shows. All of them are counted. */
const SHOWN = MOST_FAULTS;

export interface RowFault {
  column: string;
  detail: Message;
  /** The text of the cell. */
  value?: string;
}

/** @param header the column, as the file names it */
export type HearsFault = (line: number, header: string, detail: Message) => void;

/** Keeps the first entries by line, and counts all of them. */
class FirstByLine<T extends { line?: number }> {
  count = 0;
  private kept: T[] = [];

  add(entry: T): void {
    this.count++;
    this.kept.push(entry);
    if (this.kept.length >= 4 * SHOWN) this.kept = this.first();
  }

  first(): T[] {
    return this.kept.sort((a, b) => (a.line ?? 0) - (b.line ?? 0)).slice(0, SHOWN);
  }
}

const DELIMITERS = { ',': 'comma', ';': 'semicolon', '\t': 'tab', '|': 'bar' } as const;

const shown = (value: string): string => (value.length > 60 ? `${value.slice(0, 57)}…` : value);

const UNKNOWN = { value: null, decidedBy: null, cell: null };

/** Collects the outcome of every row of a file. */
export class ImportReport {
  rows = 0;
  accepted = 0;
  duplicate = 0;
  held = 0;
  private readonly badLines = new Set<number>();
  private readonly faults = new FirstByLine<FieldFault>();
  private readonly notices = new FirstByLine<FieldFault>();
  private headers = new Map<string, string>();
  private reading: ImportAnswer['reading'] = {
    ...{ encoding: 'utf-8', delimiter: 'comma', columns: [], decimal: UNKNOWN, dateOrder: UNKNOWN },
  };

  constructor(
    /** The import's id, used to undo it. */
    readonly importId: string,
    private readonly isPartial: boolean,
    private readonly isDryRun: boolean,
    /** Hears of every fault of every row; the report shows only the first. */
    private readonly hear: HearsFault = () => undefined,
  ) {}

  /**
   * True when nothing of the file will be kept, whatever follows. Expensive steps can then be
   * skipped.
   */
  get isDoomed(): boolean {
    return this.badLines.size > 0 && !this.isPartial;
  }

  understood(
    encoding: Encoding | null,
    delimiter: Delimiter | null,
    columns: readonly MatchedColumn[],
  ): void {
    this.headers = new Map(columns.map(({ column, header }) => [column, header]));
    this.reading = {
      ...this.reading,
      encoding,
      delimiter: delimiter === null ? null : DELIMITERS[delimiter],
      columns: columns.map(({ header, column, unit }) => ({ header, column, unit })),
    };
    if (encoding === 'windows-1252') this.notice({ detail: message('file-read-as-windows-1252') });
  }

  /** Stores how the number and date conventions were decided. */
  readBy(known: ReturnType<FileEvidence['verdict']>): void {
    this.reading = { ...this.reading, ...known };
  }

  /** Records a row that is not imported, and why. */
  reject(line: number, faults: readonly RowFault[]): void {
    this.badLines.add(line);
    for (const { column, detail, value } of faults) {
      const header = this.headers.get(column) ?? column;
      this.hear(line, header, detail);
      this.faults.add({
        line,
        column: header,
        ...(value === undefined ? {} : { value: shown(value) }),
        detail,
      });
    }
  }

  /** Records something that the sender should know about a row that is imported. */
  notice({ column, ...notice }: FieldFault): void {
    this.notices.add({
      ...notice,
      ...(column === undefined ? {} : { column: this.headers.get(column) ?? column }),
    });
  }

  /** @throws Problem 422 when a row is bad and partial imports were not allowed */
  answer(): ImportAnswer {
    const counts = {
      rows: this.rows,
      accepted: this.accepted,
      duplicate: this.duplicate,
      held: this.held,
      rejected: this.badLines.size,
    };
    const errors = this.faults.first();
    const notices = this.notices
      .first()
      .map((notice) => shownFault(notice, currentReader()) as unknown as ImportNotice);
    const about = {
      errorsLeftOut: this.faults.count - errors.length,
      notices,
      noticesLeftOut: this.notices.count - notices.length,
      reading: this.reading,
    };
    const importId = this.isDryRun ? null : this.importId;
    if (!this.isDoomed)
      return {
        dryRun: this.isDryRun,
        importId,
        ...counts,
        errors: errors.map((fault) => shownFault(fault, currentReader()) as unknown as ImportFault),
        ...about,
      };
    throw new Problem(
      422,
      'unacceptable-content',
      message('import-refused', { rejected: counts.rejected, rows: counts.rows }),
      errors,
      {},
      { dryRun: this.isDryRun, importId: null, ...counts, accepted: 0, duplicate: 0, held: 0, ...about },
    );
  }
}
