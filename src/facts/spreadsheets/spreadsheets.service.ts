import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { createHash } from 'node:crypto';
import { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import type { SheetAnalysis } from '../../domain/spreadsheets/analyse.js';
import { wordsOf } from '../../domain/spreadsheets/header-names.js';
import { type Choices, columnChoices, NO_CHOICES, understand } from '../../domain/spreadsheets/mapping.js';
import { Spreadsheet } from '../../entities/spreadsheet.entity.js';
import { contentHash } from '../../platform/access/content-hash.js';
import { Clock } from '../../platform/clock/clock.js';
import type { Declared } from '../../platform/csv/encodings.js';
import { lockedRowOf, readPage } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import type { TakesChunks } from '../../platform/input/file-body.js';
import { lockRoom, noRoom } from '../../platform/limits/fleet-room.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';
import type { Page } from '../../platform/pages/pages.js';
import { conflict, notFound, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { IncomingFiles } from '../../platform/storage/incoming-files.js';
import { changedChoices } from './changed-choices.js';
import { message } from './messages.js';
import type { FileRead } from './reading/sheet-thread.js';
import { SheetThreads } from './reading/sheet-threads.js';
import { spoolSheet } from './receive-sheet.js';
import { factsOf } from './sheet-facts.js';
import type { MappingInput, SpreadsheetsQuery, UploadQuery } from './spreadsheet.dto.js';
import { spreadsheetView } from './spreadsheet-view.js';
import type { SpreadsheetSummary, SpreadsheetView } from './spreadsheet-view.dto.js';
import { countKept, insertPieces, mappingFor, piecesOf, removeExpired } from './spreadsheets.queries.js';

/** How long a file waits, and how many of a fleet do. */
const KEPT_DAYS = 7;
const MOST_KEPT = 20;
const DAY_MS = 86_400_000;

type Receive = <T>(take: TakesChunks<T>) => Promise<T>;
type Read = Extract<FileRead, { outcome: 'read' }>;

const NEWEST_FIRST = new Keyset('spreadsheets', { receivedAt: KEY.instant, id: KEY.uuid });

/** Identifies a header, so that the next file of the same form is read alike. */
export function shapeOf({ header }: Pick<SheetAnalysis, 'header'>): Buffer {
  const words = header.map((text) => wordsOf(text).join(' '));
  while (words.at(-1) === '') words.pop();
  return createHash('sha256').update(JSON.stringify(words)).digest();
}

/** The columns and the kind, as a look at the rows needs them. */
const lookedFor = (choices: Choices) => ({ ...choices, columns: columnChoices(choices) });

/** What is kept of what was found: not the texts of single cells. */
const kept = (analysis: SheetAnalysis): SheetAnalysis => ({ ...analysis, distinct: {} });

/** Keeps spreadsheets while their senders say what is in them. */
@Injectable()
export class SpreadsheetsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly threads: SheetThreads,
    private readonly incoming: IncomingFiles,
    private readonly clock: Clock,
  ) {}

  /** Reads a file and proposes how to understand it. Nothing of it is taken yet. */
  async receive(receive: Receive, query: UploadQuery, declared: Declared | null): Promise<SpreadsheetView> {
    const path = await this.incoming.newPath();
    try {
      const { sizeBytes, name } = await receive(async (chunks, given) => ({
        sizeBytes: await spoolSheet(chunks, path),
        name: given,
      }));
      const choices = { ...NO_CHOICES, kind: query.kind ?? null, sheet: query.sheet?.trim() ?? null };
      const { units } = fleetScope();
      const read = await this.threads.read({ path, declared, choices, sheet: choices.sheet, system: units });
      if (read.outcome === 'refused') throw unacceptable(read.faults);
      if (choices.sheet !== null) choices.sheet = namedSheet(read, choices.sheet);
      const fileName = (query.fileName?.trim() || name)?.slice(0, 200) ?? null;
      return await this.keep(read, choices, { sizeBytes, fileName });
    } finally {
      await this.incoming.discard(path);
    }
  }

  async list({ limit, cursor }: SpreadsheetsQuery): Promise<Page<SpreadsheetSummary>> {
    const page = NEWEST_FIRST.page({ limit, cursor }, {});
    const builder = this.dataSource.manager
      .createQueryBuilder(Spreadsheet, 's')
      .where('s.fleetId = :fleetId and s.keptUntil > :now', {
        fleetId: fleetScope().fleetId,
        now: this.clock.now(),
      });
    return page.of(await readPage(builder, page, 'DESC'), summaryOf);
  }

  async get(id: string): Promise<SpreadsheetView> {
    return spreadsheetView(await this.rowOf(id), fleetScope().units);
  }

  /** Changes how a file is understood, and looks at it again. */
  async change(id: string, input: MappingInput): Promise<SpreadsheetView> {
    const before = await this.rowOf(id);
    assertHasRows(before);
    const { units, fleetId } = fleetScope();
    const { questions } = understand(before, before.choices, units);
    const choices = changedChoices(before, input, questions);
    const sheet = choices.sheet ?? before.sheet;
    const analysis = await this.look({ ...before, sheet, choices });
    if (choices.headerRow !== null && analysis.headerRow !== choices.headerRow)
      throw unacceptable([
        { pointer: '/headerRow', detail: message('sheet-no-such-row', { given: choices.headerRow }) },
      ]);
    return this.transactions.write(async (tx) => {
      const row = await lockedRowOf(tx, Spreadsheet, id, 'spreadsheet');
      assertHasRows(row);
      const { facts } = await factsOf(tx, fleetId, analysis);
      const changed = { choices, sheet, facts, analysis: kept(analysis), version: row.version + 1 };
      await tx.update(Spreadsheet, { fleetId, id }, changed);
      return spreadsheetView(Object.assign(row, changed), units);
    }, 200);
  }

  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const { fleetId } = await lockedRowOf(tx, Spreadsheet, id, 'spreadsheet');
      await tx.delete(Spreadsheet, { fleetId, id });
    });
  }

  /** Looks at all rows by the choices of now. */
  async look(row: Spreadsheet): Promise<SheetAnalysis> {
    const { fleetId, units } = fleetScope();
    const place = row.sheets.findIndex(({ name }) => name === row.sheet);
    const pieces = await piecesOf(this.dataSource.manager, fleetId, { id: row.id, sheet: place });
    return this.threads.look({ pieces, choices: lookedFor(row.choices), system: units });
  }

  /** @throws Problem 404 when there is none, or it was kept long enough */
  async rowOf(id: string): Promise<Spreadsheet> {
    const { fleetId } = fleetScope();
    const row = await this.dataSource.manager.findOneBy(Spreadsheet, { fleetId, id });
    if (!row || row.keptUntil <= this.clock.now()) throw notFound('spreadsheet');
    return row;
  }

  private async keep(
    read: Read,
    choices: Choices,
    about: { sizeBytes: number; fileName: string | null },
  ): Promise<SpreadsheetView> {
    const scope = fleetScope();
    // The idempotency key applies to the file, whose content is known only now.
    const idempotency = scope.idempotency && { ...scope.idempotency, requestHash: contentHash(read.sha256) };
    const { row, analysis } = await this.rowFor(read, choices, about);
    return inFleet({ ...scope, idempotency }, () =>
      this.transactions.write(async (tx) => {
        const { fleetId } = scope;
        const now = this.clock.now();
        await lockRoom(tx, fleetId, 'spreadsheets');
        await removeExpired(tx, fleetId, now);
        const present = await countKept(tx, fleetId, now);
        if (present >= MOST_KEPT)
          throw noRoom('spreadsheets-full', message('sheets-full', { limit: MOST_KEPT }), {
            limit: MOST_KEPT,
            present,
          });
        row.facts = (await factsOf(tx, fleetId, analysis)).facts;
        await tx.insert(Spreadsheet, row);
        await insertPieces(tx, fleetId, row.id, read.sheets);
        return spreadsheetView(row, scope.units);
      }),
    );
  }

  /** The record of a file. A file whose header is known is read as the one before. */
  private async rowFor(
    read: Read,
    given: Choices,
    about: { sizeBytes: number; fileName: string | null },
  ): Promise<{ row: Spreadsheet; analysis: SheetAnalysis }> {
    const { fleetId, units } = fleetScope();
    const shape = shapeOf(read.analysis);
    const known = await mappingFor(this.dataSource.manager, fleetId, { shape, kind: given.kind });
    const choices =
      known === null ? given : { ...(known.choices as Choices), sheet: given.sheet, headerRow: null };
    const { pieces } = read.sheets.find(({ name }) => name === read.sheet) ?? { pieces: [] };
    const analysis =
      known === null
        ? read.analysis
        : await this.threads.look({ pieces, choices: lookedFor(choices), system: units });
    const now = this.clock.now();
    const row = Object.assign(new Spreadsheet(), {
      ...{ fleetId, id: uuidv7(), ...about, format: read.format, encoding: read.encoding },
      delimiter: read.delimiter,
      sha256: Buffer.from(read.sha256, 'hex'),
      receivedAt: now,
      keptUntil: new Date(now.getTime() + KEPT_DAYS * DAY_MS),
      sheets: read.sheets.map(({ name, rows, is1904 }) => ({ name, rows, is1904 })),
      ...{ unread: read.unread, sheet: read.sheet, choices, analysis: kept(analysis) },
      mappingFrom: known?.used_at ?? null,
      ...{ version: 1, takenAt: null, importId: null, hasRows: true },
    });
    return { row, analysis };
  }
}

/** The sheet that the sender named, as the file writes it. @throws Problem 422 when there is none */
function namedSheet({ sheet, sheets }: Read, given: string): string {
  if (sheet.trim().toLowerCase() === given.toLowerCase()) return sheet;
  const known = sheets.map(({ name }) => name).slice(0, 12);
  throw unacceptable([{ parameter: 'sheet', detail: message('sheet-no-such-sheet', { given, known }) }]);
}

/** @throws Problem 409 when the rows are no longer kept */
export function assertHasRows({ hasRows }: Spreadsheet): void {
  if (!hasRows) throw conflict('spreadsheet-rows-gone', message('sheet-rows-gone'));
}

function summaryOf(row: Spreadsheet): SpreadsheetSummary {
  const { id, fileName, format, hasRows, importId, analysis } = row;
  return {
    ...{ id, fileName, format, hasRows, importId, kind: analysis.kind, rows: analysis.rows },
    receivedAt: row.receivedAt.toISOString(),
    keptUntil: row.keptUntil.toISOString(),
    takenAt: row.takenAt?.toISOString() ?? null,
  };
}
