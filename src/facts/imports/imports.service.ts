import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import type { ActorKind } from '../../platform/scope/actor-kinds.js';
import type { FileReading } from '../../platform/csv/import.dto.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Page } from '../../platform/pages/pages.js';
import { notFound } from '../../platform/problems/problem.js';
import type { ImportsQuery, ImportView } from './import-record.dto.js';
import { type ImportRow, importRows } from './imports.queries.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

const NEWEST_FIRST = new Keyset('imports', { importedAt: KEY.instant, id: KEY.uuid });

@Injectable()
export class ImportsService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  async list({ limit, cursor, kind }: ImportsQuery): Promise<Page<ImportView>> {
    const page = NEWEST_FIRST.page({ limit, cursor }, { kind });
    const { manager } = this.dataSource;
    const rows = await importRows(manager, fleetScope().fleetId, { kind }, page.after, page.rowsToRead);
    return page.of(rows, viewOf);
  }

  get(id: string): Promise<ImportView> {
    return shownImport(this.dataSource.manager, id);
  }
}

/** @throws Problem 404 when there is none */
export async function shownImport(manager: EntityManager, id: string): Promise<ImportView> {
  const [row] = await importRows(manager, fleetScope().fleetId, { id }, null, 1);
  if (!row) throw notFound('import');
  return viewOf(row);
}

function viewOf(row: ImportRow): ImportView {
  const { id, kind, fileName, sha256, importedAt } = row;
  return {
    ...{ id, kind, fileName, sha256, importedAt: new Date(importedAt).toISOString() },
    by: { kind: row.actorKind as ActorKind, id: row.actor, name: row.tokenName, role: row.role },
    rows: row.rows ?? 0,
    accepted: row.accepted ?? 0,
    duplicate: row.duplicate ?? 0,
    held: row.held ?? 0,
    rejected: row.rejected ?? 0,
    reading: row.reading as FileReading,
    undone: row.undoneAt && {
      at: row.undoneAt.toISOString(),
      by: {
        kind: row.undoneByKind as ActorKind,
        id: row.undoneBy ?? '',
        name: row.undoneByTokenName,
        role: row.undoneByRole,
      },
      vehicles: row.undoneVehicles ?? 0,
      usageReadings: row.undoneUsageReadings ?? 0,
      jobReports: row.undoneJobReports ?? 0,
    },
  };
}
