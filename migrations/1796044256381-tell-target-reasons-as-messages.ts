import type { MigrationInterface, QueryRunner } from 'typeorm';

const GONE = 'The receiver answered 410 Gone: it wants no more of this.';
const SWITCHED_OFF = 'Switched off by a manager.';
const FORGOTTEN = 'its address was that of somebody who was forgotten';
const NOBODY = 'no answer came';
const MAIL_SERVER = 'the mail server answered ';
const RECEIVER = 'the receiver answered ';

const told = (code: string, values = `'{}'::jsonb`): string =>
  `jsonb_build_object('code', '${code}', 'values', ${values})`;

const legacy = (text: string): string => told('legacy', `jsonb_build_object('text', ${text})`);

/** SQL that takes the rest of a text after its beginning as the status of a message. */
const answered = (code: string, beginning: string): string =>
  `when starts_with(failing_reason, '${beginning}') then ${told(code, `jsonb_build_object('status', substr(failing_reason, ${beginning.length + 1}))`)}`;

/** SQL for the text of a message that holds one, such as a `legacy` message, otherwise its code. */
const text = (column: string): string => `coalesce(${column}->'values'->>'text', ${column}->>'code')`;

/** Stores as a code and values why a reminder target is disabled or failing. */
export class TellTargetReasonsAsMessages1796044256381 implements MigrationInterface {
  name = 'TellTargetReasonsAsMessages1796044256381';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      `alter table reminder_targets
         alter column disabled_reason type jsonb using case disabled_reason
           when '${GONE}' then ${told('target-gone')}
           when '${SWITCHED_OFF}' then ${told('target-switched-off')}
           when '${FORGOTTEN}' then ${told('target-of-forgotten-person')}
           else case when disabled_reason is not null then ${legacy('disabled_reason')} end end,
         alter column failing_reason type jsonb using case
           when failing_reason is null then null
           when failing_reason = '${NOBODY}' then ${told('target-no-answer')}
           ${answered('target-mail-server-answered', MAIL_SERVER)}
           ${answered('target-receiver-answered', RECEIVER)}
           else ${legacy('failing_reason')} end`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(
      `alter table reminder_targets
         alter column disabled_reason type text using case disabled_reason->>'code'
           when 'target-gone' then '${GONE}'
           when 'target-switched-off' then '${SWITCHED_OFF}'
           when 'target-of-forgotten-person' then '${FORGOTTEN}'
           else ${text('disabled_reason')} end,
         alter column failing_reason type text using case failing_reason->>'code'
           when 'target-no-answer' then '${NOBODY}'
           when 'target-mail-server-answered' then '${MAIL_SERVER}' || (failing_reason->'values'->>'status')
           when 'target-receiver-answered' then '${RECEIVER}' || (failing_reason->'values'->>'status')
           else ${text('failing_reason')} end`,
    );
  }
}
