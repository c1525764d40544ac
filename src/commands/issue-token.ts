import { parseArgs } from 'node:util';
import { ROLES, type Role } from '../platform/scope/roles.js';
import { ConfigError } from '../platform/config/config.js';
import { UUID_PATTERN } from '../platform/fields/uuid.js';
import { joinDatabase, run } from '../startup.js';
import { issueByCommand, type TokenOrder } from '../keeping/tokens/issue-by-command.js';

const USAGE = `usage: npm run token -- --fleet <id> --role ${ROLES.join('|')} [--name "Office"]`;

const LONGEST_NAME = 120;

/**
 * Issues a token of a fleet and prints it as one line of JSON: the way back in when a fleet has no
 * manager token left.
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
  if (!fleet || !role) throw new ConfigError(`--${fleet ? 'role' : 'fleet'} is missing\n${USAGE}`);
  if (!UUID_PATTERN.test(fleet))
    throw new ConfigError(`--fleet is "${values.fleet}"; the id of a fleet is needed, a UUID\n${USAGE}`);
  if (!isRole(role))
    throw new ConfigError(`--role is "${role}"; one of ${ROLES.join(', ')} is needed\n${USAGE}`);
  if (name === '' || name.length > LONGEST_NAME)
    throw new ConfigError(`--name has ${name.length} characters; 1 to ${LONGEST_NAME} are needed\n${USAGE}`);
  return { fleetId: fleet, role, name };
}

function isRole(role: string): role is Role {
  return (ROLES as readonly string[]).includes(role);
}
