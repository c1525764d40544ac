import type { MigrationInterface, QueryRunner } from 'typeorm';

const IMPORT_UNDONE = 'the import was undone';
const FLEET_DELETED = 'the fleet is being deleted';
const SUPERSEDED = 'superseded by ';
const KEPT = '^kept for (\\d+) months?$';

const told = (code: string, values = `'{}'::jsonb`): string =>
  `jsonb_build_object('code', '${code}', 'values', ${values})`;

/** SQL for the text of a reason that a person typed. */
const TYPED = `void_reason #>> '{}'`;
const MONTHS = `(void_reason->'values'->>'months')`;

/**
 * Stores why the service itself voided a job report or an attachment as a code and values. What a
 * person typed stays text.
 */
export class TellVoidReasonsAsMessages1796054516520 implements MigrationInterface {
  name = 'TellVoidReasonsAsMessages1796054516520';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      `alter table job_reports alter column void_reason type jsonb using case
         when is_undone and void_reason = '${IMPORT_UNDONE}' then ${told('voided-import-undone')}
         when void_reason = '${SUPERSEDED}' || superseded_by_id::text
           then ${told('voided-superseded', `jsonb_build_object('by', superseded_by_id::text)`)}
         else to_jsonb(void_reason) end`,
    );
    await run.query(
      `alter table attachments alter column void_reason type jsonb using case
         when void_reason = '${FLEET_DELETED}' then ${told('voided-fleet-deleted')}
         when void_reason ~ '${KEPT}'
           then ${told('voided-past-retention', `jsonb_build_object('months', substring(void_reason from '${KEPT}')::integer)`)}
         else to_jsonb(void_reason) end`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(
      `alter table job_reports alter column void_reason type text using case void_reason->>'code'
         when 'voided-import-undone' then '${IMPORT_UNDONE}'
         when 'voided-superseded' then '${SUPERSEDED}' || (void_reason->'values'->>'by')
         else ${TYPED} end`,
    );
    await run.query(
      `alter table attachments alter column void_reason type text using case void_reason->>'code'
         when 'voided-fleet-deleted' then '${FLEET_DELETED}'
         when 'voided-past-retention' then 'kept for ' || ${MONTHS} || case ${MONTHS} when '1' then ' month' else ' months' end
         else ${TYPED} end`,
    );
  }
}
