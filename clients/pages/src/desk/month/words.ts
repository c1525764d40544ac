import type { components } from '../../../../typescript/src/client.js';
import { componentInWords } from '../../kit/due/due-line.js';
import { locale, tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

export type Report = components['schemas']['MonthReportView'];
export type Figures = components['schemas']['MonthFigures'];
export type Group = components['schemas']['FiguresOfGroup'];
export type Definition = keyof Report['definitions'];

/** Below this many, a share says less than the counts. */
const FEWEST_FOR_SHARE = 10;

/** `2 of 3`, or `12 of 15 (80 %)`. */
export function partInWords(count: number, all: number): string {
  if (all < FEWEST_FOR_SHARE) return tell(message('desk-month-of-all', { count, all }));
  return tell(message('desk-month-share', { count, all, percent: Math.round((100 * count) / all) }));
}

/** `March 2026` */
export const monthInWords = (month: string): string =>
  new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', month: 'long', year: 'numeric' }).format(
    new Date(`${month}-01T00:00:00Z`),
  );

/** Whether anything was counted. */
export const isEmpty = ({ done, repeatJobs, failedReadings }: Figures): boolean =>
  done === 0 && repeatJobs.work === 0 && failedReadings.failed === 0;

export const nameOfGroup = {
  depots: ({ key, name }: Group): string => name ?? key ?? tell(message('desk-month-no-depot')),
  components: ({ key }: Group): string =>
    componentInWords((key ?? 'other') as Parameters<typeof componentInWords>[0]),
  duties: ({ key }: Group): string =>
    tell(message(key === 'severe' ? 'desk-month-duty-severe' : 'desk-month-duty-normal')),
} as const;
