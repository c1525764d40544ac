import type { EntityManager } from 'typeorm';
import type { PackedSheet } from './reading/sheet-thread.js';

/** How many pieces one statement carries. */
const AT_A_TIME = 20;

/** Stores the rows of a file, some pieces at a time. */
export async function insertPieces(
  tx: EntityManager,
  fleetId: string,
  id: string,
  sheets: readonly PackedSheet[],
): Promise<void> {
  const all = sheets.flatMap(({ pieces }, sheet) => pieces.map((rows, piece) => ({ sheet, piece, rows })));
  for (let from = 0; from < all.length; from += AT_A_TIME) {
    const some = all.slice(from, from + AT_A_TIME);
    await tx.query(
      `insert into spreadsheet_pieces (fleet_id, spreadsheet_id, sheet, piece, rows)
       select $1, $2, r.sheet, r.piece, r.rows from unnest($3::integer[], $4::integer[], $5::bytea[]) as r(sheet, piece, rows)`,
      [
        ...[fleetId, id, some.map(({ sheet }) => sheet), some.map(({ piece }) => piece)],
        some.map(({ rows }) => Buffer.from(rows)),
      ],
    );
  }
}

/** The pieces of a sheet in their order. */
export async function piecesOf(
  manager: EntityManager,
  fleetId: string,
  { id, sheet, from = 0, most }: { id: string; sheet: number; from?: number; most?: number },
): Promise<Buffer[]> {
  const rows = await manager.query<{ rows: Buffer }[]>(
    `select rows from spreadsheet_pieces where fleet_id = $1 and spreadsheet_id = $2 and sheet = $3 and piece >= $4
     order by piece limit $5`,
    [fleetId, id, sheet, from, most ?? null],
  );
  return rows.map((row) => row.rows);
}

export async function removePieces(tx: EntityManager, fleetId: string, id: string): Promise<void> {
  await tx.query('delete from spreadsheet_pieces where fleet_id = $1 and spreadsheet_id = $2', [fleetId, id]);
}

/** Removes the files of a fleet that are kept no longer, with their rows. */
export async function removeExpired(manager: EntityManager, fleetId: string, now: Date): Promise<void> {
  await manager.query('delete from spreadsheets where fleet_id = $1 and kept_until <= $2', [fleetId, now]);
}

/** How many files of a fleet have their rows kept. */
export async function countKept(tx: EntityManager, fleetId: string, now: Date): Promise<number> {
  const [row] = await tx.query<{ count: number }[]>(
    'select count(*)::integer as count from spreadsheets where fleet_id = $1 and kept_until > $2 and has_rows',
    [fleetId, now],
  );
  return row?.count ?? 0;
}

/** All unit numbers of a fleet. An index has them, so no vehicle is read. */
export async function unitNumbersOf(manager: EntityManager, fleetId: string): Promise<string[]> {
  const rows = await manager.query<{ unit_number: string }[]>(
    'select unit_number from vehicles where fleet_id = $1',
    [fleetId],
  );
  return rows.map(({ unit_number: unit }) => unit);
}

/** Makes depots that a file names. Those that exist by now stay as they are. @returns how many are new */
export async function insertDepots(
  tx: EntityManager,
  fleetId: string,
  depots: readonly { id: string; name: string }[],
): Promise<number> {
  const rows = await tx.query<{ id: string }[]>(
    `insert into depots (fleet_id, id, name) select $1, r.id, r.name from jsonb_to_recordset($2::jsonb) as r(id uuid, name text)
     on conflict (fleet_id, name) do nothing returning id`,
    [fleetId, JSON.stringify(depots)],
  );
  return rows.length;
}

/** Keeps what was chosen for files with a header, and forgets the oldest beyond a number. */
export async function keepMapping(
  tx: EntityManager,
  fleetId: string,
  kept: { shape: Buffer; kind: string; choices: unknown; at: Date },
  most: number,
): Promise<void> {
  await tx.query(
    `insert into spreadsheet_mappings (fleet_id, shape, kind, choices, used_at) values ($1, $2, $3, $4::jsonb, $5)
     on conflict (fleet_id, shape, kind) do update set choices = excluded.choices, used_at = excluded.used_at`,
    [fleetId, kept.shape, kept.kind, JSON.stringify(kept.choices), kept.at],
  );
  await tx.query(
    `delete from spreadsheet_mappings where fleet_id = $1 and (shape, kind) in (
       select shape, kind from spreadsheet_mappings where fleet_id = $1 order by used_at desc offset $2)`,
    [fleetId, most],
  );
}

export interface KeptMapping {
  kind: string;
  choices: unknown;
  used_at: Date;
}

/** What was chosen for a file with the same header, the last time. */
export async function mappingFor(
  manager: EntityManager,
  fleetId: string,
  { shape, kind }: { shape: Buffer; kind: string | null },
): Promise<KeptMapping | null> {
  const [row] = await manager.query<KeptMapping[]>(
    `select kind, choices, used_at from spreadsheet_mappings where fleet_id = $1 and shape = $2 and ($3::text is null or kind = $3)
     order by used_at desc limit 1`,
    [fleetId, shape, kind],
  );
  return row ?? null;
}
