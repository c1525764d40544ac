import { message } from './messages.js';
import { parseArgs } from 'node:util';
import { ROLES, type Role } from '../platform/scope/roles.js';
import { ConfigError } from '../platform/config/config.js';
import { UUID_PATTERN } from '../platform/fields/uuid.js';
import { joinDatabase, run } from '../startup.js';
import { issueByCommand, type TokenOrder } from '../keeping/tokens/issue-by-command.js';

const USAGE = `npm run token -- --fleet <id> --role ${ROLES.join('|')} [--name "Office"]`;

const LONGEST_NAME = 120;

/**
 * Issues a token of a fleet and prints it as one line of JSON. This lets an operator back in when a
 * fleet has no manager token left.
 */
run(async (lifetime) => {
  const order = readArguments();
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  const issued = await issueByCommand(database.url, order);
  process.stdout.write(`${JSON.stringify(issued)}\n`);
  await lifetime.end();
});

function readArguments(): TokenOrder {
  const { values } = parseArgs({
    options: {
      fleet: { type: 'string' },
      role: { type: 'string' },
      name: { type: 'string', default: 'issued by an operator' },
    },
  });
  const { role } = values;
  const fleet = values.fleet?.toLowerCase();
  const name = values.name.trim();
  if (!fleet || !role)
    throw new ConfigError(
      message('command-option-missing', { option: fleet ? '--role' : '--fleet', usage: USAGE }),
    );
  if (!UUID_PATTERN.test(fleet))
    throw new ConfigError(message('command-fleet-id', { given: values.fleet ?? '', usage: USAGE }));
  if (!isRole(role))
    throw new ConfigError(
      message('command-one-of', { option: '--role', given: role, allowed: ROLES.join(', '), usage: USAGE }),
    );
  if (name === '' || name.length > LONGEST_NAME)
    throw new ConfigError(
      message('command-name-length', { length: name.length, longest: LONGEST_NAME, usage: USAGE }),
    );
  return { fleetId: fleet, role, name };
}

function isRole(role: string): role is Role {
  return (ROLES as readonly string[]).includes(role);
}
