import { applyDecorators, HttpCode, Injectable, Post } from '@nestjs/common';
import { RouteConfig } from '@nestjs/platform-fastify';
import { ApiBody, ApiConsumes, ApiOkResponse, ApiOperation } from '@nestjs/swagger';
import type { EntityManager } from 'typeorm';
import { ManagerWork } from '../access/access.js';
import { fleetScope } from '../database/fleet-scope.js';
import { Transactions } from '../database/transactions.js';
import { Problem } from '../http/problem.js';
import type { ColumnSet } from './columns.js';
import { type CsvTable, openTable } from './csv-rows.js';
import { ImportAnswer, type ImportQuery } from './import.dto.js';
import { ImportReport } from './import-report.js';
import type { Upload } from './upload.js';

/** `POST` of a CSV file, by a manager. */
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

/** Takes files in: one transaction a file, all or nothing unless asked otherwise. */
@Injectable()
export class Imports {
  constructor(private readonly transactions: Transactions) {}

  /** @param take what is done with the rows; it tells the report of each of them, and may be run again from the beginning */
  run(
    upload: Upload,
    query: ImportQuery,
    columns: ColumnSet,
    take: (tx: EntityManager, table: CsvTable, report: ImportReport) => Promise<void>,
  ): Promise<ImportAnswer> {
    const isDryRun = query.dryRun === 'true';
    const work = async (tx: EntityManager): Promise<ImportAnswer> => {
      await this.oneAtATime(tx);
      const report = new ImportReport(query.partial === 'true', isDryRun);
      await take(tx, await openTable(upload, columns, report), report);
      return report.answer();
    };
    return upload.using(() =>
      isDryRun ? this.transactions.tryOut(work) : this.transactions.write(work, 200),
    );
  }

  /** Two files at once would wait for each other's vehicles, crosswise. */
  private async oneAtATime(tx: EntityManager): Promise<void> {
    const [lock] = await tx.query<{ free: boolean }[]>(
      'select pg_try_advisory_xact_lock(hashtextextended($1, 0)) as free',
      [`import ${fleetScope().fleetId}`],
    );
    if (!lock?.free)
      throw new Problem(
        409,
        'import-under-way',
        'Another file is being taken in for this fleet. Send this one when that has ended.',
        [],
        { 'retry-after': '10' },
      );
  }
}
