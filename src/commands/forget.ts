import { OPERATOR } from '../platform/words/operator-language.js';
import { textOf } from '../platform/words/render.js';
import { message } from './messages.js';
import { parseArgs } from 'node:util';
import { forgetPerson } from '../keeping/people/forget-person.js';
import { isStandIn } from '../keeping/people/person.js';
import { ConfigError } from '../platform/config/config.js';
import { joinDatabase, run } from '../startup.js';

const USAGE =
  'npm run forget -- --person "Ann Lee" [--person ann@example.org] [--fleet ID] [--as forgotten-…] [--dry-run]';

/**
 * Replaces a person by a stand-in in all records. Prints as JSON where the person was mentioned.
 */
run(async (lifetime) => {
  const request = readArguments();
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  const forgotten = await forgetPerson(database.url, request);
  process.stdout.write(`${JSON.stringify(forgotten, null, 2)}\n`);
  if (forgotten.changed.length === 0)
    process.stderr.write(`${textOf(message('command-nobody-found'), OPERATOR)}\n`);
  await lifetime.end();
});

function readArguments(): Parameters<typeof forgetPerson>[1] {
  const { values } = parseArgs({
    options: {
      person: { type: 'string', multiple: true, default: [] },
      subject: { type: 'string', multiple: true, default: [] },
      address: { type: 'string', multiple: true, default: [] },
      fleet: { type: 'string' },
      as: { type: 'string' },
      'dry-run': { type: 'boolean', default: false },
    },
  });
  const people = [...values.person, ...values.subject, ...values.address];
  if (people.length === 0 || people.some((value) => value.trim() === ''))
    throw new ConfigError(message('command-usage', { usage: USAGE }));
  if (values.as !== undefined && !isStandIn(values.as))
    throw new ConfigError(message('command-stand-in', { given: values.as, usage: USAGE }));
  return {
    people,
    fleetId: values.fleet ?? null,
    ...(values.as !== undefined && { standIn: values.as }),
    isDryRun: values['dry-run'],
  };
}
