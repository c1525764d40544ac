import type pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import type { BenchFleet } from '../build-fleets.js';
import { connect } from '../database.js';
import { atMost, type Figure, median, ms } from '../figure.js';
import { call } from '../post.js';
import { jobReport } from '../scenario.js';
import type { Stage } from '../stage.js';

const REPORTS = 120;
const WARM_UP = 400;
const MS_PER_HOUR = 3_600_000;

type Row = Record<string, unknown>;

/** The tables that one report fills, in the order of their references. */
const TABLES = [
  ['job_reports', 'id'],
  ['job_lines', 'job_report_id'],
  ['usage_readings', 'job_report_id'],
  ['readings', 'job_report_id'],
  ['completions', 'job_report_id'],
] as const;

interface Insert {
  text: string;
  name: string;
  rows: Row[];
}

/** Returns the statements that insert a stored report again, one for each table. */
async function insertsOf(admin: pg.Client, reportId: string): Promise<Insert[]> {
  const inserts: Insert[] = [];
  for (const [table, key] of TABLES) {
    const { rows } = await admin.query<Row>(`select * from ${table} where ${key} = $1`, [reportId]);
    const columns = Object.keys(rows[0] ?? {});
    const places = rows.map(
      (_, r) => `(${columns.map((_column, c) => `$${r * columns.length + c + 1}`).join(', ')})`,
    );
    inserts.push({
      name: table,
      text: `insert into ${table} (${columns.join(', ')}) values ${places.join(', ')}`,
      rows,
    });
  }
  return inserts;
}

const parameter = (value: unknown): unknown =>
  typeof value === 'object' && value !== null && !(value instanceof Date) && !Buffer.isBuffer(value)
    ? JSON.stringify(value)
    : value;

async function insertAnew(client: pg.Client, inserts: Insert[]): Promise<void> {
  const reportId = uuidv7();
  await client.query('begin');
  for (const { name, text, rows } of inserts) {
    const values = rows.flatMap((row) =>
      Object.entries(row).map(([column, value]) => {
        if (column === 'job_report_id' || (column === 'id' && name === 'job_reports')) return reportId;
        return column === 'id' ? uuidv7() : parameter(value);
      }),
    );
    await client.query({ name, text, values });
  }
  await client.query('commit');
}

/**
 * Posts a job report with eight readings, which is evaluated and stored, and compares it with bare
 * inserts of the same rows.
 */
export async function jobReportFigures({
  main: { admin, databaseUrl, fleets, service },
}: Stage): Promise<Figure[]> {
  const [fleet] = fleets as [BenchFleet];
  const { rows } = await admin.query<{ id: string }>('select id from vehicles where fleet_id = $1 limit $2', [
    fleet.id,
    REPORTS + WARM_UP,
  ]);
  const client = await connect(databaseUrl);
  const took: number[] = [];
  const bare: number[] = [];
  let inserts: Insert[] | null = null;
  for (const [index, { id }] of rows.entries()) {
    // PostgreSQL does this by itself every minute. Without it, the plans would date from when the
    // tables were empty.
    if (index === WARM_UP) await admin.query('analyze');
    const body = jobReport(id, new Date(Date.now() - MS_PER_HOUR).toISOString(), 120_050);
    const began = performance.now();
    const report = await call<{ id: string; readings: unknown[] }>(
      service.url,
      fleet.tokens.mechanic,
      '/v1/job-reports',
      body,
    );
    const ended = performance.now();
    if (report.readings.length !== 8) throw new Error(`${report.readings.length} readings of 8 were stored`);
    inserts ??= await insertsOf(admin, report.id);
    const start = performance.now();
    await insertAnew(client, inserts);
    if (index < WARM_UP) continue;
    took.push(ended - began);
    bare.push(performance.now() - start);
  }
  await client.end();
  return [
    atMost(
      'job-report-beside-bare-inserts',
      median(took) / median(bare),
      4,
      `p50 ${ms(median(took))} beside ${ms(median(bare))} for the inserts alone`,
    ),
  ];
}
