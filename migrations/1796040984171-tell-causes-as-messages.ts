import type { MigrationInterface, QueryRunner } from 'typeorm';

const legacy = (text: string): string =>
  `jsonb_build_object('code', 'legacy', 'values', jsonb_build_object('text', ${text}))`;

/** SQL for the words of a message if they are known, otherwise its code. */
const words = (message: string): string => `coalesce(${message}->'values'->>'text', ${message}->>'code')`;

/** SQL for a list of an outcome with every entry changed. */
const each = (list: string, entry: string): string =>
  `jsonb_build_object('${list}', coalesce((select jsonb_agg(${entry} order by one.place)
    from jsonb_array_elements(outcome->'${list}') with ordinality as one(entry, place)), '[]'))`;

const inOneText = (list: string, sentence: string): string =>
  `(select string_agg(${sentence}, '; also: ' order by told.place) from jsonb_array_elements(${list}) with ordinality as told(entry, place))`;

/**
 * Stores as codes and values why a line is open, and why a part of a report was set aside. What was
 * stored as text stays readable, in English.
 */
export class TellCausesAsMessages1796040984171 implements MigrationInterface {
  name = 'TellCausesAsMessages1796040984171';

  async up(run: QueryRunner): Promise<void> {
    await run.query('alter table due_lines rename column cause to causes');
    await run.query(
      `alter table due_lines alter column causes type jsonb
       using case when causes is not null then jsonb_build_array(${legacy('causes')}) end`,
    );
    await this.rewriteOutcomes(
      run,
      `(one.entry - 'cause') || jsonb_build_object('causes', case when one.entry->>'cause' is null then '[]'
         else jsonb_build_array(${legacy(`one.entry->>'cause'`)}) end)`,
      `(one.entry - 'detail') || jsonb_build_object('faults', jsonb_build_array(jsonb_build_object(
         'pointer', one.entry->'pointer', 'message', ${legacy(`one.entry->>'detail'`)})))`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await this.rewriteOutcomes(
      run,
      `(one.entry - 'causes') || jsonb_build_object('cause', ${inOneText(`one.entry->'causes'`, words('told.entry'))})`,
      `(one.entry - 'faults') || jsonb_build_object('detail', ${inOneText(`one.entry->'faults'`, words(`(told.entry->'message')`))})`,
    );
    await run.query('alter table due_lines add column cause text');
    await this.withoutTriggers(
      run,
      'due_lines',
      `update due_lines set cause = ${inOneText('causes', words('told.entry'))} where causes is not null`,
    );
    await run.query('alter table due_lines drop column causes');
  }

  private async rewriteOutcomes(run: QueryRunner, followUp: string, held: string): Promise<void> {
    await this.withoutTriggers(
      run,
      'job_reports',
      `update job_reports set outcome = outcome || ${each('followUps', followUp)} || ${each('held', held)}
       where outcome is not null`,
    );
  }

  /**
   * Changes the rows without triggers: nobody made a decision, so neither the audit nor an open
   * board must report it.
   */
  private async withoutTriggers(run: QueryRunner, table: string, update: string): Promise<void> {
    await run.query(`alter table ${table} no force row level security`);
    await run.query(`alter table ${table} disable trigger user`);
    await run.query(update);
    await run.query(`alter table ${table} enable trigger user`);
    await run.query(`alter table ${table} force row level security`);
  }
}
