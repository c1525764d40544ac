import type { MigrationInterface, QueryRunner } from 'typeorm';

/** The unit of each measure in a stored sentence. */
const UNIT = `case told.measure->>'measure' when 'distance' then 'km' when 'elevation' then 'm' when 'size' then 'mm'
  when 'engine-hours' then 'h' when 'temperature' then '°C' when 'volume' then 'L' when 'torque' then 'N·m' else 'kPa' end`;

/**
 * SQL for a sentence that was stored with its measures, in plain English and in their canonical
 * units.
 */
const plain = (sentence: string): string => `(select string_agg(
    said.words || coalesce(trim_scale(round((told.measure->>'value')::numeric, 2)) || ' ' || ${UNIT}, ''), '' order by said.place)
  from jsonb_array_elements_text(${sentence}->'said') with ordinality as said(words, place)
  left join jsonb_array_elements(${sentence}->'measures') with ordinality as told(measure, place) using (place))`;

const legacy = (text: string): string =>
  `jsonb_build_object('code', 'legacy', 'values', jsonb_build_object('text', ${text}))`;

/**
 * SQL for the words of a message if they are known, otherwise its code until the alert is evaluated
 * again.
 */
const words = (message: string): string =>
  `case ${message}->>'code' when 'legacy' then ${message}->'values'->>'text' else ${message}->>'code' end`;

const each = (list: string, entry: string): string =>
  `coalesce((select jsonb_agg(${entry} order by one.place) from jsonb_array_elements(${list}) with ordinality as one(entry, place)), '[]')`;

/**
 * Stores the texts of loss alerts and visit plans as codes and values. What was stored as text
 * stays readable, in English.
 */
export class TellLossAndPlansAsMessages1796040073027 implements MigrationInterface {
  name = 'TellLossAndPlansAsMessages1796040073027';

  async up(run: QueryRunner): Promise<void> {
    for (const [table, column] of [
      ['planned_lines', 'reason'],
      ['visit_plans', 'problem'],
    ] as const)
      await run.query(
        `alter table ${table} alter column ${column} type jsonb using case when ${column} is not null then ${legacy(column)} end`,
      );
    const inText = `case jsonb_typeof(one.entry) when 'string' then ${legacy(`one.entry #>> '{}'`)} else one.entry end`;
    const told = `case jsonb_typeof(one.entry->'text') when 'object' then ${plain(`(one.entry->'text')`)} else one.entry->>'text' end`;
    await this.rewrite(run, 'loss_alerts', {
      evidence: each(
        'evidence',
        `case when one.entry ? 'text' then (one.entry - 'text') || jsonb_build_object('message', ${legacy(told)}) else one.entry end`,
      ),
      check_next: each('check_next', inText),
      cautions: each('cautions', inText),
    });
    await this.rewrite(run, 'visit_plans', {
      depots: each(
        'depots',
        `case jsonb_typeof(one.entry->'note') when 'string' then jsonb_set(one.entry, '{note}', ${legacy(`one.entry->>'note'`)}) else one.entry end`,
      ),
    });
  }

  async down(run: QueryRunner): Promise<void> {
    await this.rewrite(run, 'visit_plans', {
      depots: each(
        'depots',
        `case jsonb_typeof(one.entry->'note') when 'object' then jsonb_set(one.entry, '{note}', to_jsonb(${words(`(one.entry->'note')`)})) else one.entry end`,
      ),
    });
    await this.rewrite(run, 'loss_alerts', {
      evidence: each(
        'evidence',
        `case when one.entry ? 'message' then (one.entry - 'message') || jsonb_build_object('text',
           jsonb_build_object('said', jsonb_build_array(${words(`(one.entry->'message')`)}), 'measures', '[]'::jsonb)) else one.entry end`,
      ),
      check_next: each('check_next', `to_jsonb(${words('one.entry')})`),
      // The previous version also stores cautions as codes.
      cautions: each(
        'cautions',
        `case one.entry->>'code' when 'legacy' then one.entry->'values'->'text' else one.entry end`,
      ),
    });
    for (const [table, column] of [
      ['planned_lines', 'reason'],
      ['visit_plans', 'problem'],
    ] as const)
      await run.query(`alter table ${table} alter column ${column} type text using ${words(column)}`);
  }

  /**
   * Changes the rows without triggers: nobody made a decision, so neither the audit nor an open
   * board must report it.
   */
  private async rewrite(run: QueryRunner, table: string, columns: Record<string, string>): Promise<void> {
    const changes = Object.entries(columns).map(([column, value]) => `${column} = ${value}`);
    await run.query(`alter table ${table} no force row level security`);
    await run.query(`alter table ${table} disable trigger user`);
    await run.query(`update ${table} set ${changes.join(', ')}`);
    await run.query(`alter table ${table} enable trigger user`);
    await run.query(`alter table ${table} force row level security`);
  }
}
