import type { components } from '../../../../typescript/src/client.js';
import { componentInWords } from '../../kit/due/due-line.js';
import { locale, tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

export type Advice = components['schemas']['IntervalAdviceView'];
export type Present = Advice['currentIntervals'][number];
export type Plan = components['schemas']['IntervalPlanView'];
export type Interval = Plan['intervals'][number];
export type Curve = NonNullable<Advice['costCurve']>;
export type Component = Parameters<typeof componentInWords>[0];

/** As precise as the service tells it: no fleet's records of part lives know more. */
const DIGITS = 3;

export const rounded = (value: number): number => Number(value.toPrecision(DIGITS));

const numberInWords = (value: number): string =>
  new Intl.NumberFormat(locale(), { maximumSignificantDigits: DIGITS }).format(value);

/** `14,100 km` */
export const useInWords = (value: number, unit: string): string => `${numberInWords(value)} ${unit}`;

/** Some money, without its currency: nobody has said which. */
export const costInWords = (value: number): string => numberInWords(value);

type Limits = Pick<Interval, 'everyDistance' | 'everyEngineHours' | 'everyMonths'>;

/** `100,000 mi, 500 h, 24 months`: the limits of an interval, whichever comes first. */
export function limitsInWords({ everyDistance, everyEngineHours, everyMonths }: Limits): string {
  const written = (value: number): string =>
    new Intl.NumberFormat(locale(), { maximumFractionDigits: 0 }).format(value);
  const parts = [everyDistance, everyEngineHours].flatMap((one) =>
    one == null ? [] : [`${written(one.value ?? 0)} ${one.unit}`],
  );
  if (everyMonths != null) parts.push(tell(message('desk-advice-months', { count: everyMonths })));
  return parts.length === 0 ? tell(message('desk-advice-no-limit')) : parts.join(', ');
}

/** What is replaced, with its item. */
export const partInWords = (component: string, item: string | null | undefined): string => {
  const part = componentInWords(component as Component);
  return item ? `${part} (${item})` : part;
};
