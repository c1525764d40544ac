import { v7 as uuidv7 } from 'uuid';
import type { Quantity } from '../src/domain/quantities/units.js';
import { Temporal } from 'temporal-polyfill';
import type { Tokens } from './demo-file.js';
import { DISTRICT } from './district.js';
import type { DriverLabel } from './driver-label.js';
import type { FridayStory } from './friday.js';

/** The parts of a due line that the screen shows. */
export interface ShownLine {
  component: string;
  action: string;
  item: string | null;
  origin: string;
  state: string;
  dueOn: string | null;
  trigger: 'distance' | 'time' | 'engine-hours' | null;
  vehicle: { id: string; unitNumber: string };
  remaining: { distance: Quantity | null; engineHours: Quantity | null; days: number | null };
}

/**
 * Shows progress: on a terminal in one line that is overwritten, elsewhere as a line now and then.
 *
 * @returns a function to call with the same `what` for as long as the work is the same
 */
export function progressOn(stream: NodeJS.WriteStream): (what: string, done: number, all: number) => void {
  let saidAt = 0;
  let lastWhat = '';
  return (what, done, all) => {
    const isDone = done === all;
    if (what === lastWhat && !isDone && Date.now() - saidAt < (stream.isTTY ? 100 : 2_000)) return;
    lastWhat = what;
    saidAt = Date.now();
    const line = `  ${what}: ${done.toLocaleString('en-US')} of ${all.toLocaleString('en-US')}`;
    stream.write(stream.isTTY ? `\r\x1b[K${line}${isDone ? '\n' : ''}` : `${line}\n`);
  };
}

const rounded = ({ value, unit }: Quantity): string => `${Math.round(value).toLocaleString('en-US')} ${unit}`;

/** What is left until the first limit; negative when it has passed. */
function remainingOf({ trigger, remaining: { distance, engineHours, days } }: ShownLine): string {
  if (trigger === 'distance' && distance) return rounded(distance);
  if (trigger === 'engine-hours' && engineHours) return rounded(engineHours);
  return days === null ? '' : `${days} ${Math.abs(days) === 1 ? 'day' : 'days'}`;
}

/** Formats due lines as a plain-text table. */
export function tableOf(lines: readonly ShownLine[]): string {
  const rows = [
    ['unit', 'what', 'state', 'due on', 'trigger', 'remaining'],
    ...lines.map((line) => [
      line.vehicle.unitNumber,
      `${line.component}${line.item ? ` (${line.item})` : ''} ${line.action}`,
      line.state,
      line.dueOn ?? '',
      line.trigger ?? '',
      remainingOf(line),
    ]),
  ];
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  const shown = rows.map((row) =>
    row
      .map((cell, column) =>
        column === row.length - 1 ? cell.padStart(widths[column] ?? 0) : cell.padEnd(widths[column] ?? 0),
      )
      .join('  ')
      .trimEnd(),
  );
  const [head = '', ...body] = shown;
  return [head, '-'.repeat(Math.max(...shown.map((row) => row.length))), ...body].join('\n');
}

function curl(url: string, token: string, path: string, body?: object): string {
  // We write the body ourselves, and it contains no quotation mark that would end the shell's
  // quotes.
  const posted = body ? ` -H 'content-type: application/json' -d '${JSON.stringify(body)}'` : '';
  return `curl -sS '${url}${path}' -H 'authorization: Bearer ${token}'${posted}`;
}

/**
 * Commands to paste into a shell: the due list, a report that completes one due line, and a
 * calculation.
 */
export function curlLines(url: string, tokens: Tokens, line: ShownLine | undefined, now: Date): string[] {
  const performedAt = Temporal.Instant.from(now.toISOString()).toString({
    timeZone: DISTRICT.timeZone,
    smallestUnit: 'second',
  });
  const { component = 'coolant', action = 'inspect', item = null } = line ?? {};
  const job = line && {
    // With an id of its own, the report counts as one job even if it is pasted twice.
    id: uuidv7(),
    vehicleId: line.vehicle.id,
    performedAt,
    performedBy: 'badge 7',
    lines: [{ component, action, ...(item === null ? {} : { item }) }],
    readings: [{ kind: 'level-check', belowMark: { value: 0, unit: 'L' }, engineCold: true }],
  };
  return [
    curl(url, tokens.dashboard, '/v1/due-list?limit=5'),
    ...(job ? [curl(url, tokens.mechanic, '/v1/job-reports', job)] : []),
    curl(url, tokens.dashboard, '/v1/calculators/hold-test', {
      method: 'vacuum',
      start: { value: 19.5, unit: 'inHg' },
      end: { value: 19.2, unit: 'inHg' },
      minutes: 5,
      gaugeResolution: { value: 0.1, unit: 'inHg' },
      target: { value: 23, unit: 'inHg' },
      elevation: { value: 1600, unit: 'm' },
      engineCold: true,
    }),
  ];
}

/** The story of a vehicle released with a failed test, as each of its readers sees it. */
function storyLines(
  url: string,
  tokens: Tokens,
  { unitNumber, performedAt, warning, dueLine, vehicle, card, mailSubject, closing }: FridayStory,
): string {
  const at = Temporal.Instant.from(performedAt).toZonedDateTimeISO(DISTRICT.timeZone);
  const on = at.toLocaleString('en-US', { weekday: 'long', day: 'numeric', month: 'long' });
  return `
A story: on ${on}, ${unitNumber} failed its pressure test, and was released all the same

The answer    ${warning}
The list      ${dueLine}
The vehicle   ${vehicle}
The card      ${card}
The mail      ${mailSubject}

# how it is closed: a new hose, and a pressure test that passes
${curl(url, tokens.mechanic, '/v1/job-reports', closing)}
`;
}

/** What of the fleet is shown. */
export interface Shown {
  lines: readonly ShownLine[];
  story: FridayStory | null;
  label: DriverLabel | null;
}

/** The text that is shown when the demonstration is ready. */
export function welcome(
  url: string,
  tokens: Tokens,
  { lines, story, label }: Shown,
  dataDir: string,
  now: Date,
): string {
  // A follow-up needs a reading of its own kind, which the story shows. A planned line is done with
  // the work.
  const planned = lines.find(({ origin }) => origin === 'interval');
  const [dueList = '', ...others] = curlLines(url, tokens, planned, now);
  const job = others.length > 1 ? others[0] : undefined;
  return `
${DISTRICT.name}

Address    ${url}    (the API described: ${url}/docs)
Desk       ${url}/desk     (for managers: sign in with the manager's token)
Phone      ${url}/phone    (for mechanics: sign in with the mechanic's token)
${label ? `Label      ${url}${label.path}    (the page of a driver who scans the label on ${label.unitNumber})\n` : ''}
Tokens     manager    ${tokens.manager}
           mechanic   ${tokens.mechanic}
           driver     ${tokens.driver}
           dashboard  ${tokens.dashboard}
           (also in ${dataDir}/demo.json)

What presses most

${tableOf(lines)}
${story ? storyLines(url, tokens, story) : ''}
To try, in another terminal

# the due list
${dueList}
${job ? `\n# the first planned line above, done\n${job}\n` : ''}
# a hold test at 1,600 m, worked out and not stored
${others.at(-1) ?? ''}

Ready. Ctrl-C stops it; the data stays in ${dataDir}.
`;
}
