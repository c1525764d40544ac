import { applyDecorators, HttpCode, Injectable, Post } from '@nestjs/common';
import { RouteConfig } from '@nestjs/platform-fastify';
import { ApiBody, ApiConsumes, ApiOkResponse, ApiOperation } from '@nestjs/swagger';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ManagerWork } from '../access/access.js';
import { Clock } from '../clock/clock.js';
import { fleetScope } from '../scope/fleet-scope.js';
import { Transactions } from '../database/transactions.js';
import { Problem } from '../problems/problem.js';
import type { ColumnSet } from './columns.js';
import { type CsvTable, openTable } from './csv-rows.js';
import { ImportAnswer, type ImportQuery } from './import.dto.js';
import { type HearsFault, ImportReport } from './import-report.js';
import { concludeImport, type ImportKind, insertImport, isOnlyImport } from './import-rows.js';
import { Upload } from './upload.js';
import { message } from './messages.js';

/** A `POST` route that takes a CSV file from a manager. */
export function ImportRoute(path: string, summary: string, description: string): MethodDecorator {
  return applyDecorators(
    Post(path),
    HttpCode(200),
    ManagerWork(),
    RouteConfig({ takesCsv: true }),
    ApiOperation({ summary, description }),
    ApiConsumes('text/csv'),
    ApiBody({ schema: { type: 'string' }, description: 'The file: a header and up to 100,000 rows' }),
    ApiOkResponse({ type: ImportAnswer }),
  );
}

/** Where the rows of an import come from, if they do not come as a CSV file. */
export interface ImportSource {
  /** Of the content. */
  readonly sha256: string;
  /** Prepares the rows, in the transaction that takes them. */
  open(tx: EntityManager, columns: ColumnSet, report: ImportReport): Promise<CsvTable>;
  /** Records the outcome in the same transaction. Not called on a trial run. */
  concluded(tx: EntityManager, answer: ImportAnswer): Promise<void>;
  /** Hears of every fault of every row. */
  readonly hear?: HearsFault;
}

/** The tables that an import adds rows to. */
const GROWING =
  'vehicles, vehicle_assignments, due_lines, usage_readings, usage_summaries, job_reports, job_lines';

/**
 * Updates the statistics of the tables that grow. Rows of the running transaction have no
 * statistics yet, and PostgreSQL planned its foreign-key checks when the tables were small. Each
 * new row would therefore scan all rows before it. Tables that someone else is analyzing are
 * skipped.
 */
async function countAnew(tx: EntityManager): Promise<void> {
  await tx.query(`analyze (skip_locked) ${GROWING}`);
}

/** Returns the same table, but updates the statistics between chunks. */
function countingRows(tx: EntityManager, table: CsvTable): CsvTable {
  return {
    ...table,
    async *chunks(size) {
      let taken = 0;
      for await (const chunk of table.chunks(size)) {
        // After 1, 2, 4, 8, … chunks.
        if (taken > 0 && (taken & (taken - 1)) === 0) await countAnew(tx);
        taken++;
        yield chunk;
      }
    },
  };
}

/**
 * Imports files: one transaction per file, all rows or none unless the request allows partial
 * imports.
 */
@Injectable()
export class Imports {
  constructor(
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  /** @param take imports the rows and reports each one; may run again from the beginning */
  run(
    kind: ImportKind,
    source: Upload | ImportSource,
    query: ImportQuery,
    columns: ColumnSet,
    take: (tx: EntityManager, table: CsvTable, report: ImportReport) => Promise<void>,
  ): Promise<ImportAnswer> {
    const isDryRun = query.dryRun === 'true';
    const work = async (tx: EntityManager): Promise<ImportAnswer> => {
      await tx.query(`select set_config('plan_cache_mode', 'force_custom_plan', true)`);
      await assertOnlyImport(tx);
      const id = uuidv7();
      const isUpload = source instanceof Upload;
      const hear = isUpload ? undefined : source.hear;
      const report = new ImportReport(id, query.partial === 'true', isDryRun, hear);
      const table = isUpload
        ? await openTable(source, columns, query, report)
        : await source.open(tx, columns, report);
      const scope = fleetScope();
      await insertImport(tx, scope, { id, kind, sha256: source.sha256, at: this.clock.now() });
      await take(tx, countingRows(tx, table), report);
      const answer = report.answer();
      await concludeImport(tx, scope, { id, fileName: query.fileName?.trim() ?? null }, answer);
      if (!isUpload && !isDryRun) await source.concluded(tx, answer);
      return answer;
    };
    const run = (): Promise<ImportAnswer> =>
      isDryRun ? this.transactions.tryOut(work) : this.transactions.write(work, 200);
    return source instanceof Upload ? source.using(run) : run();
  }
}

/** @throws Problem 409 while another import or undo of the fleet is running */
export async function assertOnlyImport(tx: EntityManager): Promise<void> {
  if (await isOnlyImport(tx, fleetScope())) return;
  throw new Problem(409, 'import-under-way', message('import-under-way'), [], { 'retry-after': '10' });
}
