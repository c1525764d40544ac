import type { DueLine, DueState, Quantity } from './types.js';

/** In the order in which they press. */
export const DUE_STATES: readonly DueState[] = ['late', 'due', 'window', 'not-due', 'no-baseline'];
/** What the list shows unless asked otherwise, as the service does. */
export const USUAL_STATES: readonly DueState[] = ['late', 'due', 'window'];

export const STATE_WORDS: Record<DueState, string> = {
  late: 'late',
  due: 'due',
  window: 'in its window',
  'not-due': 'not due yet',
  'no-baseline': 'nothing to count from',
};

/** After a number of lines. */
export const COUNTED_WORDS: Record<DueState, string> = {
  ...STATE_WORDS,
  window: 'in their window',
  'no-baseline': 'with nothing to count from',
};

export const COMPONENTS = [
  ...['coolant', 'water-pump', 'drive-belt', 'tensioner', 'idler', 'thermostat', 'radiator', 'radiator-cap'],
  ...['upper-hose', 'lower-hose', 'heater-hose', 'bypass-hose', 'hose-clamp', 'fan-drive', 'fan-shroud'],
  ...['reservoir', 'heater-core', 'coolant-filter', 'oil-cooler', 'egr-cooler', 'head-gasket'],
  ...['injector-sleeve', 'timing-belt', 'temperature-sensor', 'other'],
] as const satisfies DueLine['component'][];

export const ALERT_WORDS: Record<string, string> = {
  'repeat-top-ups': 'Top-ups that repeat',
  'rising-loss': 'A loss that rises',
  'unrecorded-water': 'Water that nobody recorded',
  'weakening-hold': 'Hold tests that weaken',
  'early-return': 'A part that came back early',
  'part-cohort': 'A lot of parts that fails too often',
};

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** `water-pump` as people write it. */
export const plain = (word: string): string => word.replaceAll('-', ' ');

/** A civil date in words: `14 May 2026`. */
export function dayInWords(date: string): string {
  const [year = '', month = '', day = ''] = date.split('-');
  return `${Number(day)} ${monthName(Number(month))} ${year}`;
}

/** `12 late, 3 due` */
export const countsInWords = (counts: Record<DueState, number>, states: readonly DueState[]): string =>
  states.map((state) => `${numberInWords(counts[state])} ${COUNTED_WORDS[state]}`).join(', ');

export const monthName = (month: number): string => MONTHS[month - 1] ?? '';

/** An instant as the fleet's clocks show it. */
export function momentInWords(at: string, timeZone: string): string {
  const parts = new Intl.DateTimeFormat('en-GB', {
    timeZone,
    day: 'numeric',
    month: 'numeric',
    year: 'numeric',
    hour: '2-digit',
    minute: '2-digit',
  }).formatToParts(new Date(at));
  const part = (type: Intl.DateTimeFormatPartTypes): string =>
    parts.find((one) => one.type === type)?.value ?? '';
  return `${Number(part('day'))} ${monthName(Number(part('month')))} ${part('year')}, ${part('hour')}:${part('minute')}`;
}

/** A number with as many digits as somebody reads: all before the point, and three in all. */
export function numberInWords(value: number): string {
  const size = Math.abs(value);
  const digits = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  return new Intl.NumberFormat('en', { maximumFractionDigits: digits }).format(value);
}

/** `61,250 mi`; nothing is added to a number without a unit, which is `1`. */
export function quantityInWords(quantity: Quantity): string {
  const { value, unit = '1' } = quantity ?? {};
  if (value === undefined) return 'not known';
  return unit === '1' ? numberInWords(value) : `${numberInWords(value)} ${unit}`;
}

/** `drive belt: replace (accessory)` */
export const workInWords = ({
  component,
  action,
  item,
}: {
  component: string;
  action: string;
  item?: string | null;
}): string => `${plain(component)}: ${action}${item ? ` (${item})` : ''}`;

/** When a line is due, between which days it may come to, and by which limit. */
export function dueInWords(line: DueLine): string {
  if (line.dueOn === null) {
    return line.needsReading ? 'No date: a usage reading is wanting' : 'No date';
  }
  const band =
    line.earliestOn !== null && line.latestOn !== null && line.earliestOn !== line.latestOn
      ? `, between ${dayInWords(line.earliestOn)} and ${dayInWords(line.latestOn)}`
      : '';
  const trigger = line.trigger === null ? '' : `, by ${plain(line.trigger)}`;
  const putOff = line.postponedUntil === null ? '' : `, put off until ${dayInWords(line.postponedUntil)}`;
  return `Due ${dayInWords(line.dueOn)}${band}${trigger}${putOff}`;
}

/** What is left to the due point, and how sure that is. */
export function remainingInWords({ remaining, stale, needsReading, dueOn }: DueLine): string {
  const left = [remaining.distance, remaining.engineHours].flatMap((quantity: Quantity) => {
    if (quantity?.value === undefined) return [];
    const { value, unit } = quantity;
    return value < 0
      ? `${quantityInWords({ value: -value, unit })} over`
      : `${quantityInWords(quantity)} left`;
  });
  if (stale) left.push('its usage was last read more than 60 days ago');
  else if (needsReading && dueOn !== null) left.push('a usage reading is wanting');
  return left.join(', ');
}

/** Found unsafe by a reading, and not put off to a later day. */
export const isToDoAtOnce = ({ atOnce, state }: DueLine): boolean => atOnce && state !== 'window';
