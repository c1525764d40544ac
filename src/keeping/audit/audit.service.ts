import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Page } from '../../platform/pages/pages.js';
import type { AuditActorWithPerson, AuditEntryView, AuditQuery } from './audit.dto.js';
import { type AuditRow, auditRows } from './audit.queries.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

const NEWEST_FIRST = new Keyset('audit', { at: KEY.instant, id: KEY.uuid });

@Injectable()
export class AuditService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  async list({ limit, cursor, ...filters }: AuditQuery): Promise<Page<AuditEntryView>> {
    const page = NEWEST_FIRST.page({ limit, cursor }, filters);
    const { manager } = this.dataSource;
    const rows = await auditRows(manager, fleetScope().fleetId, filters, page.after, page.rowsToRead);
    return page.of(rows, viewOf);
  }
}

const camel = (column: string): string =>
  column.replaceAll(/_([a-z])/g, (_match, letter: string) => letter.toUpperCase());

function actorOf({
  actorKind,
  actor,
  tokenName,
  role,
  personId,
  personName,
}: AuditRow): AuditActorWithPerson {
  const person = personId === null || personName === null ? null : { id: personId, name: personName };
  return { kind: actorKind, id: actor, name: actorKind === 'person' ? personName : tokenName, role, person };
}

function viewOf(row: AuditRow): AuditEntryView {
  const { id, at, kind, subjectId, subjectName, action, changes, requestId } = row;
  return {
    id,
    at: new Date(at).toISOString(),
    actor: actorOf(row),
    kind,
    subjectId,
    subjectName,
    action,
    changes: Object.fromEntries(Object.entries(changes).map(([column, change]) => [camel(column), change])),
    requestId,
  };
}
