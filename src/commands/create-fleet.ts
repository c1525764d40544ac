import { message } from './messages.js';
import { parseArgs } from 'node:util';
import { createFleet, type NewFleet } from '../register/fleets/create-fleet.js';
import { isLanguage, LANGUAGES } from '../platform/words/languages.js';
import { ConfigError } from '../platform/config/config.js';
import { migrations } from '../../migrations/all.js';
import { bringUpToDate } from '../platform/migration/bring-up-to-date.js';
import { timeZoneFault } from '../platform/fields/time-zone-name.js';
import { joinDatabase, run } from '../startup.js';
import { message as configMessage } from '../platform/config/messages.js';

const USAGE =
  'npm run fleet -- --name "North District" --time-zone America/Denver --units us|si --language en|es';

/**
 * Creates a fleet, which is the first step of a deployment. Prints one line of JSON with its id and
 * its first manager token.
 */
run(async (lifetime) => {
  const fleet = readArguments();
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  await bringUpToDate(database.url, { migrations });
  const made = await createFleet(database.url, fleet);
  process.stdout.write(`${JSON.stringify(made)}\n`);
  await lifetime.end();
});

function readArguments(): NewFleet {
  const { values } = parseArgs({
    options: {
      name: { type: 'string' },
      'time-zone': { type: 'string' },
      units: { type: 'string', default: 'us' },
      language: { type: 'string', default: 'en' },
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
  return { name: name.trim(), timeZone, units, language };
}
