import type { MigrationInterface, QueryRunner } from 'typeorm';

/**
 * Makes the outcome of a report name the lines that it opened, instead of holding only their ids.
 */
export class NameLinesInOutcomes1796000200000 implements MigrationInterface {
  name = 'NameLinesInOutcomes1796000200000';

  async up(run: QueryRunner): Promise<void> {
    await this.rewrite(
      run,
      // A line that is gone for good was not in any list either.
      `coalesce((select jsonb_agg(jsonb_build_object('id', d.id, 'component', d.component, 'action', d.action, 'item', d.item,
          'atOnce', d.is_at_once, 'dueOn', case when isfinite(d.due_on) then d.due_on end, 'cause', d.cause) order by opened.place)
         from jsonb_array_elements_text(j.outcome->'followUps') with ordinality as opened(id, place)
         join due_lines d on d.fleet_id = j.fleet_id and d.id = opened.id::uuid), '[]')`,
      'string',
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await this.rewrite(
      run,
      `(select jsonb_agg(opened.line->'id' order by opened.place)
        from jsonb_array_elements(j.outcome->'followUps') with ordinality as opened(line, place))`,
      'object',
    );
  }

  private async rewrite(run: QueryRunner, followUps: string, from: 'string' | 'object'): Promise<void> {
    for (const table of ['job_reports', 'due_lines'])
      await run.query(`alter table ${table} no force row level security`);
    // Not a person's decision, so it must not appear in the audit.
    await run.query('alter table job_reports disable trigger user');
    await run.query(
      `update job_reports j set outcome = jsonb_set(j.outcome, '{followUps}', ${followUps})
       where jsonb_typeof(j.outcome->'followUps'->0) = '${from}'`,
    );
    await run.query('alter table job_reports enable trigger user');
    for (const table of ['job_reports', 'due_lines'])
      await run.query(`alter table ${table} force row level security`);
  }
}
