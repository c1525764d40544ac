import { message } from './messages.js';
import { parseArgs } from 'node:util';
import { createFleet, type NewFleet } from '../register/fleets/create-fleet.js';
import { addFirstManager } from '../keeping/sign-in/link-by-command.js';
import { isLanguage, type Language, LANGUAGES } from '../platform/words/languages.js';
import { textOf } from '../platform/words/render.js';
import { ConfigError } from '../platform/config/config.js';
import { migrations } from '../../migrations/all.js';
import { bringUpToDate } from '../platform/migration/bring-up-to-date.js';
import { timeZoneFault } from '../platform/fields/time-zone-name.js';
import { joinDatabase, run } from '../startup.js';
import { message as configMessage } from '../platform/config/messages.js';

const USAGE =
  'npm run fleet -- --name "North District" --time-zone America/Denver --units us|si --language en|es --manager "Ann Lee" --url https://weephole.example.org';

const LONGEST_NAME = 120;

interface Order {
  fleet: NewFleet & { language: Language };
  /** The first manager's name. */
  manager: string;
  /** The address at which people reach the service. */
  base: string;
}

/**
 * Creates a fleet, which is the first step of a deployment. Prints one line of JSON with its id,
 * its first manager token, and a link with which its first manager signs in.
 */
run(async (lifetime) => {
  const { fleet, manager, base } = readArguments();
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  await bringUpToDate(database.url, { migrations });
  const made = await createFleet(database.url, fleet);
  const { fleetId } = made;
  const { language } = fleet;
  const signIn = await addFirstManager(database.url, { fleetId, name: manager, language, base });
  process.stdout.write(`${JSON.stringify({ ...made, signIn })}\n`);
  await lifetime.end();
});

function readArguments(): Order {
  const { values } = parseArgs({
    options: {
      name: { type: 'string' },
      'time-zone': { type: 'string' },
      units: { type: 'string', default: 'us' },
      language: { type: 'string', default: 'en' },
      manager: { type: 'string' },
      url: { type: 'string' },
    },
  });
  const { name, units, language } = values;
  const timeZone = values['time-zone'];
  if (!name?.trim() || !timeZone) throw new ConfigError(message('command-usage', { usage: USAGE }));
  const fault = timeZoneFault(timeZone);
  if (fault) throw new ConfigError(configMessage('command-option-fault', { option: '--time-zone', fault }));
  if (units !== 'us' && units !== 'si')
    throw new ConfigError(
      message('command-one-of', { option: '--units', given: units, allowed: 'us, si', usage: USAGE }),
    );
  if (!isLanguage(language))
    throw new ConfigError(
      message('command-one-of', {
        option: '--language',
        given: language,
        allowed: LANGUAGES.join(', '),
        usage: USAGE,
      }),
    );
  return {
    fleet: { name: name.trim(), timeZone, units, language },
    manager: managerOf(values.manager, language),
    base: baseOf(values.url),
  };
}

/** @throws ConfigError */
function managerOf(given: string | undefined, language: Language): string {
  const name = given?.trim() ?? textOf(message('first-manager-name'), { language, units: null });
  const { length } = name;
  if (length > 0 && length <= LONGEST_NAME) return name;
  throw new ConfigError(message('command-manager-length', { length, longest: LONGEST_NAME, usage: USAGE }));
}

/** Returns the address of the service; on this machine unless given. @throws ConfigError */
function baseOf(url: string | undefined): string {
  if (url === undefined) return `http://127.0.0.1:${process.env.PORT || 8470}`;
  const parsed = URL.canParse(url) ? new URL(url) : null;
  if (parsed && /^https?:$/.test(parsed.protocol) && parsed.username === '' && parsed.hash === '')
    return parsed.origin + parsed.pathname;
  throw new ConfigError(message('command-address', { given: url, usage: USAGE }));
}
