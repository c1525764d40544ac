import type pg from 'pg';
import { type FleetTable, fleetTables } from '../fleet-data/fleet-tables.js';
import {
  asOwner,
  enterFleet,
  findFleet,
  type FleetName,
  inTransaction,
  listFleets,
} from '../fleet-data/owner-client.js';
import { DEFECT_SOURCES, DEFECT_STATES } from '../../domain/defects/defect.js';
import { DRIVER_LABELS } from '../../domain/defects/label-report.js';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import { READING_KINDS } from '../../domain/readings/kinds.js';
import { AUDITED, AUDITED_ACTIONS } from '../audit/audited.js';
import { ConfigError } from '../../platform/config/config.js';
import { raisingChangeNumber } from '../../platform/database/change-number.js';
import { ACTOR_KINDS } from '../../platform/scope/actor-kinds.js';
import { ROLES } from '../../platform/scope/roles.js';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';
import { message as reachMessage } from '../reach/messages.js';
import { message } from './messages.js';
import { newStandIn, patternsOf, type PersonPatterns, standInAddress } from './person.js';
import {
  changedIn,
  hintedIn,
  keptIn,
  makeReplacing,
  type PersonColumn,
  personColumns,
  replacedIn,
} from './person-columns.js';

export interface ForgetRequest {
  /** Names, sign-in subjects and addresses, as written in the records. */
  people: string[];
  /** Null means all fleets. */
  fleetId: string | null;
  /**
   * The stand-in of an earlier run, to forget the same person again; by default a new one is drawn.
   */
  standIn?: string;
  isDryRun?: boolean;
}

/** Number of rows in which a column mentioned the person. */
export interface ForgottenIn {
  fleetId: string | null;
  fleet: string | null;
  table: string;
  column: string;
  rows: number;
}

export interface Forgotten {
  standIn: string;
  dryRun: boolean;
  changed: ForgottenIn[];
  /** Where the person is still named, because the law asks for the name for some months. */
  kept: ForgottenIn[];
  /** Ids of the reminder targets that were turned off because their address was the person's. */
  targetsTurnedOff: string[];
  /** Ids of the people who count as having left, because they were this person. */
  peopleLeft: string[];
}

/** Words that the service itself writes. Replacing one would change the meaning of records. */
const OWN_WORDS = new Set<string>([
  ...[...COMPONENTS, ...ACTIONS, ...READING_KINDS, ...ROLES, ...ACTOR_KINDS, ...AUDITED, ...AUDITED_ACTIONS],
  ...[...DEFECT_SOURCES, ...DEFECT_STATES, ...DRIVER_LABELS],
  ...[
    'interval',
    'follow-up',
    'normal',
    'severe',
    'webhook',
    'email',
    'accepted',
    'held',
    'discarded',
    'voided',
  ],
  ...[
    'pass',
    'fail',
    'inconclusive',
    'yes',
    'no',
    'true',
    'false',
    'null',
    'distance',
    'time',
    'engine-hours',
  ],
]);

/**
 * These tables come last, because triggers on the others copy the old row into them, name included.
 */
const WRITTEN_BY_TRIGGERS = ['due_line_counts', 'audit_entries'];

/**
 * Replaces a person by a stand-in everywhere in the database, in one transaction.
 *
 * @throws ConfigError when the given values cannot identify anybody
 */
export function forgetPerson(databaseUrl: string, request: ForgetRequest): Promise<Forgotten> {
  const patterns = patternsFor(request.people);
  const { standIn = newStandIn(), isDryRun = false } = request;
  return asOwner(databaseUrl, 'forget', async (client) => {
    const fleets =
      request.fleetId === null ? await listFleets(client) : [await findFleet(client, request.fleetId)];
    return inTransaction(
      client,
      async () => {
        const forgotten: Forgotten = {
          standIn,
          dryRun: isDryRun,
          changed: [],
          kept: [],
          targetsTurnedOff: [],
          peopleLeft: [],
        };
        await makeReplacing(client, patterns, { name: standIn, address: standInAddress(standIn) });
        const tables = await fleetTables(client);
        for (const fleet of fleets) await forgetInFleet(client, tables, fleet, patterns, forgotten);
        await forgetCounts(client, patterns, forgotten);
        return forgotten;
      },
      { keep: !isDryRun },
    );
  });
}

function patternsFor(people: readonly string[]): PersonPatterns {
  const values = people.map((value) => value.trim());
  for (const value of values)
    if (OWN_WORDS.has(value.toLowerCase()))
      throw new ConfigError(message('command-person-own-word', { given: value }));
  return patternsOf(values);
}

async function forgetInFleet(
  client: pg.Client,
  tables: readonly FleetTable[],
  { id, name }: FleetName,
  patterns: PersonPatterns,
  forgotten: Forgotten,
): Promise<void> {
  await enterFleet(client, id);
  const before = forgotten.changed.length;
  const rank = (table: FleetTable): number => WRITTEN_BY_TRIGGERS.indexOf(table.name);
  const ordered = [...tables].sort((one, other) => rank(one) - rank(other));
  for (const table of ordered) {
    for (const [column, rows] of await keptInTable(client, table, id, patterns))
      forgotten.kept.push({ fleetId: id, fleet: name, table: table.name, column, rows });
    for (const [column, rows] of await forgetInTable(client, table, id, patterns))
      forgotten.changed.push({ fleetId: id, fleet: name, table: table.name, column, rows });
  }
  if (forgotten.changed.length === before) return;
  forgotten.targetsTurnedOff.push(...(await turnOffTargets(client, id, forgotten.standIn)));
  forgotten.peopleLeft.push(...(await letPersonLeave(client, id, forgotten.standIn)));
  // Cached responses stay valid until this number changes.
  await client.query(raisingChangeNumber(id));
}

/** @returns in how many rows of which columns the person was mentioned */
async function forgetInTable(
  client: pg.Client,
  table: FleetTable,
  fleetId: string,
  { hint }: PersonPatterns,
): Promise<[string, number][]> {
  const columns = personColumns(table.name, table.columns);
  if (columns.length === 0) return [];
  const isChanged = (column: PersonColumn): string => `(${hintedIn(column, 2)} and ${changedIn(column)})`;
  const sets = columns.map((column) => `${column.name} = ${replacedIn(column)}`);
  // A client that knows the row by its version has to reload it.
  if (table.columns.some(({ name }) => name === 'version')) sets.push('version = version + 1');
  const cast = ({ storage }: PersonColumn): string => (storage === 'json' ? '::jsonb' : '');
  const { rows } = await client.query<Record<string, number>>(
    `with changed as (
       update ${table.name} set ${sets.join(', ')}
       where ${table.fleetColumn} = $1 and (${columns.map(isChanged).join(' or ')})
       returning ${columns.map((column, n) => `old.${column.name}${cast(column)} is distinct from new.${column.name}${cast(column)} as c${n}`).join(', ')})
     select ${columns.map((_column, n) => `count(*) filter (where c${n})::int as c${n}`).join(', ')} from changed`,
    [fleetId, hint],
  );
  return columns
    .map(({ name }, n): [string, number] => [name, rows[0]?.[`c${n}`] ?? 0])
    .filter(([, count]) => count > 0);
}

/** @returns in how many rows of which columns the person stays named by law */
async function keptInTable(
  client: pg.Client,
  table: FleetTable,
  fleetId: string,
  { hint }: PersonPatterns,
): Promise<[string, number][]> {
  const kept: [string, number][] = [];
  for (const column of personColumns(table.name, table.columns)) {
    if (column.keptWhile === null) continue;
    const { rows } = await client.query<{ count: number }>(
      `select count(*)::int as count from ${table.name}
       where ${table.fleetColumn} = $1 and ${hintedIn(column, 2)} and ${keptIn(column)}`,
      [fleetId, hint],
    );
    if (rows[0]?.count) kept.push([column.name, rows[0].count]);
  }
  return kept;
}

/** Turns off targets that no longer have an address to send to. */
async function turnOffTargets(client: pg.Client, fleetId: string, standIn: string): Promise<string[]> {
  const { rows } = await client.query<{ id: string }>(
    `update reminder_targets set disabled_at = now(), disabled_reason = $3::jsonb
     where fleet_id = $1 and position($2 in address) > 0 and disabled_at is null and removed_at is null returning id`,
    [fleetId, standIn, JSON.stringify(message('target-of-forgotten-person'))],
  );
  return rows.map(({ id }) => id);
}

/**
 * Marks the people as having left whose whole name was the person's, takes away their badge, and
 * ends their tokens, sessions and sign-in links.
 */
async function letPersonLeave(client: pg.Client, fleetId: string, standIn: string): Promise<string[]> {
  const { rows } = await client.query<{ id: string }>(
    `update people set left_at = coalesce(left_at, now()), badge = null where fleet_id = $1 and name = $2 returning id`,
    [fleetId, standIn],
  );
  const ids = rows.map(({ id }) => id);
  await client.query(
    'update access_tokens set revoked_at = now() where fleet_id = $1 and person_id = any($2) and revoked_at is null',
    [fleetId, ids],
  );
  await client.query(
    'update sessions set revoked_at = now(), device = null where fleet_id = $1 and person_id = any($2)',
    [fleetId, ids],
  );
  await client.query('delete from sign_in_links where fleet_id = $1 and person_id = any($2)', [fleetId, ids]);
  await takeWorkOff(client, fleetId, ids);
  return ids;
}

/** Takes open visits off people who have left, and turns off the targets that were for their work. */
async function takeWorkOff(client: pg.Client, fleetId: string, ids: string[]): Promise<void> {
  await client.query(
    `with lines as (
       update due_lines l set visit_assignee = null where l.fleet_id = $1 and l.visit_assignee = any($2) and ${visitStands()} returning l.visit_id)
     update visits v set assigned_to = null, version = v.version + 1 where v.fleet_id = $1 and v.id in (select visit_id from lines)`,
    [fleetId, ids],
  );
  await client.query(
    `update reminder_targets set disabled_at = now(), disabled_reason = $3::jsonb
     where fleet_id = $1 and person_id = any($2) and disabled_at is null and removed_at is null`,
    [fleetId, ids, JSON.stringify(reachMessage('target-of-person-who-left'))],
  );
}

/**
 * A sign-in's requests are counted under its subject for a minute. These rows belong to no fleet
 * and are not worth keeping.
 */
async function forgetCounts(
  client: pg.Client,
  { hint }: PersonPatterns,
  forgotten: Forgotten,
): Promise<void> {
  const { rowCount } = await client.query(
    `delete from request_counts where key collate "pg_c_utf8" ~* $1 and pg_temp.without_person(key) <> key`,
    [hint],
  );
  if (rowCount)
    forgotten.changed.push({
      fleetId: null,
      fleet: null,
      table: 'request_counts',
      column: 'key',
      rows: rowCount,
    });
}
