import type { MigrationInterface, QueryRunner } from 'typeorm';

/** What an attempt at sending was said to be, in the words of before, by today's code. */
const KNOWN = {
  'attempt-under-way': 'under way; or cut off, if another attempt follows',
  'attempt-redirected': 'redirects are not followed',
  'attempt-without-mail-server': 'SMTP_URL is not set',
};

const told = (code: string, values = `'{}'::jsonb`): string =>
  `jsonb_build_object('code', '${code}', 'values', ${values})`;

const cases = (when: (code: string, text: string) => string): string =>
  Object.entries(KNOWN)
    .map(([code, text]) => when(code, text))
    .join(' ');

const seconds = (beginning: string): string =>
  `jsonb_build_object('seconds', substring(error from '^${beginning} ([0-9.]+) s$')::numeric)`;

/** How an attempt at sending a reminder failed is kept as a code and values. */
export class TellAttemptsAsMessages1796052565889 implements MigrationInterface {
  name = 'TellAttemptsAsMessages1796052565889';

  async up(run: QueryRunner): Promise<void> {
    await run.query(
      `alter table reminder_attempts alter column error type jsonb using case
         when error is null then null
         ${cases((code, text) => `when error = '${text}' then ${told(code)}`)}
         when error ~ '^no complete answer within [0-9.]+ s$'
           then ${told('attempt-too-slow', seconds('no complete answer within'))}
         when error ~ '^the mail server took longer than [0-9.]+ s$'
           then ${told('attempt-mail-server-too-slow', seconds('the mail server took longer than'))}
         else ${told('legacy', `jsonb_build_object('text', error)`)} end`,
    );
  }

  async down(run: QueryRunner): Promise<void> {
    await run.query(
      `alter table reminder_attempts alter column error type text using case error->>'code'
         ${cases((code, text) => `when '${code}' then '${text}'`)}
         when 'attempt-too-slow' then 'no complete answer within ' || (error#>>'{values,seconds}') || ' s'
         when 'attempt-mail-server-too-slow'
           then 'the mail server took longer than ' || (error#>>'{values,seconds}') || ' s'
         else coalesce(error#>>'{values,text}', error#>>'{values,detail}', error#>>'{values,answer}', error->>'code') end`,
    );
  }
}
