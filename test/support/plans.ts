import type pg from 'pg';

/** The cost of a statement, from EXPLAIN (ANALYZE, BUFFERS). */
export interface Cost {
  /** Tables that were read row by row, without an index. */
  seqScans: string[];
  indexes: string[];
  /** Rows that were read and discarded, over all nodes and loops. */
  rowsRemoved: number;
  /** 8 kB pages that were accessed. */
  buffers: number;
  rows: number;
  text: string;
}

interface PlanNode {
  'Node Type': string;
  'Relation Name'?: string;
  'Index Name'?: string;
  'Rows Removed by Filter'?: number;
  'Rows Removed by Index Recheck'?: number;
  'Shared Hit Blocks'?: number;
  'Shared Read Blocks'?: number;
  'Actual Rows': number;
  'Actual Loops': number;
  Plans?: PlanNode[];
}

function walk(node: PlanNode): PlanNode[] {
  return [node, ...(node.Plans ?? []).flatMap(walk)];
}

type Value = string | number | null | undefined | readonly string[];

const literal = (value: Value): string => {
  if (value === null || value === undefined) return 'null';
  if (typeof value === 'number') return String(value);
  const text = typeof value === 'string' ? value : `{${value.join(',')}}`;
  return `'${text.replaceAll("'", "''")}'`;
};

let prepared = 0;

/**
 * Runs a statement like the service, with the application's role and for a fleet, and returns its
 * cost.
 *
 * @param plan `force_custom_plan` plans for the values, as for an unnamed statement;
 * `force_generic_plan` plans as for a named statement after some runs
 */
export async function costOf(
  admin: pg.Client,
  fleetId: string,
  { text, values }: { text: string; values: readonly unknown[] },
  plan: 'force_custom_plan' | 'force_generic_plan',
): Promise<Cost> {
  const name = `measured_${++prepared}`;
  await admin.query('begin');
  try {
    await admin.query('set local role weephole_app');
    await admin.query("select set_config('app.fleet_id', $1, true)", [fleetId]);
    await admin.query(`set local plan_cache_mode = ${plan}`);
    await admin.query(`prepare ${name} as ${text}`);
    const given = values.length > 0 ? `(${values.map((value) => literal(value as Value)).join(', ')})` : '';
    const { rows } = await admin.query<{ 'QUERY PLAN': { Plan: PlanNode }[] }>(
      `explain (analyze, buffers, format json) execute ${name}${given}`,
    );
    const root = rows[0]?.['QUERY PLAN'][0]?.Plan;
    if (!root) throw new Error('no plan came back');
    const nodes = walk(root);
    return {
      seqScans: nodes
        .filter((node) => node['Node Type'] === 'Seq Scan')
        .map((node) => node['Relation Name'] ?? ''),
      indexes: nodes.flatMap((node) => node['Index Name'] ?? []),
      rowsRemoved: nodes.reduce(
        (sum, node) =>
          sum +
          ((node['Rows Removed by Filter'] ?? 0) + (node['Rows Removed by Index Recheck'] ?? 0)) *
            node['Actual Loops'],
        0,
      ),
      buffers: (root['Shared Hit Blocks'] ?? 0) + (root['Shared Read Blocks'] ?? 0),
      rows: root['Actual Rows'],
      text: JSON.stringify(root, null, 1),
    };
  } finally {
    await admin.query('rollback');
  }
}
