import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { fleetScope } from '../platform/scope/fleet-scope.js';
import {
  decodeCursor,
  filterDigest,
  INSTANT_PATTERN,
  type Page,
  pageOf,
  pageSize,
  UUID_PATTERN,
} from '../platform/pages/pages.js';
import type { AuditEntryView, AuditQuery } from './audit.dto.js';
import { type AuditRow, auditRows } from './audit.queries.js';

@Injectable()
export class AuditService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  async list({ limit, cursor, ...filters }: AuditQuery): Promise<Page<AuditEntryView>> {
    const size = pageSize(limit);
    const digest = filterDigest({ list: 'audit', ...filters });
    const after = decodeCursor(cursor, digest, [INSTANT_PATTERN, UUID_PATTERN]);
    const { manager } = this.dataSource;
    const rows = await auditRows(manager, fleetScope().fleetId, filters, after, size + 1);
    return pageOf(rows, size, ({ at, id }) => [at, id], digest, viewOf);
  }
}

const camel = (column: string): string =>
  column.replaceAll(/_([a-z])/g, (_match, letter: string) => letter.toUpperCase());

function viewOf(row: AuditRow): AuditEntryView {
  const { id, at, kind, subjectId, action, changes, requestId } = row;
  return {
    id,
    at: new Date(at).toISOString(),
    actor: { kind: row.actorKind, id: row.actor, name: row.tokenName, role: row.role },
    kind,
    subjectId,
    action,
    changes: Object.fromEntries(Object.entries(changes).map(([column, change]) => [camel(column), change])),
    requestId,
  };
}
